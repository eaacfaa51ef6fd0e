"""Words to the assistant inside a longer memo: none of its words is lost or taken twice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Call = Callable[..., Any]
Note = Callable[..., list[dict[str, Any]]]
Understood = Callable[[str], tuple[list[tuple[str, str | None, Any]], list[str]]]


@pytest.fixture
def understood(run: Call) -> Understood:
    """Kind, place and count of each record, and the instructions."""

    def read(text: str) -> tuple[list[tuple[str, str | None, Any]], list[str]]:
        form = run("parse", "--json", text).object
        records = [(r["kind"], r["place"], r.get("count")) for r in form["records"]]
        return records, form["instructions"]

    return read


NINE, TEN = ("eggs", "coop A", 9), ("eggs", "coop A", 10)
FED = ("feed", "coop B", None)


@pytest.mark.parametrize(
    ("text", "records", "instructions"),
    [
        ("nine eggs from coop a. scratch that", [], []),
        ("nine eggs from coop a scratch that", [], []),
        ("nine eggs from coop a, scratch that, ten eggs", [TEN], []),
        ("nine eggs from coop a. scratch that, ten eggs from coop a", [TEN], []),
        ("nine eggs from coop a. scratch that. fed coop b", [FED], []),
        ("fed coop b. nine eggs from coop a. delete that.", [FED], []),
        ("nine eggs from coop a. make that ten", [TEN], []),
        ("nine eggs from coop a. no, make that ten.", [TEN], []),
        ("scratch that, nine eggs from coop a", [NINE], ["scratch that"]),
        ("no, scratch that. nine eggs from coop a", [NINE], ["scratch that"]),
        ("make that twelve, and nine eggs from coop a", [NINE], ["make that twelve"]),
        ("make that twelve and fed coop b", [FED], ["make that twelve"]),
        ("that was coop b and nine eggs from coop a", [NINE], ["that was coop b"]),
        ("that was coop b and make it twelve", [], ["that was coop b", "make it twelve"]),
        ("sorry, make that twelve", [], ["make that twelve"]),
        ("um, no, make that twelve.", [], ["make that twelve"]),
    ],
)
def test_each_word_does_its_own_work(
    understood: Understood, text: str, records: list[Any], instructions: list[str]
) -> None:
    assert understood(text) == (records, instructions)


def test_what_a_memo_takes_back_itself_is_shown_and_leaves_the_memo_before_alone(
    note: Note,
) -> None:
    _, told = note(
        ("2027-05-04T08:00", "four eggs from coop b"),
        ("2027-05-04T08:01", "nine eggs from coop a. scratch that"),
    )
    assert (told["records"], told["changes"], told["problems"]) == ([], [], [])
    assert told["unused"] == ["nine eggs", "coop a"]


def test_an_instruction_and_a_telling_in_one_memo_are_both_carried_out(note: Note) -> None:
    _, told = note(
        ("2027-05-04T08:00", "four eggs from coop b"),
        ("2027-05-04T08:01", "that was coop a and make it twelve"),
    )
    assert [(change["field"], change["new"]) for change in told["changes"]] == [
        ("place", "coop A"),
        ("count", 12),
    ]
    (more,) = note(("2027-05-04T08:02", "make that ten, and nine eggs from coop b"))
    assert [(change["record"], change["new"]) for change in more["changes"]] == [(1, 10)]
    assert [record["count"] for record in more["records"]] == [9]


@pytest.mark.parametrize("text", ["yesterday", "that was yesterday", "12", "coop a", "juniper"])
def test_what_is_not_understood_becomes_a_remark(run: Call, text: str) -> None:
    form = run("parse", "--json", text).object
    (record,) = form["records"]
    assert (record["kind"], form["instructions"]) == ("remark", [])
    assert record["text"] in text


def test_a_remark_about_what_is_to_come_is_no_thing_done(run: Call) -> None:
    (record,) = run("parse", "--json", "the vet comes tomorrow").object["records"]
    assert (record["kind"], record["status"]) == ("remark", "planned")
    assert record["when"]["from"] == "2027-05-05T00:00:00-04:00"
