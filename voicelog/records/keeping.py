"""Writes what is kept for good: memos, parses and changes, with what follows from them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Table, insert, select

from voicelog.errors import RequestError
from voicelog.moments import interval_text
from voicelog.records.audio import Blob
from voicelog.records.history import memo_from, record_ids_of, select_memos, source_of, sources_of
from voicelog.records.moments import ticks
from voicelog.records.reparse import place
from voicelog.records.revisions import field_value, state_of
from voicelog.records.schema import audio, change, memo, parse, record, superseded
from voicelog.records.standing import stand
from voicelog.records.wanted import NewChange
from voicelog.records.written import (
    FieldValue,
    parse_from,
    parse_text,
    transcript_text,
    value_text,
)
from voicelog.types import Change, ChangeKind, Interval, Memo, Parse, Transcript


def keep_memo(
    connection: Connection,
    *,
    said_at: datetime,
    text: str,
    source: str,
    transcript: Transcript | None,
    blob: Blob | None,
) -> Memo:
    """Add a memo; its recording must lie in the audio folder already."""
    memo_id = _add(
        connection,
        memo,
        said=ticks(said_at),
        said_at=said_at.isoformat(),
        text=text,
        source=source,
        transcript=None if transcript is None else transcript_text(transcript),
        audio=None if blob is None else keep_blob(connection, blob),
    )
    return memo_of(connection, memo_id)


def memo_of(connection: Connection, memo_id: int) -> Memo:
    """One memo.

    Raises:
        RequestError: there is no such memo.
    """
    row = connection.execute(select_memos().where(memo.c.id == memo_id)).first()
    if row is None:
        raise RequestError(
            f"There is no memo {memo_id}.", todo="Look its number up with `voicelog review`."
        )
    return memo_from(row)


def parse_of(connection: Connection, memo_id: int) -> Parse | None:
    """The newest parse of a memo; None where it was never parsed.

    Raises:
        RequestError: there is no such memo.
    """
    said = memo_of(connection, memo_id)
    newest = select(parse.c.body).where(parse.c.memo_id == memo_id).order_by(parse.c.id.desc())
    body = connection.execute(newest.limit(1)).scalar_one_or_none()
    return None if body is None else parse_from(body, said.text)


def blob_of(connection: Connection, sha256: str) -> Blob:
    """A recording that was kept.

    Raises:
        RequestError: the store never had it.
    """
    row = connection.execute(select(audio).where(audio.c.sha256 == sha256)).first()
    if row is None:
        raise RequestError(f"The store has no recording {sha256}.")
    return Blob(sha256=row.sha256, suffix=row.suffix, bytes=row.bytes)


def keep_parse(connection: Connection, memo_id: int, understood: Parse, parser: str) -> None:
    """Add a parse of a memo, and the records that it gives beside those already settled.

    Raises:
        RequestError: there is no such memo.
    """
    memo_of(connection, memo_id)
    there = record_ids_of(connection, memo_id)
    placement = place(list(sources_of(connection, there)), understood.records)
    parse_id = _add(connection, parse, memo_id=memo_id, parser=parser, body=parse_text(understood))
    for record_id in placement.replaced:
        connection.execute(insert(superseded).values(record_id=record_id, parse_id=parse_id))
    added = [
        _add(connection, record, memo_id=memo_id, parse_id=parse_id, position=position)
        for position in placement.added
    ]
    stand(connection, [*placement.replaced, *added])


def keep_changes(connection: Connection, changes: Sequence[NewChange]) -> tuple[Change, ...]:
    """Add changes in the order given; each sees those before it.

    Raises:
        RequestError: a record or memo is unknown, or a value does not fit its field.
    """
    kept = tuple(_keep_change(connection, new) for new in changes)
    stand(connection, sorted({new.record_id for new in changes}))
    return kept


def _keep_change(connection: Connection, new: NewChange) -> Change:
    if new.memo_id is not None:
        memo_of(connection, new.memo_id)
    source = source_of(connection, new.record_id)
    now = source.state.draft
    field = new.field if new.kind is ChangeKind.CORRECT else None
    old = None if field is None else field_value(now, field)
    value = None if field is None else _value(new)
    row: dict[str, Any] = {
        "record_id": new.record_id,
        "kind": new.kind.value,
        "at": new.at.isoformat(),
        "field": field,
        "old": value_text(old),
        "new": value_text(value),
        "memo_id": new.memo_id,
    }
    made = Change(
        id=_add(connection, change, **row),
        record_id=new.record_id,
        kind=new.kind,
        at=datetime.fromisoformat(row["at"]),
        field=field,
        old=old,
        new=value,
        memo_id=new.memo_id,
    )
    try:
        ticks(new.at)
        state_of(source.draft, [*source.changes, made])
    except ValueError as error:
        raise RequestError(
            f"Record {new.record_id} cannot be changed so: {error}.",
            kept="It stands as it was.",
            todo="Give a value that fits the field.",
        ) from error
    return made


def _value(new: NewChange) -> FieldValue:
    return interval_text(new.new) if isinstance(new.new, Interval) else new.new


def keep_blob(connection: Connection, blob: Blob) -> str:
    """Add a recording unless it is there, and give its name."""
    known = connection.scalar(select(audio.c.sha256).where(audio.c.sha256 == blob.sha256))
    if known is None:
        connection.execute(
            insert(audio).values(sha256=blob.sha256, suffix=blob.suffix, bytes=blob.bytes)
        )
    return blob.sha256


def _add(connection: Connection, table: Table, **values: Any) -> int:
    made = connection.execute(insert(table).values(**values).returning(table.c.id))
    return int(made.scalar_one())
