"""Instructions in memos: what they change in records before them, and when they change nothing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from voicelog.app.instructions import Asked, asked_of
from voicelog.records import Store
from voicelog.types import (
    ChangeKind,
    Draft,
    Instruction,
    Interval,
    Memo,
    Parse,
    Precision,
    Quantity,
    SlotValue,
    Status,
    frozen_slots,
)

MORNING = datetime(2027, 5, 4, 8, tzinfo=UTC)


def draft(kind: str, **slots: SlotValue) -> Draft:
    return Draft(
        kind=kind,
        status=Status.DONE,
        when=Interval(from_=MORNING, to=MORNING, precision=Precision.MINUTE),
        when_said=None,
        place=None,
        flock=None,
        birds=(),
        slots=frozen_slots(slots),
        text="words",
        certainty=0.9,
    )


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(str(tmp_path / "store.db")) as opened:
        yield opened


def keep(store: Store, minutes: int, *drafts: Draft) -> Memo:
    said_at = MORNING + timedelta(minutes=minutes)
    memo = store.keep_memo(said_at=said_at, text="words", source="typed")
    parse = Parse(memo="words", now=said_at, records=drafts)
    store.keep_parse(memo.id, parse, parser="by hand")
    return memo


def asked(store: Store, minutes: int, **said: object) -> Asked:
    said_at = MORNING + timedelta(minutes=minutes)
    memo = store.keep_memo(said_at=said_at, text="words", source="typed")
    return asked_of(store, memo, (Instruction(text="words", **said),))  # type: ignore[arg-type]


def said_changes(found: Asked) -> list[tuple[int, ChangeKind, str | None, object]]:
    assert found.problems == ()
    return [(c.record_id, c.kind, c.field, c.new) for c in found.changes]


def test_withdrawing_takes_every_record_of_the_memo_before(store: Store) -> None:
    keep(store, 0, draft("eggs", count=1))
    keep(store, 1, draft("eggs", count=9), draft("feed", feed_type="layer"))
    found = said_changes(asked(store, 2, action="withdraw"))
    assert found == [(2, ChangeKind.WITHDRAW, None, None), (3, ChangeKind.WITHDRAW, None, None)]


def test_memos_without_records_are_passed_over(store: Store) -> None:
    keep(store, 0, draft("eggs", count=1))
    keep(store, 1)
    assert len(said_changes(asked(store, 2, action="withdraw"))) == 1


def test_what_was_said_later_is_not_the_memo_before(store: Store) -> None:
    keep(store, 0, draft("eggs", count=1))
    keep(store, 10, draft("eggs", count=2))
    ((record, *_),) = said_changes(asked(store, 5, action="withdraw"))
    assert record == 1


@pytest.mark.parametrize(
    ("kind", "slots", "value", "field", "new"),
    [
        ("eggs", {"count": 9}, 12, "count", 12),
        ("eggs", {"count": 9}, Quantity(value=1, unit="dozen"), "count", 12),
        ("eggs", {"cracked": 2}, 3, "cracked", 3),
        ("eggs", {}, 12, "count", 12),
        (
            "feed",
            {"amount": Quantity(value=2, unit="scoop")},
            3,
            "amount",
            Quantity(value=3, unit="scoop"),
        ),
        (
            "feed",
            {"amount": Quantity(value=2, unit="scoop")},
            Quantity(value=3, unit="pound"),
            "amount",
            Quantity(value=3, unit="pound"),
        ),
        (
            "supply",
            {
                "amount": Quantity(value=2, unit="bag"),
                "cost": Quantity(value=40, unit="dollar"),
            },
            Quantity(value=38, unit="dollar"),
            "cost",
            Quantity(value=38, unit="dollar"),
        ),
        ("treatment", {"days": 5}, Quantity(value=2, unit="week"), "days", 14),
    ],
)
def test_make_that_changes_the_number_it_can_mean(
    store: Store, kind: str, slots: dict[str, SlotValue], value: SlotValue, field: str, new: object
) -> None:
    keep(store, 0, draft("eggs", count=1), draft(kind, **slots))
    found = said_changes(asked(store, 1, action="make_that", value=value))
    assert found == [(2, ChangeKind.CORRECT, field, new)]


def test_a_place_or_another_slot_is_changed_by_name(store: Store) -> None:
    keep(store, 0, draft("feed", feed_type="layer"))
    place = asked(store, 1, action="make_that", slot="place", value="coop A")
    assert said_changes(place) == [(1, ChangeKind.CORRECT, "place", "coop A")]
    sort = asked(store, 1, action="make_that", slot="feed_type", value="grower")
    assert said_changes(sort) == [(1, ChangeKind.CORRECT, "feed_type", "grower")]


def test_a_kind_that_was_named_is_looked_for_further_back(store: Store) -> None:
    keep(store, 0, draft("eggs", count=9), draft("feed"))
    keep(store, 1, draft("fence", action="tested"))
    found = said_changes(asked(store, 2, action="make_that", kind="eggs", value=12))
    assert found == [(1, ChangeKind.CORRECT, "count", 12)]


@pytest.mark.parametrize(("ordinal", "record"), [(1, 1), (2, 2), (-1, 3)])
def test_an_ordinal_picks_one_record_of_the_memo_before(
    store: Store, ordinal: int, record: int
) -> None:
    keep(store, 0, draft("eggs", count=1), draft("eggs", count=2), draft("eggs", count=3))
    found = said_changes(asked(store, 1, action="withdraw", ordinal=ordinal))
    assert [item[0] for item in found] == [record]


@pytest.mark.parametrize(
    "said",
    [
        {"action": "make_that", "value": 12},
        {"action": "make_that", "slot": "nonsense", "value": 12},
        {"action": "make_that", "slot": "place"},
        {"action": "withdraw", "ordinal": 5},
    ],
)
def test_what_cannot_be_carried_out_is_told_and_changes_nothing(
    store: Store, said: dict[str, object]
) -> None:
    keep(store, 0, draft("remark"))
    found = asked(store, 1, **said)
    assert found.changes == ()
    assert len(found.problems) == 1
    assert "“words” changed nothing" in found.problems[0]


def test_a_withdrawn_memo_is_not_withdrawn_twice(store: Store) -> None:
    keep(store, 0, draft("eggs", count=1))
    store.keep_changes(asked(store, 1, action="withdraw").changes)
    again = asked(store, 2, action="withdraw")
    assert (again.changes, len(again.problems)) == ((), 1)


@pytest.mark.parametrize("action", ["show_left", "show_review", "stop"])
def test_what_only_a_screen_answers_changes_nothing(store: Store, action: str) -> None:
    keep(store, 0, draft("eggs", count=1))
    assert asked(store, 1, action=action) == Asked()
