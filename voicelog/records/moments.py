"""Times on their way into the store and back.

A moment is kept twice: as whole microseconds since 1970 in UTC, which sort and compare in any
database, and as ISO text with the offset it was said in, so that it comes back unchanged.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from voicelog.types import Interval, Precision

FOREVER = 2**63 - 1
"""Later than every moment: the end of what still stands."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_TICK = timedelta(microseconds=1)
_OPEN = ".."


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


def interval_text(when: Interval) -> str:
    """One line of text for an interval: `from/to precision`, an open side as two dots."""
    return f"{_side(when.from_)}/{_side(when.to)} {when.precision.value}"


def interval_from_text(text: str) -> Interval:
    """The interval that `interval_text` wrote.

    Raises:
        ValueError: the text has another form.
    """
    sides, _, precision = text.partition(" ")
    start, slash, end = sides.partition("/")
    if not slash:
        raise ValueError(f"expected `from/to precision`, got {text!r}")
    return Interval(from_=_moment(start), to=_moment(end), precision=Precision(precision))


def _side(moment: datetime | None) -> str:
    return _OPEN if moment is None else moment.isoformat()


def _moment(text: str) -> datetime | None:
    if text == _OPEN:
        return None
    moment = datetime.fromisoformat(text)
    ticks(moment)
    return moment
