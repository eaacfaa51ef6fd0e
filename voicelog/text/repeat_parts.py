"""What narrows a repetition: on which day, in which week, at which hour."""

from __future__ import annotations

from dataclasses import replace

from voicelog.text.repeat_lists import (
    read_list,
    read_months,
    read_nth_weekdays,
    read_numbers,
    read_positions,
    read_weekdays,
)
from voicelog.text.repeat_rules import WEEKDAY_NAMES, Rule
from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.clocks import read_clock
from voicelog.text.times.terms import Atoms, ClockSaid

_Found = tuple[Rule, int] | None
_EDGES = {"beginning": 1, "start": 1, "end": -1}
_AFTERNOON = range(1, 5)
"""A bare hour of these is taken as after noon: nobody plans a chore for three at night."""


def read_part(atoms: Atoms, at: int, rule: Rule) -> _Found:
    """One more part of a repetition, and the place after it."""
    for read in (_on, _edge, _in_week, read_clock_part, _in_the_part):
        found = read(atoms, at, rule)
        if found is not None:
            return found
    return None


def _on(atoms: Atoms, at: int, rule: Rule) -> _Found:
    """On mondays, on the 4th day, on the fourth thursday in november, on december 25th."""
    if not atoms.is_word(at, "on"):
        return None
    here = atoms.skip(at + 1, "the")
    days, after = read_weekdays(atoms, here)
    if days:
        return replace(rule, byday=days), after
    nth, after = read_nth_weekdays(atoms, here)
    if nth:
        return _in_months(atoms, replace(rule, byday=nth), after)
    months, after = read_months(atoms, here)
    if months:
        return _month_days(atoms, rule, months, after)
    if atoms.is_word(here, "day") and atoms[here + 1].kind is Kind.NUMBER:
        return _numbered(rule, [atoms[here + 1].value], here + 2)
    positions, after = read_positions(atoms, here)
    if not positions:
        return None
    if atoms.is_word(after, "instance") and atoms.is_word(after + 1, "of"):
        days, end = read_weekdays(atoms, after + 2)
        return (replace(rule, byday=days, bysetpos=tuple(positions)), end) if days else None
    return _numbered(rule, positions, atoms.skip(after, "day", "days"))


def _numbered(rule: Rule, positions: list[int], after: int) -> _Found:
    """The N-th day of what repeats; a week is counted from Sunday here, as calendars print it."""
    if rule.freq == "MONTHLY":
        return replace(rule, bymonthday=tuple(positions)), after
    if rule.freq == "YEARLY":
        return replace(rule, byyearday=tuple(positions)), after
    if rule.freq == "WEEKLY" and all(1 <= position <= 7 for position in positions):
        days = tuple(WEEKDAY_NAMES[(position - 2) % 7] for position in positions)
        return replace(rule, byday=days), after
    return None


def _in_months(atoms: Atoms, rule: Rule, at: int) -> tuple[Rule, int]:
    if not atoms.is_word(at, "in", "of"):
        return rule, at
    months, after = read_months(atoms, at + 1)
    return (replace(rule, bymonth=tuple(months)), after) if months else (rule, at)


def _month_days(atoms: Atoms, rule: Rule, months: list[int], at: int) -> _Found:
    days, after = read_positions(atoms, at)
    if not days:
        days, after = read_numbers(atoms, at)
    if not days or not all(-31 <= day <= 31 for day in days):
        return None
    return replace(rule, bymonth=tuple(months), bymonthday=tuple(days)), after


def _edge(atoms: Atoms, at: int, rule: Rule) -> _Found:
    """Every month at the beginning, each month at the end."""
    if not atoms.is_word(at, "at") or rule.freq not in ("MONTHLY", "YEARLY"):
        return None
    here = atoms.skip(at + 1, "the")
    edge = _EDGES.get(atoms.word(here))
    return _numbered(rule, [edge], here + 1) if edge else None


def _in_week(atoms: Atoms, at: int, rule: Rule) -> _Found:
    """Every friday in week 12 and 14: such weeks come once a year."""
    if not (atoms.is_word(at, "in") and atoms.is_word(at + 1, "week", "weeks")):
        return None
    weeks, after = read_numbers(atoms, at + 2)
    if not weeks or not all(1 <= week <= 53 for week in weeks):
        return None
    return replace(rule, freq="YEARLY", byweekno=tuple(weeks)), after


def read_clock_part(atoms: Atoms, at: int, rule: Rule, *, bare: bool = False) -> _Found:
    """At six, at 3:15, at seven and at five pm; `bare` takes a clear time without "at"."""
    if rule.byhour or not (bare or atoms.is_word(at, "at")):
        return None

    def clock(atoms: Atoms, at: int) -> tuple[ClockSaid, int] | None:
        here = atoms.skip(at, "at")
        found = read_clock(atoms, here, anchored=here > at or not bare)
        return None if found is None or found[0].sun else found

    clocks, after = read_list(atoms, at, clock)
    if not clocks:
        return None
    part = (
        words.PARTS.get(atoms.word(atoms.skip(after, "in") + 1))
        if atoms.is_word(after, "in")
        else None
    )
    hours = tuple(dict.fromkeys(_hour(clock, part) for clock in clocks))
    minutes = tuple(dict.fromkeys(clock.minute for clock in clocks))
    return replace(rule, byhour=hours, byminute=minutes), after


def _hour(clock: ClockSaid, part: tuple[int, int] | None) -> int:
    hour = clock.hour % 12
    if clock.exact:
        return clock.hour % 24
    if clock.half is not None:
        return hour + clock.half
    if part is not None:
        return hour if part[1] <= 12 else hour + 12
    return hour + 12 if clock.hour in _AFTERNOON or clock.hour == 12 else hour


def _in_the_part(atoms: Atoms, at: int, rule: Rule) -> _Found:
    """In the morning: belongs to the words, for a rule has no parts of a day."""
    if not atoms.is_word(at, "in") or not atoms.is_word(at + 1, "the"):
        return None
    return (rule, at + 3) if atoms[at + 2].kind is Kind.PART else None
