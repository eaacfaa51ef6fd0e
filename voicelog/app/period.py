"""The calendar periods that a report covers."""

from __future__ import annotations

from datetime import date, timedelta

_SEASON_MONTHS = 3


def first_day(period: str, today: date) -> date:
    """The first day of the calendar period that a day lies in.

    A week begins on Monday; a season on the first of March, June, September or December.
    """
    if period == "week":
        return today - timedelta(days=today.weekday())
    if period == "month":
        return today.replace(day=1)
    if period == "season":
        back = today.month % _SEASON_MONTHS
        month, year = today.month - back, today.year
        return date(year, month, 1) if month else date(year - 1, 12, 1)
    return today
