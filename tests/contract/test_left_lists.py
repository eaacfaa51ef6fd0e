"""`left --json`: each chore and place in exactly one list, by what the records say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

Call = Callable[..., Any]
Note = Callable[..., list[dict[str, Any]]]

LISTS = ("left", "done", "skipped", "not_due")
CHORES = [
    ("eggs", "coop A"),
    ("eggs", "coop B"),
    ("fence", None),
    ("litter", None),
    ("move", "coop A"),
]


def lists(run: Call, now: str = "2027-05-04T18:00") -> dict[tuple[str, str | None], str]:
    """In which list each chore stands; it stands in one only."""
    form = run("left", "--json", now=now).object
    placed = [((task["record"], task["place"]), name) for name in LISTS for task in form[name]]
    assert Counter(chore for chore, _ in placed) == Counter(CHORES)
    return dict(placed)


def task(run: Call, record: str, place: str | None, now: str = "2027-05-04T18:00") -> Any:
    form = run("left", "--json", now=now).object
    (found,) = [
        item
        for name in LISTS
        for item in form[name]
        if (item["record"], item["place"]) == (record, place)
    ]
    return found


def test_the_object_and_its_tasks(note: Note, run: Call) -> None:
    note(("2027-05-04T08:00", "nine eggs from coop a"))
    form = run("left", "--json").object
    assert list(form) == ["date", *LISTS]
    assert form["date"] == "2027-05-04"
    for item in (item for name in LISTS for item in form[name]):
        assert list(item) == ["record", "match", "place", "chore", "due", "last_done"]
        assert isinstance(item["match"], dict)
        assert isinstance(item["chore"], str)
        assert item["chore"]
    assert task(run, "fence", None)["match"] == {"action": "tested"}
    assert task(run, "eggs", "coop B")["due"] == "2027-05-04T12:00:00-04:00"
    assert task(run, "eggs", "coop B")["last_done"] is None
    assert task(run, "eggs", "coop A")["last_done"] == "2027-05-04T08:00:00-04:00"


def test_what_was_never_done_is_left(run: Call) -> None:
    assert set(lists(run).values()) == {"left"}


@pytest.mark.parametrize(
    ("text", "chore"),
    [
        ("nine eggs from coop a", ("eggs", "coop A")),
        ("tested the fence", ("fence", None)),
        ("refreshed the nest boxes", ("litter", None)),
        ("moved coop a ten feet north", ("move", "coop A")),
    ],
)
def test_what_was_done_today(note: Note, run: Call, text: str, chore: tuple[str, str]) -> None:
    note(("2027-05-04T08:00", text))
    stands = lists(run)
    assert stands.pop(chore) == "done"
    assert set(stands.values()) == {"left"}


def test_a_record_without_the_match_shows_nothing(note: Note, run: Call) -> None:
    note(("2027-05-04T08:00", "turned the fence off"))
    assert lists(run)["fence", None] == "left"


def test_a_plan_shows_nothing(note: Note, run: Call) -> None:
    note(("2027-05-04T08:00", "need to move coop a today"))
    assert lists(run)["move", "coop A"] == "left"


def test_skipped_holds_for_that_day_and_until_it_is_done(note: Note, run: Call) -> None:
    note(
        ("2027-05-04T09:00", "didn't collect the eggs in coop a"),
        ("2027-05-04T10:00", "didn't collect the eggs in coop b"),
        ("2027-05-04T12:00", "nine eggs from coop b"),
    )
    assert lists(run, "2027-05-04T11:00")["eggs", "coop B"] == "skipped"
    assert lists(run)["eggs", "coop A"] == "skipped"
    assert lists(run)["eggs", "coop B"] == "done"
    assert lists(run, "2027-05-05T06:00")["eggs", "coop A"] == "left"


@pytest.mark.parametrize(
    ("text", "chore", "not_due", "due"),
    [
        ("nine eggs from coop a", ("eggs", "coop A"), None, "2027-05-05"),
        ("tested the fence", ("fence", None), "2027-05-05", "2027-05-06"),
        ("refreshed the nest boxes", ("litter", None), "2027-05-10", "2027-05-11"),
        ("moved coop a ten feet north", ("move", "coop A"), "2027-06-03", "2027-06-04"),
    ],
)
def test_when_it_is_due_again(
    note: Note, run: Call, text: str, chore: tuple[str, str | None], not_due: str | None, due: str
) -> None:
    note(("2027-05-04T22:00", text))
    if not_due is not None:
        assert lists(run, f"{not_due}T23:59")[chore] == "not_due"
        assert task(run, *chore, now=f"{not_due}T23:59")["due"][:10] == due
    assert lists(run, f"{due}T00:00")[chore] == "left"


def test_a_month_after_the_last_of_a_long_month(note: Note, run: Call) -> None:
    note(("2027-01-31T10:00", "moved coop a ten feet north"))
    assert lists(run, "2027-02-27T10:00")["move", "coop A"] == "not_due"
    assert lists(run, "2027-02-28T10:00")["move", "coop A"] == "left"


def test_a_late_note_counts_for_the_day_it_names(note: Note, run: Call) -> None:
    note(("2027-05-04T08:00", "tested the fence yesterday"))
    assert lists(run)["fence", None] == "not_due"
    assert lists(run, "2027-05-05T08:00")["fence", None] == "left"
    assert task(run, "fence", None)["last_done"] == "2027-05-03T00:00:00-04:00"


def test_what_is_said_later_than_now_is_not_seen(note: Note, run: Call) -> None:
    note(("2027-05-04T12:00", "nine eggs from coop a"))
    assert lists(run, "2027-05-04T11:59")["eggs", "coop A"] == "left"
    assert lists(run, "2027-05-04T12:00")["eggs", "coop A"] == "done"


def test_without_chores_all_lists_are_empty(run: Call, tmp_path: Any) -> None:
    plain = tmp_path / "plain.toml"
    plain.write_text('name = "Bare"\ntimezone = "America/New_York"\n', encoding="utf-8")
    form = run("left", "--farm", str(plain), "--json").object
    assert form == {"date": "2027-05-04", **{name: [] for name in LISTS}}
