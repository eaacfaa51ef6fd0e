"""Puts every chore of the farm, at each of its places, in one list of the day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING

from voicelog.records.comparing import fits
from voicelog.records.moments import begins
from voicelog.records.wanted import Wanted
from voicelog.routine.cadence import next_due
from voicelog.types import DayPlan, Record, Status, Task

if TYPE_CHECKING:
    from voicelog.farm import Chore, Flock
    from voicelog.records.store import Store

_INSTANT = timedelta(microseconds=1)
_RECENT_DAYS = 8
"""Days read at once: enough for what is done daily or weekly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Day:
    """The day that is planned, as far as it has come."""

    store: Store
    flocks: Sequence[Flock]
    now: datetime
    zone: tzinfo
    today: date
    recent: Mapping[tuple[str, Status], Sequence[Record]]
    """The records of the last days by kind and status, the newest first."""
    older: frozenset[str]
    """Kinds that were done before those days."""

    def starts(self, day: date) -> datetime:
        return _starts(day, self.zone)

    def of(self, record: Record) -> date:
        """The calendar day that a record counts for."""
        return begins(record.draft.when, record.memo_said_at).astimezone(self.zone).date()


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
    if now.tzinfo is None:
        raise ValueError("the days of a farm need a time zone")
    day = _day(chores, store, now, now.tzinfo, flocks)
    lists: dict[str, list[Task]] = {"left": [], "done": [], "skipped": [], "not_due": []}
    for chore in chores:
        for place in chore.places or (None,):
            name, task = _stands(day, chore, place)
            lists[name].append(task)
    return DayPlan(
        date=day.today,
        left=tuple(lists["left"]),
        done=tuple(lists["done"]),
        skipped=tuple(lists["skipped"]),
        not_due=tuple(lists["not_due"]),
    )


def _stands(day: _Day, chore: Chore, place: str | None) -> tuple[str, Task]:
    done = _newest(day, chore, place, Status.DONE)
    last = None if done is None else day.of(done)
    due_day = day.today if last is None else next_due(last, chore.every)
    shown_by = None
    name = "left" if due_day <= day.today else "not_due"
    if last == day.today:
        name, shown_by = "done", done
    elif skipped := _newest(day, chore, place, Status.NOT_DONE):
        name, shown_by = "skipped", skipped
    return name, Task(
        record=chore.record,
        match=chore.match,
        place=place,
        chore=chore.words,
        due=datetime.combine(due_day, chore.by or time(), tzinfo=day.zone),
        last_done=None if done is None else done.draft.when,
        by_record=None if shown_by is None else shown_by.id,
        by_memo=None if shown_by is None else shown_by.memo_id,
    )


def _day(
    chores: Sequence[Chore], store: Store, now: datetime, zone: tzinfo, flocks: Sequence[Flock]
) -> _Day:
    """The day with what most chores rest on, read at once: a question each would be slow."""
    today = now.date()
    kinds = tuple(sorted({chore.record for chore in chores}))
    first = _starts(today - timedelta(days=_RECENT_DAYS), zone)
    recent: dict[tuple[str, Status], list[Record]] = defaultdict(list)
    if kinds:
        wanted = Wanted(
            kinds=kinds,
            statuses=(Status.DONE, Status.NOT_DONE),
            when_from=first,
            when_to=_starts(today + timedelta(days=1), zone),
            as_of=now,
        )
        for record in store.find(wanted):
            recent[record.draft.kind, record.draft.status].append(record)
    done_before = Wanted(statuses=(Status.DONE,), when_to=first, as_of=now)
    return _Day(
        store=store,
        flocks=flocks,
        now=now,
        zone=zone,
        today=today,
        recent=recent,
        older=frozenset(
            kind for kind in kinds if store.find(replace(done_before, kinds=(kind,)), limit=1)
        ),
    )


def _starts(day: date, zone: tzinfo) -> datetime:
    return datetime.combine(day, time(), tzinfo=zone)


def _newest(day: _Day, chore: Chore, place: str | None, status: Status) -> Record | None:
    """The newest record that shows a chore done, or not done today."""
    wants = [_wanted(day, chore, status, where) for where in _where(day, chore, place)]
    for record in day.recent.get((chore.record, status), ()):
        if any(fits(wanted, record) for wanted in wants):
            return record
    if status is Status.NOT_DONE or chore.record not in day.older:
        return None
    found = [record for wanted in wants for record in day.store.find(wanted, limit=1)]
    return max(found, key=lambda r: (begins(r.draft.when, r.memo_said_at), r.id), default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Where:
    """Which records without regard to time mean one place."""

    places: tuple[str | None, ...] = ()
    flocks: tuple[str | None, ...] = ()
    other_than_flocks: tuple[str, ...] = ()


def _where(day: _Day, chore: Chore, place: str | None) -> Iterator[_Where]:
    if place is None:
        yield _Where()
        return
    here = {flock.name.casefold() for flock in day.flocks if flock.place == place}
    elsewhere = {flock.name.casefold() for flock in day.flocks if flock.place not in (None, place)}
    yield _Where(places=(place,))
    if len(chore.places) == 1:
        yield _Where(places=(None,), other_than_flocks=tuple(sorted(elsewhere - here)))
    elif here - elsewhere:
        yield _Where(places=(None,), flocks=tuple(sorted(here - elsewhere)))


def _wanted(day: _Day, chore: Chore, status: Status, where: _Where) -> Wanted:
    today_only = status is Status.NOT_DONE
    return Wanted(
        kinds=(chore.record,),
        statuses=(status,),
        places=where.places,
        flocks=where.flocks,
        other_than_flocks=where.other_than_flocks,
        slots=chore.match,
        when_from=day.starts(day.today) if today_only else None,
        # What will not be done tonight is said beforehand; what is done cannot lie ahead.
        when_to=day.starts(day.today + timedelta(days=1)) if today_only else day.now + _INSTANT,
        as_of=day.now,
    )
