"""Puts every chore of the farm, at each of its places, in one list of the day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING

from voicelog.routine.cadence import next_due
from voicelog.routine.shown import Shown, day_begins, read_known, shown
from voicelog.types import DayPlan, Task

if TYPE_CHECKING:
    from voicelog.farm import Chore, Flock
    from voicelog.records.store import Store

_INSTANT = timedelta(microseconds=1)


def day_plan(
    chores: Sequence[Chore], store: Store, now: datetime, *, flocks: Sequence[Flock] = ()
) -> DayPlan:
    """Where each chore and place stands at this moment; each is in exactly one list.

    A record shows a chore done when it is of the chore's kind, has the slot values that the
    chore asks for, and names the chore's place. One that names no place counts where it can
    only mean that place: where the flock it names lives or, for a chore of one place, unless
    that flock lives elsewhere.
    Otherwise it counts for none, so that a chore is rather asked about once too often than
    forgotten. A chore without places is done wherever it was done.

    A chore is done when a done record begins today; else skipped when a record says that it
    was not done today; else not due, or left. Memos and changes later than `now` are not seen.

    Args:
        chores: the farm's chores.
        store: where the records are.
        now: aware; its zone is the farm's own, in which days begin and end.
        flocks: the farm's flocks, for where they live; without them no place is inferred.

    Raises:
        StoreError: the store cannot be read.
        ValueError: `now` has no time zone.
    """
    return _plans(chores, store, (now,), now, flocks)[0]


def past_plans(
    chores: Sequence[Chore],
    store: Store,
    first: date,
    now: datetime,
    *,
    flocks: Sequence[Flock] = (),
) -> tuple[DayPlan, ...]:
    """Where each chore stood at the end of every day from `first` to yesterday.

    What was noted late counts for the day it names, as long as it was said by `now`. See
    `day_plan` for the rest.
    """
    zone = _zone(now)
    days = [first + timedelta(days=ahead) for ahead in range((now.date() - first).days)]
    ends = [_last_moment(day, zone) for day in days]
    return _plans(chores, store, ends, now, flocks)


def _last_moment(day: date, zone: tzinfo) -> datetime:
    next_day = day_begins(day + timedelta(days=1), zone)
    return (next_day.astimezone(UTC) - _INSTANT).astimezone(zone)


def _zone(now: datetime) -> tzinfo:
    if now.tzinfo is None:
        raise ValueError("the days of a farm need a time zone")
    return now.tzinfo


def _plans(
    chores: Sequence[Chore],
    store: Store,
    moments: Sequence[datetime],
    now: datetime,
    flocks: Sequence[Flock],
) -> tuple[DayPlan, ...]:
    """A plan for each of the moments, which go up, by what is known at `now`."""
    if not moments:
        return ()
    _zone(now)
    known = read_known(chores, store, moments[0].date(), now, flocks=flocks)
    lists: list[dict[str, list[Task]]] = [
        {"left": [], "done": [], "skipped": [], "not_due": []} for _ in moments
    ]
    for chore in chores:
        for place in chore.places or (None,):
            records = shown(known, chore, place, moments[0])
            for at, named in zip(moments, lists, strict=True):
                name, task = _stands(records, chore, place, at)
                named[name].append(task)
    return tuple(
        DayPlan(
            date=at.date(),
            left=tuple(named["left"]),
            done=tuple(named["done"]),
            skipped=tuple(named["skipped"]),
            not_due=tuple(named["not_due"]),
        )
        for at, named in zip(moments, lists, strict=True)
    )


def _stands(records: Shown, chore: Chore, place: str | None, at: datetime) -> tuple[str, Task]:
    today, zone = at.date(), at.tzinfo
    # What will not be done tonight is said beforehand; what is done cannot lie ahead.
    begun, done = next((item for item in records.done if item[0] <= at), (None, None))
    last = None if begun is None else begun.astimezone(zone).date()
    not_today = (r for begun, r in records.not_done if begun.astimezone(zone).date() == today)
    skipped = next(not_today, None)
    due_day = today if last is None else next_due(last, chore.every)
    shown_by = None
    name = "left" if due_day <= today else "not_due"
    if last == today:
        name, shown_by = "done", done
    elif skipped is not None:
        name, shown_by = "skipped", skipped
    return name, Task(
        record=chore.record,
        match=chore.match,
        place=place,
        chore=chore.words,
        due=datetime.combine(due_day, chore.by or time(), tzinfo=zone),
        last_done=None if done is None else done.draft.when,
        by_record=None if shown_by is None else shown_by.id,
        by_memo=None if shown_by is None else shown_by.memo_id,
    )
