"""How numbers, days and sources are written on the page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.page import Cited
from voicelog.husbandry import listed_publications
from voicelog.sentences import amount_text, counted, number_text

_DAYS_SHOWN = 6


def rounded(value: float, digits: int = 1) -> str:
    """A number with at most so many decimals."""
    return number_text(round(float(value), digits))


def amount(value: float, unit: str, digits: int = 1) -> str:
    """A number with its unit."""
    return amount_text(round(float(value), digits), unit)


def money(value: float, currency: str) -> str:
    """A sum of money, to the hundredth."""
    return f"{value:,.2f} {plural(currency)}"


def plural(unit: str) -> str:
    """A unit as it stands beside an axis: "pounds"."""
    return amount_text(2, unit).partition(" ")[2]


def span(low: float, high: float, digits: int = 1) -> str:
    """A range, or one number where both ends read the same."""
    ends = dict.fromkeys((rounded(low, digits), rounded(high, digits)))
    return " to ".join(ends)


def day(of: date) -> str:
    """A day of the calendar, short."""
    return f"{of.day} {of:%b}"


def day_span(first: date, last: date) -> str:
    """A day, or the first and last of several."""
    if first == last:
        return day(first)
    return f"{first.day}–{day(last)}" if first.month == last.month else f"{day(first)}–{day(last)}"


def day_list(days: Sequence[date]) -> str:
    """Days in a row, runs drawn together; of many, the first ones."""
    runs: list[list[date]] = []
    for each in days:
        if runs and (each - runs[-1][1]).days == 1:
            runs[-1][1] = each
        else:
            runs.append([each, each])
    shown = ", ".join(day_span(first, last) for first, last in runs[:_DAYS_SHOWN])
    more = len(runs) - _DAYS_SHOWN
    return f"{shown} and {more} more" if more > 0 else shown


def laid_text(gathered: Gathered, count: int) -> str:
    """A count of what is laid."""
    return counted(count, gathered.laying.each)


def cited(gathered: Gathered, *names: str) -> tuple[Cited, ...]:
    """The sources of published figures, by their names in `reporting.toml`."""
    listed = (gathered.reporting.sources[name] for name in names)
    return tuple(Cited(function=one.function, ids=one.ids, rest=one.rest) for one in listed)


def cited_rows(function: str, sources: Iterable[str]) -> tuple[Cited, ...]:
    """The publications that rows of a function's result name; none where they name none."""
    known = listed_publications()
    parts = (part.strip() for source in sources for part in source.split(","))
    ids = tuple(dict.fromkeys(part for part in parts if part in known))
    return (Cited(function=function, ids=ids),) if ids else ()
