"""Lengths of time: "two weeks", "an hour and a half", "1 month and 21 days"."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.calendar import add_months, at_hour, instant, month_of, shifted
from voicelog.text.times.calendar import day_of as whole_day
from voicelog.text.times.terms import Atoms
from voicelog.types import Interval

_MONTHS = {"month": 1, "season": 3, "year": 12}
_DAYS = {"day": 1, "week": 7, "weekend": 7, "fortnight": 14}
_SECONDS = {"hour": 3600, "minute": 60, "second": 1}
_COARSE_FIRST = ("year", "season", "month", "fortnight", "weekend", "week", "day", "hour",
                 "minute", "second")  # fmt: skip
_HALF_OF = {"year": ("month", 6), "week": ("day", 3), "month": ("day", 15),
            "day": ("hour", 12), "hour": ("minute", 30), "minute": ("second", 30)}  # fmt: skip


_MOST_JOINED = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """A length in the units of the calendar and of the clock."""

    months: int = 0
    days: int = 0
    seconds: int = 0
    unit: str
    """The finest unit said."""

    def from_day(self, day: date, sign: int) -> date:
        """The day that lies this length after (1) or before (-1) another; hours do not count."""
        return add_months(day, sign * self.months) + timedelta(days=sign * self.days)

    def from_moment(self, moment: datetime, sign: int) -> Interval:
        """The time that lies this length after or before a moment, as exact as its unit."""
        day = self.from_day(moment.date(), sign)
        if self.unit == "year":
            return month_of(day, moment.tzinfo)
        if not self.seconds:
            return whole_day(day, moment.tzinfo)
        same = at_hour(day, moment.tzinfo, moment.hour, moment.minute, moment.second)
        length = timedelta(seconds=sign * self.seconds)
        # Only a length with days in it goes through the wall clock; hours are real hours.
        start = same if self.days or self.months else moment
        return instant(shifted(start, length), words.UNIT_PRECISION[self.unit])

    def window(self, moment: datetime, sign: int) -> Interval:
        """The stretch of this length that ends (-1) or begins (1) at a moment."""
        precision = words.UNIT_PRECISION[self.unit]
        if self.seconds and not (self.days or self.months):
            other = shifted(moment, timedelta(seconds=sign * self.seconds))
        else:
            day = self.from_day(moment.date(), sign)
            other = at_hour(day, moment.tzinfo, moment.hour, moment.minute, moment.second)
        if sign < 0:
            return Interval(from_=other, to=moment, precision=precision)
        return Interval(from_=moment, to=other, precision=precision)


def length_of(count: int, unit: str) -> Length:
    """A number of one unit."""
    return Length(
        months=count * _MONTHS.get(unit, 0),
        days=count * _DAYS.get(unit, 0),
        seconds=count * _SECONDS.get(unit, 0),
        unit=unit,
    )


def _sum(one: Length, other: Length) -> Length:
    finest = max(one.unit, other.unit, key=_COARSE_FIRST.index)
    return Length(
        months=one.months + other.months,
        days=one.days + other.days,
        seconds=one.seconds + other.seconds,
        unit=finest,
    )


def read_length(atoms: Atoms, at: int) -> tuple[Length, int] | None:
    """A length that begins at this place, with the place after it."""
    found = _one_length(atoms, at)
    if found is None:
        return None
    length, here = found
    for _ in range(_MOST_JOINED):
        link = atoms.skip(atoms.skip(here, ","), "and")
        more = _one_length(atoms, link)
        if more is None or more[0].unit == length.unit:
            break
        length, here = _sum(length, more[0]), more[1]
    return length, here


def _unit(atoms: Atoms, at: int) -> str | None:
    return words.UNITS.get(atoms.word(at))


def _one_length(atoms: Atoms, at: int) -> tuple[Length, int] | None:
    if atoms.is_word(at, "half"):
        here = atoms.skip(at + 1, "a", "an")
        unit = _unit(atoms, here)
        if unit not in _HALF_OF:
            return None
        finer, part = _HALF_OF[unit]
        return length_of(part, finer), here + 1
    atom = atoms[at]
    if atom.kind is Kind.NUMBER:
        count, here = atom.value, at + 1
    elif atom.word in ("a", "an"):
        count, here = 1, at + 1
    elif atom.kind is Kind.DECIMAL:
        return _decimal_length(atoms, at)
    else:
        return None
    half = atoms.is_word(here, "and") and atoms.is_word(here + 1, "a") and _is_half(atoms, here + 2)
    here = here + 3 if half else here
    unit = _unit(atoms, here)
    if unit is None or count > 100_000:
        return None
    here += 1
    if not half and atoms.is_word(here, "and") and atoms.is_word(here + 1, "a"):
        half = _is_half(atoms, here + 2)
        here = here + 3 if half else here
    length = length_of(count, unit)
    if half and unit in _HALF_OF:
        finer, part = _HALF_OF[unit]
        return _sum(length, length_of(part, finer)), here
    return length, here


def _is_half(atoms: Atoms, at: int) -> bool:
    return atoms.is_word(at, "half")


def _decimal_length(atoms: Atoms, at: int) -> tuple[Length, int] | None:
    """Two point five hours; a part of a day or more is left unread."""
    unit = _unit(atoms, at + 1)
    if unit not in ("hour", "minute"):
        return None
    try:
        seconds = round(float(atoms.word(at)) * _SECONDS[unit])
    except ValueError:
        return None
    return Length(seconds=seconds, unit="minute"), at + 2
