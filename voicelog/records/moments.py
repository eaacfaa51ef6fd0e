"""Times on their way into the store.

A moment is kept twice: as whole microseconds since 1970 in UTC, which sort and compare in any
database, and as ISO text with the offset it was said in, so that it comes back unchanged.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from voicelog.types import Interval

FOREVER = 2**63 - 1
"""Later than every moment: the end of what still stands."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_TICK = timedelta(microseconds=1)


def ticks(moment: datetime) -> int:
    """Microseconds since 1970 in UTC.

    Raises:
        ValueError: the date-time has no offset, so it names no moment.
    """
    if moment.utcoffset() is None:
        raise ValueError(f"expected a date-time with an offset, got {moment.isoformat()}")
    return (moment - _EPOCH) // _TICK


def begins(when: Interval, said_at: datetime) -> datetime:
    """The moment that a record is sorted by: its `from`, else its `to`, else its memo's time."""
    return when.from_ or when.to or said_at
