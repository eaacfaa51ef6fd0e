"""The days of a setting of chicken eggs, and how it came out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

_CANDLE_DAYS = (7, 14)
"""S101 (C) and common practice: before day 7 little shows, by day 14 a quitter does."""
_LOCKDOWN_DAY = 18
"""S94 (B), S98 (A): turning stops for the last three days."""
_HATCH_DAY = 21
"""S94 (B), S95 (A)."""
_PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class IncubationCalendar:
    """What is due when; the day of setting is day 0."""

    set_on: date
    candle: tuple[date, ...]
    """Hold an egg against a light; take out clear ones and quitters."""
    lockdown: date
    """Last turning; from here on the eggs are left alone."""
    hatch: date


def incubation_calendar(set_on: date) -> IncubationCalendar:
    """The calendar of chicken eggs set on a day, under a hen or in an incubator.

    Unit: dates.
    Range: hatching may come a day or two early or late (S94, B).
    Source: S94, grade B; S95 and S98, grade A; candling days S101, grade C.

    Raises:
        RequestError: the dates would run past the end of the calendar.
    """
    try:
        due = [set_on + timedelta(days=days) for days in (*_CANDLE_DAYS, _LOCKDOWN_DAY, _HATCH_DAY)]
    except OverflowError as problem:
        raise RequestError(
            f"Nothing can be planned from {set_on}: the calendar ends before it is done.",
            kept="Nothing was reckoned.",
            todo="Give the day on which they were set.",
        ) from problem
    *candle, lockdown, hatch = due
    return IncubationCalendar(set_on=set_on, candle=tuple(candle), lockdown=lockdown, hatch=hatch)


def fertility_percent(set_: int, clear: int) -> float:
    """How many of the eggs set were fertile, by those found clear in candling.

    Unit: percent.
    Range: 0 to 100.
    Source: S103, grade C; the formula also S4, grade C.

    Raises:
        RequestError: `set_` is not above 0, or `clear` is below 0 or more than were set.
    """
    _part(clear, set_, "The number found clear")
    return (set_ - clear) / set_ * _PERCENT


def hatch_percent(hatched: int, of: int) -> float:
    """How many hatched of the eggs set, or of the fertile ones (hatchability).

    Unit: percent.
    Range: 0 to 100; of those set, about 90 in commercial hatcheries (S105, C), 50 to 80 in small
        incubators (from memory, M).
    Source: S4, grade C.

    Raises:
        RequestError: `of` is not above 0, or `hatched` is below 0 or more than `of`.
    """
    _part(hatched, of, "The number hatched")
    return hatched / of * _PERCENT


def _part(part: int, whole: int, what: str) -> None:
    at_least_zero(part, what)
    if part > above_zero(whole, "The number it is a part of"):
        raise RequestError(
            f"{what} is {part}, more than the {whole} it is a part of.",
            kept="Nothing was reckoned.",
            todo="Count both again.",
        )
