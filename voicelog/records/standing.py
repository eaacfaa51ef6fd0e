"""The derived tables that questions read: built from history, and checked against it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from sqlalchemy import Connection, Table, delete, insert, select

from voicelog.records.comparing import folded, slot_columns
from voicelog.records.history import Source, in_parts, sources_of
from voicelog.records.moments import begins, ticks
from voicelog.records.revisions import Revision, revisions
from voicelog.records.schema import DERIVED, record, standing, standing_bird, standing_slot
from voicelog.records.written import draft_text, dumps

_Row = dict[str, Any]


def stand(connection: Connection, record_ids: Sequence[int]) -> None:
    """Build the derived rows of these records again from their history."""
    for part in in_parts(sorted(record_ids)):
        for table in DERIVED:
            connection.execute(delete(table).where(table.c.record_id.in_(part)))
        _write(connection, list(sources_of(connection, part)))


def rebuild(connection: Connection) -> None:
    """Build every derived row again from history."""
    for table in DERIVED:
        connection.execute(delete(table))
    for part in in_parts(_all_ids(connection)):
        _write(connection, list(sources_of(connection, part)))


def differing(connection: Connection) -> tuple[int, ...]:
    """The ids of records whose derived rows are not what their history says."""
    found: set[int] = set()
    known = _all_ids(connection)
    for part in in_parts(known):
        sources = list(sources_of(connection, part))
        for table, rows in _rows(sources):
            found |= _differing(connection, table, part, rows)
    for table in DERIVED:
        found |= set(connection.scalars(select(table.c.record_id).distinct())) - set(known)
    return tuple(sorted(found))


def _all_ids(connection: Connection) -> list[int]:
    return list(connection.scalars(select(record.c.id).order_by(record.c.id)))


def _write(connection: Connection, sources: Sequence[Source]) -> None:
    for table, rows in _rows(sources):
        if rows:
            connection.execute(insert(table), rows)


def _rows(sources: Sequence[Source]) -> Iterator[tuple[Table, list[_Row]]]:
    stands: list[_Row] = []
    slots: list[_Row] = []
    birds: list[_Row] = []
    for source in sources:
        if source.superseded:
            continue
        states = revisions(source.said_at, source.draft, source.changes)
        for number, revision in enumerate(states):
            stands.append(_standing_row(source, number, revision))
            slots.extend(_slot_rows(source.record_id, number, revision))
            birds.extend(_bird_rows(source.record_id, number, revision))
    yield standing, stands
    yield standing_slot, slots
    yield standing_bird, birds


def _standing_row(source: Source, number: int, revision: Revision) -> _Row:
    state = revision.state
    draft = state.draft
    return {
        "record_id": source.record_id,
        "revision": number,
        "memo_id": source.memo_id,
        "said_at": source.said_at.isoformat(),
        "since": revision.since,
        "until": revision.until,
        "begins": ticks(begins(draft.when, source.said_at)),
        "kind": draft.kind,
        "status": draft.status.value,
        "place": None if draft.place is None else folded(draft.place),
        "flock": None if draft.flock is None else folded(draft.flock),
        "words": folded(draft.text),
        "withdrawn": state.withdrawn,
        "confirmed": state.confirmed,
        "corrected": dumps(state.corrected),
        "body": draft_text(draft),
    }


def _slot_rows(record_id: int, number: int, revision: Revision) -> Iterator[_Row]:
    for name, value in revision.state.draft.slots.items():
        amount, text, unit = slot_columns(value)
        yield {
            "record_id": record_id,
            "revision": number,
            "name": name,
            "number": amount,
            "text": text,
            "unit": unit,
        }


def _bird_rows(record_id: int, number: int, revision: Revision) -> Iterator[_Row]:
    for bird in sorted({folded(name) for name in revision.state.draft.birds}):
        yield {"record_id": record_id, "revision": number, "bird": bird}


def _differing(
    connection: Connection, table: Table, part: Sequence[int], rows: Sequence[_Row]
) -> set[int]:
    names = [column.name for column in table.columns]
    expected = {tuple(row[name] for name in names) for row in rows}
    there = {
        tuple(row) for row in connection.execute(select(table).where(table.c.record_id.in_(part)))
    }
    return {row[0] for row in expected ^ there}
