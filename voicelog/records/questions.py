"""What is wanted, as SQL over the derived tables."""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import (
    ColumnElement,
    Connection,
    Row,
    Select,
    and_,
    exists,
    false,
    func,
    literal_column,
    or_,
    select,
)

from voicelog.records.comparing import folded, slot_columns
from voicelog.records.moments import FOREVER, ticks
from voicelog.records.schema import standing, standing_bird, standing_slot
from voicelog.records.wanted import DayTotal, Extremes, PlaceRecord, UnitSum, Wanted
from voicelog.records.written import draft_from
from voicelog.types import Record, SlotValue

_s = standing.c
_NEWEST = (_s.begins.desc(), _s.record_id.desc())
_OLDEST = (_s.begins, _s.record_id)
_OF_STANDING = and_(
    standing_slot.c.record_id == _s.record_id, standing_slot.c.revision == _s.revision
)


def find(
    connection: Connection, wanted: Wanted, *, newest_first: bool = True, limit: int | None = None
) -> tuple[Record, ...]:
    """The records wanted, by the moment they begin; of equals, the one kept last is newer."""
    query = _select(wanted).order_by(*(_NEWEST if newest_first else _OLDEST)).limit(limit)
    return tuple(_record(row) for row in connection.execute(query))


def records_of(connection: Connection, memo_id: int, as_of: datetime | None) -> tuple[Record, ...]:
    """The records of one memo that no newer parse replaced, in the order they were said."""
    wanted = Wanted(as_of=as_of, include_withdrawn=True)
    query = _select(wanted).where(_s.memo_id == memo_id).order_by(_s.record_id)
    return tuple(_record(row) for row in connection.execute(query))


def record_at(connection: Connection, record_id: int, as_of: datetime | None) -> Record | None:
    """One record as it stood; None where it did not stand yet, or a newer parse replaced it."""
    wanted = Wanted(as_of=as_of, include_withdrawn=True)
    row = connection.execute(_select(wanted).where(_s.record_id == record_id)).first()
    return None if row is None else _record(row)


def count(connection: Connection, wanted: Wanted) -> int:
    """How many records are wanted."""
    query = select(func.count()).select_from(standing).where(*conditions(wanted))
    return int(connection.scalar(query) or 0)


def sums(connection: Connection, wanted: Wanted, slot: str) -> tuple[UnitSum, ...]:
    """What a slot of the records adds up to, for each unit; bare numbers first."""
    unit, number = standing_slot.c.unit, standing_slot.c.number
    query = _numbers(wanted, slot, unit, func.sum(number), func.count()).group_by(unit)
    rows = connection.execute(query).all()
    return tuple(
        UnitSum(unit=unit, total=_number(total), records=records)
        for unit, total, records in sorted(rows, key=lambda row: row[0] or "")
    )


def extremes(connection: Connection, wanted: Wanted, slot: str) -> tuple[Extremes, ...]:
    """The records with the lowest and highest value of a slot, for each unit."""
    unit, number = standing_slot.c.unit, standing_slot.c.number
    query = _numbers(wanted, slot, unit, func.min(number), func.max(number)).group_by(unit)
    rows = connection.execute(query).all()
    return tuple(
        Extremes(
            unit=unit,
            lowest=_with_number(connection, wanted, slot, unit, low),
            highest=_with_number(connection, wanted, slot, unit, high),
        )
        for unit, low, high in sorted(rows, key=lambda row: row[0] or "")
    )


def latest_by_place(connection: Connection, wanted: Wanted) -> tuple[PlaceRecord, ...]:
    """The newest record at each place that has one, in order of the places' names."""
    newest = (
        select(_s.place, func.max(_s.begins).label("begins"))
        .where(*conditions(wanted))
        .group_by(_s.place)
        .subquery()
    )
    same_place = or_(_s.place == newest.c.place, and_(_s.place.is_(None), newest.c.place.is_(None)))
    query = (
        _select(wanted)
        .join(newest, and_(same_place, _s.begins == newest.c.begins))
        .order_by(_s.record_id)
    )
    found: dict[str, Record] = {}
    for row in connection.execute(query):
        record = _record(row)
        found[folded(record.draft.place or "")] = record
    return tuple(
        PlaceRecord(place=found[key].draft.place, record=found[key]) for key in sorted(found)
    )


def day_totals(
    connection: Connection, wanted: Wanted, slot: str, zone: ZoneInfo
) -> tuple[DayTotal, ...]:
    """What a slot adds up to on each calendar day that has a number, in order of days."""
    query = _numbers(wanted, slot, _s.begins, standing_slot.c.unit, standing_slot.c.number)
    rows = connection.execute(query.order_by(_s.begins)).all()
    if not rows:
        return ()
    first, starts = _day_starts(rows[0].begins, rows[-1].begins, zone)
    found: dict[tuple[date, str | None], list[float]] = {}
    for begins, unit, number in rows:
        day = first + timedelta(days=bisect_right(starts, begins) - 1)
        found.setdefault((day, unit), []).append(number)
    return tuple(
        DayTotal(day=day, unit=unit, total=_number(sum(numbers)), records=len(numbers))
        for (day, unit), numbers in sorted(found.items(), key=lambda i: (i[0][0], i[0][1] or ""))
    )


def conditions(wanted: Wanted) -> list[ColumnElement[bool]]:
    """What rows of `standing` must fulfil to be of the records wanted."""
    found = _when_seen(wanted)
    if wanted.kinds:
        found.append(_s.kind.in_(wanted.kinds))
    if wanted.statuses:
        found.append(_s.status.in_([status.value for status in wanted.statuses]))
    if wanted.places:
        found.append(_named(_s.place, wanted.places))
    if wanted.flocks:
        found.append(_named(_s.flock, wanted.flocks))
    if wanted.other_than_flocks:
        others = [folded(name) for name in wanted.other_than_flocks]
        found.append(or_(_s.flock.is_(None), _s.flock.not_in(others)))
    if wanted.when_from is not None:
        found.append(_s.begins >= ticks(wanted.when_from))
    if wanted.when_to is not None:
        found.append(_s.begins < ticks(wanted.when_to))
    if wanted.bird is not None:
        found.append(_has_bird(wanted.bird))
    found.extend(_has_slot(name, value) for name, value in wanted.slots.items())
    for word in folded(wanted.text or "").split():
        found.append(_s.words.contains(word, autoescape=True))
    return found


def _select(wanted: Wanted) -> Select[Any]:
    return select(
        _s.record_id, _s.memo_id, _s.said_at, _s.withdrawn, _s.confirmed, _s.corrected, _s.body
    ).where(*conditions(wanted))


def _numbers(wanted: Wanted, slot: str, *columns: Any) -> Select[Any]:
    return (
        select(*columns)
        .select_from(standing)
        .join(standing_slot, _OF_STANDING)
        .where(
            standing_slot.c.name == slot,
            standing_slot.c.number.is_not(None),
            *conditions(wanted),
        )
    )


def _with_number(
    connection: Connection, wanted: Wanted, slot: str, unit: str | None, number: float
) -> Record:
    query = (
        _select(wanted)
        .join(standing_slot, _OF_STANDING)
        .where(
            standing_slot.c.name == slot,
            standing_slot.c.number == number,
            standing_slot.c.unit.is_not_distinct_from(unit),
        )
        .order_by(*_NEWEST)
        .limit(1)
    )
    return _record(connection.execute(query).one())


def _when_seen(wanted: Wanted) -> list[ColumnElement[bool]]:
    # A record's first revision begins when its memo was said, so this hides later memos too.
    if wanted.as_of is None:
        found = [_s.until == literal_column(str(FOREVER))]
    else:
        moment = ticks(wanted.as_of)
        found = [_s.since <= moment, _s.until > moment]
    if not wanted.include_withdrawn:
        found.append(_s.withdrawn == false())
    return found


def _named(column: ColumnElement[str | None], names: Sequence[str | None]) -> ColumnElement[bool]:
    said = column.in_([folded(name) for name in names if name is not None])
    return or_(said, column.is_(None)) if None in names else said


def _has_bird(bird: str) -> ColumnElement[bool]:
    return exists().where(
        standing_bird.c.record_id == _s.record_id,
        standing_bird.c.revision == _s.revision,
        standing_bird.c.bird == folded(bird),
    )


def _has_slot(name: str, value: SlotValue) -> ColumnElement[bool]:
    number, text, _ = slot_columns(value)
    # Under a name of its own: the question may itself be about another slot.
    slot = standing_slot.alias().c
    return exists().where(
        slot.record_id == _s.record_id,
        slot.revision == _s.revision,
        slot.name == name,
        slot.text.is_(None) if text is None else slot.text == text,
        slot.number.is_(None) if number is None else slot.number == number,
    )


def _record(row: Row[Any]) -> Record:
    return Record(
        id=row.record_id,
        memo_id=row.memo_id,
        memo_said_at=datetime.fromisoformat(row.said_at),
        draft=draft_from(row.body),
        withdrawn=row.withdrawn,
        confirmed=row.confirmed,
        corrected=tuple(json.loads(row.corrected)),
    )


def _number(value: float) -> int | float:
    rounded = round(value, 9)
    return int(rounded) if rounded.is_integer() else rounded


def _day_starts(first: int, last: int, zone: ZoneInfo) -> tuple[date, list[int]]:
    day = _moment(first, zone).date()
    days = (_moment(last, zone).date() - day).days + 1
    return day, [
        ticks(datetime.combine(day + timedelta(days=n), time(), tzinfo=zone)) for n in range(days)
    ]


def _moment(at: int, zone: ZoneInfo) -> datetime:
    return (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=at)).astimezone(zone)
