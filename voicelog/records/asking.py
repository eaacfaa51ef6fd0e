"""Which values, birds and places the records wanted name: what questions list."""

from __future__ import annotations

from typing import Any

from sqlalchemy import ColumnElement, and_, func, select

from voicelog.records.questions import conditions
from voicelog.records.reader import StoreReader
from voicelog.records.schema import standing, standing_bird, standing_slot
from voicelog.records.wanted import Wanted

_s = standing.c


def slot_texts(store: StoreReader, wanted: Wanted, slot: str) -> tuple[str, ...]:
    """The texts that a slot of the records holds, each once, folded, the newest first."""
    return _distinct(store, wanted, standing_slot, standing_slot.c.text, (
        standing_slot.c.name == slot,
        standing_slot.c.unit.is_(None),
    ))  # fmt: skip


def birds_named(store: StoreReader, wanted: Wanted) -> tuple[str, ...]:
    """The birds that the records name, each once, folded, the newest first."""
    return _distinct(store, wanted, standing_bird, standing_bird.c.bird, ())


def _distinct(
    store: StoreReader,
    wanted: Wanted,
    table: Any,
    column: ColumnElement[str | None],
    further: tuple[ColumnElement[bool], ...],
) -> tuple[str, ...]:
    same = and_(table.c.record_id == _s.record_id, table.c.revision == _s.revision)
    query = (
        select(column)
        .select_from(standing)
        .join(table, same)
        .where(column.is_not(None), *further, *conditions(wanted))
        .group_by(column)
        .order_by(func.max(_s.begins).desc(), column)
    )
    with store.view() as connection:
        return tuple(str(text) for text in connection.scalars(query))
