"""Reads back what was written once: memos, original drafts and changes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, Select, select

from voicelog.errors import RequestError
from voicelog.records.revisions import State, state_of
from voicelog.records.schema import change, memo, parse, record, superseded
from voicelog.records.written import drafts_from, transcript_from, value_from
from voicelog.types import Change, ChangeKind, Draft, Memo, Record

AT_ONCE = 500
"""Rows asked for in one statement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """All that a stored record is made of."""

    record_id: int
    memo_id: int
    said_at: datetime
    draft: Draft
    """As the parser understood it, before any change."""
    changes: tuple[Change, ...]
    superseded: bool
    """Whether a newer parse of the memo took its place."""

    @property
    def state(self) -> State:
        """The record as it stands now."""
        return state_of(self.draft, self.changes)


def in_parts(ids: Sequence[int], size: int = AT_ONCE) -> Iterator[Sequence[int]]:
    """The ids in order, some at a time."""
    for start in range(0, len(ids), size):
        yield ids[start : start + size]


def sources_of(connection: Connection, record_ids: Sequence[int]) -> Iterator[Source]:
    """The sources of these records, in order of their ids; unknown ids give nothing."""
    for part in in_parts(sorted(record_ids)):
        changes = _changes_by_record(connection, part)
        yield from _sources(connection, part, changes)


def source_of(connection: Connection, record_id: int) -> Source:
    """The source of one record.

    Raises:
        RequestError: there is no such record.
    """
    for source in sources_of(connection, [record_id]):
        return source
    raise RequestError(
        f"There is no record {record_id}.", todo="Look its number up with `voicelog review`."
    )


def record_ids_of(connection: Connection, memo_id: int) -> list[int]:
    """The ids of every record ever made from a memo, superseded ones among them."""
    return list(
        connection.scalars(
            select(record.c.id).where(record.c.memo_id == memo_id).order_by(record.c.id)
        )
    )


def changes_of(connection: Connection, record_id: int) -> tuple[Change, ...]:
    """What happened to a record, the first first."""
    return _changes_by_record(connection, [record_id]).get(record_id, ())


def select_memos() -> Select[Any]:
    """A query whose rows `memo_from` reads."""
    return select(
        memo.c.id,
        memo.c.said_at,
        memo.c.text,
        memo.c.source,
        memo.c.transcript,
        memo.c.audio,
    )


def memo_from(row: Row[Any]) -> Memo:
    """The memo in a row of `select_memos`."""
    return Memo(
        id=row.id,
        said_at=datetime.fromisoformat(row.said_at),
        text=row.text,
        source=row.source,
        transcript=None if row.transcript is None else transcript_from(row.transcript),
        audio=row.audio,
    )


def record_of(source: Source) -> Record:
    """The record as it stands now; one that a newer parse replaced counts as withdrawn."""
    state = source.state
    return Record(
        id=source.record_id,
        memo_id=source.memo_id,
        memo_said_at=source.said_at,
        draft=state.draft,
        withdrawn=state.withdrawn or source.superseded,
        confirmed=state.confirmed,
        corrected=state.corrected,
    )


def original_of(source: Source) -> Record:
    """The record as the parser understood it, before any change."""
    return Record(
        id=source.record_id,
        memo_id=source.memo_id,
        memo_said_at=source.said_at,
        draft=source.draft,
    )


def _sources(
    connection: Connection, part: Sequence[int], changes: Mapping[int, tuple[Change, ...]]
) -> Iterator[Source]:
    rows = connection.execute(
        select(
            record.c.id,
            record.c.memo_id,
            record.c.parse_id,
            record.c.position,
            memo.c.said_at,
            parse.c.body,
            superseded.c.record_id.label("superseded"),
        )
        .join(memo, memo.c.id == record.c.memo_id)
        .join(parse, parse.c.id == record.c.parse_id)
        .outerjoin(superseded, superseded.c.record_id == record.c.id)
        .where(record.c.id.in_(part))
        .order_by(record.c.id)
    )
    parse_id, drafts = 0, ()  # type: tuple[int, tuple[Draft, ...]]
    for row in rows:
        if row.parse_id != parse_id:
            parse_id, drafts = row.parse_id, drafts_from(row.body)
        yield Source(
            record_id=row.id,
            memo_id=row.memo_id,
            said_at=datetime.fromisoformat(row.said_at),
            draft=drafts[row.position],
            changes=changes.get(row.id, ()),
            superseded=row.superseded is not None,
        )


def _changes_by_record(
    connection: Connection, part: Sequence[int]
) -> Mapping[int, tuple[Change, ...]]:
    found: dict[int, list[Change]] = defaultdict(list)
    for row in connection.execute(
        select(change).where(change.c.record_id.in_(part)).order_by(change.c.id)
    ):
        found[row.record_id].append(
            Change(
                id=row.id,
                record_id=row.record_id,
                kind=ChangeKind(row.kind),
                at=datetime.fromisoformat(row.at),
                field=row.field,
                old=value_from(row.old),
                new=value_from(row.new),
                memo_id=row.memo_id,
            )
        )
    return {record_id: tuple(items) for record_id, items in found.items()}
