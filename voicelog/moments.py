"""Intervals as one line of text, in which a change keeps them and a screen reads them back."""

from __future__ import annotations

from datetime import datetime

from voicelog.types import Interval, Precision

_OPEN = ".."


def interval_text(when: Interval) -> str:
    """One line of text for an interval: `from/to precision`, an open side as two dots."""
    return f"{_side(when.from_)}/{_side(when.to)} {when.precision.value}"


def interval_from_text(text: str) -> Interval:
    """The interval that `interval_text` wrote.

    Raises:
        ValueError: the text has another form, or a side has no offset and so names no moment.
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
    if moment.utcoffset() is None:
        raise ValueError(f"expected a date-time with an offset, got {text!r}")
    return moment
