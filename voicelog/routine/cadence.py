"""When a chore is due again."""

from __future__ import annotations

import calendar
from datetime import date, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from voicelog.farm import Every


def next_due(last: date, every: Every) -> date:
    """The calendar day on which a chore last done on `last` is due again.

    A month later is the same day of the month, or its last day where it has no such day.
    """
    if every.unit == "month":
        return _months_after(last, every.count)
    return last + timedelta(days=every.count * (7 if every.unit == "week" else 1))


def _months_after(last: date, count: int) -> date:
    years, month = divmod(last.month - 1 + count, 12)
    year = last.year + years
    longest = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(last.day, longest))
