"""The store: memos kept whole, records derived from them, and everything that changed since.

`Store` is loaded when it is first asked for, because the database library it stands on is
slow to import and most commands that only print help never need it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from voicelog.moments import interval_from_text, interval_text
from voicelog.records.wanted import (
    DayTotal,
    Extremes,
    Fault,
    Imported,
    NewChange,
    PlaceRecord,
    UnitSum,
    Wanted,
)

if TYPE_CHECKING:
    from voicelog.records.store import Store

__all__ = [
    "DayTotal",
    "Extremes",
    "Fault",
    "Imported",
    "NewChange",
    "PlaceRecord",
    "Store",
    "UnitSum",
    "Wanted",
    "interval_from_text",
    "interval_text",
]


def __getattr__(name: str) -> object:
    """Load `Store`, and with it the database library, on first use."""
    if name == "Store":
        from voicelog.records.store import Store

        return Store
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
