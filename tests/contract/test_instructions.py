"""Words to the assistant in one memo, and what they do to the records of the memo before."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from voicelog.records import Store
from voicelog.types import ChangeKind

Call = Callable[..., Any]
Note = Callable[..., list[dict[str, Any]]]

EGGS = ("2027-05-04T08:00", "nine eggs from coop a, four from coop b")
TWO_KINDS = ("2027-05-04T08:00", "fed coop b two scoops of layer, nine eggs from coop b")


def minute(number: int, text: str) -> tuple[str, str]:
    return f"2027-05-04T09:{number:02}", text


def value(run: Call, question: str) -> Any:
    return run("ask", "--json", question).object["answer"]["value"]


def places(run: Call, name: str) -> list[tuple[str, str | None]]:
    return [(task["record"], task["place"]) for task in run("left", "--json").object[name]]


def test_the_object_of_a_memo_has_ids_and_changes(note: Note) -> None:
    first, second = note(EGGS, minute(0, "make that twelve"))
    assert [record["id"] for record in first["records"]] == [1, 2]
    assert (first["memo_id"], second["memo_id"]) == (1, 2)
    assert all(record["memo_id"] == 1 for record in first["records"])
    assert (first["changes"], second["records"]) == ([], [])
    assert second["instructions"] == ["make that twelve"]


def test_one_memo_noted_alone_gives_the_same_object(run: Call) -> None:
    form = run("note", "--json", EGGS[1], now=EGGS[0]).object
    told = run("note", "--json", "scratch that", now="2027-05-04T09:00").object
    assert list(form) == list(told)
    assert {"memo", "now", "records", "questions", "instructions", "unused", "changes"} <= set(form)
    assert [change["record"] for change in told["changes"]] == [1, 2]


def test_scratch_that_withdraws_every_record_of_the_memo_before(
    note: Note, run: Call, store_file: Path
) -> None:
    *_, told = note(("2027-05-04T07:00", "fed coop a"), EGGS, minute(1, "scratch that"))
    assert told["records"] == []
    assert [(c["record"], c["change"]) for c in told["changes"]] == [
        (2, "withdraw"),
        (3, "withdraw"),
    ]
    assert value(run, "how many eggs today") is None
    assert value(run, "did i feed coop a today") is True
    assert places(run, "done") == []
    with Store.open(str(store_file), create=False) as store:
        assert store.original(2).draft.slots["count"] == 9
        assert [change.kind for change in store.history(2)] == [ChangeKind.WITHDRAW]


def test_the_memo_before_is_the_one_said_before(note: Note) -> None:
    *_, told = note(minute(5, "two eggs from coop a"), EGGS, minute(1, "scratch that"))
    assert [change["record"] for change in told["changes"]] == [2, 3]


def test_what_was_withdrawn_is_not_withdrawn_again_and_that_is_told(note: Note) -> None:
    *_, again = note(EGGS, minute(1, "scratch that"), minute(2, "scratch that"))
    assert (again["changes"], len(again["problems"])) == ([], 1)


def test_make_that_changes_the_main_number_of_the_last_record(note: Note, run: Call) -> None:
    *_, told = note(EGGS, minute(0, "make that twelve"))
    assert told["changes"] == [
        {"record": 2, "change": "correct", "field": "count", "old": 4, "new": 12}
    ]
    assert value(run, "how many eggs today") == 21
    assert value(run, "how many eggs from coop b today") == 12
    assert value(run, "how many eggs from coop a today") == 9


def test_that_was_changes_the_place_of_the_last_record(note: Note, run: Call) -> None:
    *_, told = note(("2027-05-04T08:00", "nine eggs from coop b"), minute(0, "that was coop A"))
    assert told["changes"] == [
        {"record": 1, "change": "correct", "field": "place", "old": "coop B", "new": "coop A"}
    ]
    assert value(run, "how many eggs from coop a today") == 9
    assert value(run, "how many eggs from coop b today") is None
    assert places(run, "done") == [("eggs", "coop A")]
    assert ("eggs", "coop B") in places(run, "left")


@pytest.mark.parametrize(
    ("said", "field", "old", "new"),
    [
        ("fed coop a two scoops of layer", "amount", (2, "scoop"), (12, "scoop")),
        ("moved coop a ten feet north", "distance", (10, "foot"), (12, "foot")),
        ("lost two hens", "count", 2, 12),
        ("two buckets of water for coop a", "amount", (2, "bucket"), (12, "bucket")),
        ("the fence reads six kilovolts", "voltage", (6, "kilovolt"), (12, "kilovolt")),
    ],
)
def test_the_main_number_of_other_kinds(
    note: Note, said: str, field: str, old: Any, new: Any
) -> None:
    def form(number: Any) -> Any:
        return number if isinstance(number, int) else dict(zip(("value", "unit"), number))  # noqa: B905

    first, told = note(("2027-05-04T08:00", said), minute(0, "make that twelve"))
    last = first["records"][-1]["id"]
    assert told["changes"] == [
        {"record": last, "change": "correct", "field": field, "old": form(old), "new": form(new)}
    ]


def test_one_after_another(note: Note, run: Call, store_file: Path) -> None:
    *_, place, number, again = note(
        TWO_KINDS,
        minute(0, "that was coop A"),
        minute(1, "make that twelve"),
        minute(2, "no make that ten"),
    )
    assert [change["record"] for told in (place, number, again) for change in told["changes"]] == [
        2,
        2,
        2,
    ]
    assert again["changes"][0]["old"] == 12
    assert value(run, "how many eggs from coop a today") == 10
    assert value(run, "did i feed coop b today") is True
    with Store.open(str(store_file), create=False) as store:
        fields = [(change.field, change.old, change.new) for change in store.history(2)]
        assert fields == [("place", "coop B", "coop A"), ("count", 9, 12), ("count", 12, 10)]
        assert store.original(2).draft.place == "coop B"
        assert store.original(2).draft.slots["count"] == 9
        memos = [memo.text for memo in store.memos()]
        assert memos[1:] == ["that was coop A", "make that twelve", "no make that ten"]


def test_withdrawn_after_corrected(note: Note, run: Call, store_file: Path) -> None:
    note(EGGS, minute(0, "make that twelve"), minute(1, "scratch that"))
    assert value(run, "how many eggs today") is None
    with Store.open(str(store_file), create=False) as store:
        assert [change.kind.value for change in store.history(2)] == ["correct", "withdraw"]


def test_withdrawn_and_said_anew_in_one_memo(note: Note, run: Call) -> None:
    *_, told = note(EGGS, minute(0, "scratch that, seven eggs from coop a"))
    assert [change["record"] for change in told["changes"]] == [1, 2]
    assert [record["count"] for record in told["records"]] == [7]
    assert value(run, "how many eggs today") == 7


def test_a_memo_without_records_between_is_passed_over(note: Note) -> None:
    *_, told = note(EGGS, minute(0, "how many eggs today?"), minute(1, "make that twelve"))
    assert [change["record"] for change in told["changes"]] == [2]


def test_what_is_asked_as_of_before_the_correction(note: Note, run: Call) -> None:
    note(EGGS, minute(0, "make that twelve"))
    before = run("ask", "--json", "how many eggs today", now="2027-05-04T08:30").object
    assert before["answer"]["value"] == 13


def test_nothing_before_it_changes_nothing_and_says_so(note: Note) -> None:
    (told,) = note(minute(0, "make that twelve"))
    assert (told["changes"], told["records"]) == ([], [])
    assert len(told["problems"]) == 1


@pytest.mark.parametrize("text", ["what's left?", "what's left"])
def test_asking_what_is_left_is_an_instruction_and_no_record(note: Note, text: str) -> None:
    (told,) = note(minute(0, text))
    assert (len(told["instructions"]), told["records"], told["questions"]) == (1, [], [])
    assert told["problems"] == []
