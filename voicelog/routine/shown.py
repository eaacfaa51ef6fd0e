"""Which records show a chore done, or not done: read at once for one day or for many."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING

from voicelog.records.comparing import fits, folded
from voicelog.records.moments import begins
from voicelog.records.wanted import Wanted
from voicelog.types import Record, Status

if TYPE_CHECKING:
    from voicelog.farm import Chore, Flock
    from voicelog.records.store import Store

_RECENT_DAYS = 8
"""Days read beyond those planned: enough for what is done daily or weekly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The records that show one chore at one place, the newest first.

    Each with its beginning in UTC, where an hour that the clocks go back over comes once only.
    """

    done: Sequence[tuple[datetime, Record]]
    """Of those before the days read, the newest at most."""
    not_done: Sequence[tuple[datetime, Record]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What a store knew of the chores' kinds of record at one moment."""

    store: Store
    flocks: Sequence[Flock]
    now: datetime
    first: datetime
    """The beginning of the days read."""
    recent: Mapping[tuple[str, Status], Mapping[str | None, Sequence[tuple[datetime, Record]]]]
    """The records of those days by kind and status, then by place as it is compared."""
    older: frozenset[str]
    """Kinds that were done before those days."""


def day_begins(day: date, zone: tzinfo) -> datetime:
    """The first moment of a day."""
    return datetime.combine(day, time(), tzinfo=zone)


def read_known(
    chores: Sequence[Chore], store: Store, first: date, now: datetime, *, flocks: Sequence[Flock]
) -> Known:
    """What chores rest on from the day `first` to that of `now`; later memos are not seen.

    Raises:
        StoreError: the store cannot be read.
    """
    zone = now.tzinfo
    assert zone is not None
    kinds = tuple(sorted({chore.record for chore in chores}))
    begin = day_begins(first - timedelta(days=_RECENT_DAYS), zone)
    recent: dict[tuple[str, Status], dict[str | None, list[tuple[datetime, Record]]]] = {}
    if kinds:
        wanted = Wanted(
            kinds=kinds,
            statuses=(Status.DONE, Status.NOT_DONE),
            when_from=begin,
            when_to=day_begins(now.date() + timedelta(days=1), zone),
            as_of=now,
        )
        for record in store.find(wanted):
            by_place = recent.setdefault((record.draft.kind, record.draft.status), {})
            by_place.setdefault(_place(record.draft.place), []).append((_begun(record), record))
    before = Wanted(statuses=(Status.DONE,), when_to=begin, as_of=now)
    return Known(
        store=store,
        flocks=flocks,
        now=now,
        first=begin,
        recent=recent,
        older=frozenset(
            kind for kind in kinds if store.find(replace(before, kinds=(kind,)), limit=1)
        ),
    )


def shown(known: Known, chore: Chore, place: str | None, earliest: datetime) -> Shown:
    """The records of a chore at a place, as far back as a plan at `earliest` needs them."""
    wants = [
        Wanted(
            kinds=(chore.record,),
            places=where.places,
            flocks=where.flocks,
            other_than_flocks=where.other_than_flocks,
            slots=chore.match,
            as_of=known.now,
        )
        for where in _where(known.flocks, chore, place)
    ]
    done = _fitting(known, chore, wants, Status.DONE)
    enough = any(begun <= earliest for begun, _ in done)
    if not enough and chore.record in known.older:
        done += _newest_before(known, wants)
    return Shown(done=done, not_done=_fitting(known, chore, wants, Status.NOT_DONE))


def _fitting(
    known: Known, chore: Chore, wants: Sequence[Wanted], status: Status
) -> list[tuple[datetime, Record]]:
    by_place = known.recent.get((chore.record, status), {})
    found: dict[int, tuple[datetime, Record]] = {}
    for wanted in wants:
        # Places first: a farm of many flocks has few records for each of its many chores.
        places = [_place(name) for name in wanted.places] if wanted.places else list(by_place)
        for place in places:
            for begun, record in by_place.get(place, ()):
                if fits(wanted, record):
                    found[record.id] = (begun, record)
    return sorted(found.values(), key=lambda item: (item[0], item[1].id), reverse=True)


def _newest_before(known: Known, wants: Sequence[Wanted]) -> list[tuple[datetime, Record]]:
    """The newest record before the days read, if any."""
    found = [
        (_begun(record), record)
        for wanted in wants
        for record in known.store.find(
            replace(wanted, statuses=(Status.DONE,), when_to=known.first), limit=1
        )
    ]
    return sorted(found, key=lambda item: (item[0], item[1].id))[-1:]


def _place(name: str | None) -> str | None:
    return None if name is None else folded(name)


def _begun(record: Record) -> datetime:
    return begins(record.draft.when, record.memo_said_at).astimezone(UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Where:
    """Which records without regard to time mean one place."""

    places: tuple[str | None, ...] = ()
    flocks: tuple[str | None, ...] = ()
    other_than_flocks: tuple[str, ...] = ()


def _where(flocks: Sequence[Flock], chore: Chore, place: str | None) -> Iterator[_Where]:
    if place is None:
        yield _Where()
        return
    here = {flock.name.casefold() for flock in flocks if flock.place == place}
    elsewhere = {flock.name.casefold() for flock in flocks if flock.place not in (None, place)}
    yield _Where(places=(place,))
    if len(chore.places) == 1:
        yield _Where(places=(None,), other_than_flocks=tuple(sorted(elsewhere - here)))
    elif here - elsewhere:
        yield _Where(places=(None,), flocks=tuple(sorted(here - elsewhere)))
