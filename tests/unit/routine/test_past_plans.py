"""What was left on the days before today, by all that was said since."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from voicelog.farm import Chore, Every
from voicelog.records import Store
from voicelog.routine import day_plan, past_plans
from voicelog.types import Draft, Interval, Parse, Precision, Status, frozen_slots

ZONE = ZoneInfo("America/New_York")


def chore(record: str = "eggs", count: int = 1, unit: str = "day") -> Chore:
    every = Every(count=count, unit=unit)
    return Chore(record=record, places=(), every=every, by=None, match=frozen_slots(), words=record)


def at(day: int, hour: int = 8, *, month: int = 5, fold: int = 0) -> datetime:
    return datetime(2027, month, day, hour, 30, tzinfo=ZONE, fold=fold)


def keep(
    store: Store,
    said_at: datetime,
    when: datetime,
    *,
    kind: str = "eggs",
    status: Status = Status.DONE,
) -> None:
    draft = Draft(
        kind=kind,
        status=status,
        when=Interval(from_=when, to=when, precision=Precision.MINUTE),
        when_said=None,
        place=None,
        flock=None,
        birds=(),
        slots=frozen_slots(),
        text=kind,
        certainty=1.0,
    )
    memo = store.keep_memo(said_at=said_at, text=kind, source="typed")
    store.keep_parse(memo.id, Parse(memo=kind, now=said_at, records=(draft,)), parser="first")


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store.open(str(tmp_path / "farm.db"))


def left_on(store: Store, *chores: Chore, first: date, now: datetime) -> list[int]:
    plans = past_plans(chores, store, first, now)
    assert [plan.date for plan in plans] == sorted(plan.date for plan in plans)
    return [plan.date.day for plan in plans if plan.left]


def test_each_day_before_today_is_planned(store: Store) -> None:
    for day in (1, 2, 5):
        keep(store, at(day), at(day))
    assert left_on(store, chore(), first=date(2027, 5, 1), now=at(6)) == [3, 4]


def test_no_day_is_over_yet(store: Store) -> None:
    assert past_plans((chore(),), store, date(2027, 5, 6), at(6)) == ()


def test_a_late_note_counts_for_the_day_it_names_but_not_before_it_is_said(store: Store) -> None:
    keep(store, at(4), at(2))
    assert left_on(store, chore(), first=date(2027, 5, 1), now=at(3)) == [1, 2]
    assert left_on(store, chore(), first=date(2027, 5, 1), now=at(5)) == [1, 3, 4]


def test_a_day_on_which_it_was_skipped_is_not_left(store: Store) -> None:
    keep(store, at(2), at(2), status=Status.NOT_DONE)
    assert left_on(store, chore(), first=date(2027, 5, 1), now=at(4)) == [1, 3]


def test_what_was_done_long_before_the_first_day_counts(store: Store) -> None:
    keep(store, at(20, month=4), at(20, month=4))
    monthly = chore(unit="month")
    assert left_on(store, monthly, first=date(2027, 5, 10), now=at(23)) == [20, 21, 22]


def test_every_past_day_is_as_it_was_planned_that_evening(store: Store) -> None:
    for day in (1, 2, 4, 8, 9, 14, 20):
        keep(store, at(day), at(day))
        keep(store, at(day, 9), at(day, 9), kind="feed")
    keep(store, at(11), at(11), status=Status.NOT_DONE)
    chores = (chore(), chore("feed", 3), chore("water"))
    for plan in past_plans(chores, store, date(2027, 4, 28), at(25)):
        evening = datetime(plan.date.year, plan.date.month, plan.date.day, 23, 59, tzinfo=ZONE)
        assert plan == day_plan(chores, store, evening)


def test_the_hour_that_the_clocks_go_back_over_keeps_its_order(store: Store) -> None:
    keep(store, at(7, 1, month=11), at(7, 1, month=11))
    now = datetime(2027, 11, 7, 1, 10, tzinfo=ZONE, fold=1)
    assert day_plan((chore(),), store, now).done
