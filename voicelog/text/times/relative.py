"""Second pass, times named from now: yesterday, last week, next friday, this spring."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.calendar import (
    add_months,
    day_of,
    monday_of,
    month_of,
    moved,
    stretch,
    unit_of,
    weekend_of,
)  # fmt: skip
from voicelog.text.times.dates import read_date
from voicelog.text.times.resolve import (
    day_at,
    moment_now,
    season,
    season_begun,
    settle_date,
)  # fmt: skip
from voicelog.text.times.terms import Atoms, Found, Setting
from voicelog.types import Interval, Precision

_BEFORE_A_SEASON = words.listed("in since during until till before after by over early mid late of")
_AFTER_A_MONTH = words.listed("to through until till and in on at was is we i it")
_CALENDAR_UNITS = frozenset({"week", "weekend", "month", "season", "year"})


def read_named(atoms: Atoms, at: int, setting: Setting) -> Found:
    """A time named from now that begins at this place, with the place after it."""
    best: Found = None
    for read in _READERS:
        found = read(atoms, at, setting)
        if found is not None and (best is None or found[1] > best[1]):
            best = found
    return best


def _day_word(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Today, yesterday, the day before yesterday, the day after tomorrow, all day."""
    here = atoms.skip(at, "the")
    if atoms.is_word(here, "day") and atoms.is_word(here + 1, "before", "after"):
        sign = -1 if atoms.is_word(here + 1, "before") else 1
        offset = words.DAY_WORDS.get(atoms.word(here + 2))
        return (day_at(setting, offset + sign), here + 3) if offset else None
    atom = atoms[at]
    if atom.kind is Kind.DAY:
        return day_at(setting, atom.value), at + 1
    if atoms.is_word(at, "all") and atoms.is_word(at + 1, "week", "month", "year"):
        return unit_of(atoms.word(at + 1), setting.today, setting.zone), at + 2
    if atoms.is_word(here, "week", "month", "year") and atoms.is_word(here + 1, "before"):
        unit = atoms.word(here)
        day = moved(setting.today, unit, -2)
        last = atoms.is_word(here + 2, "last")
        return (unit_of(unit, day, setting.zone), here + 3) if last else None
    if atoms.is_word(at, "all") and atoms.is_word(at + 1, "day"):
        long = atoms.is_word(at + 2, "long")
        return None if atoms[at + 2].kind is Kind.DAY else (day_at(setting, 0), at + 2 + long)
    return None


def _now(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Now, just now, right now, at the moment, at present."""
    if atoms.is_word(at, "just", "right") and atoms.is_word(at + 1, "now"):
        return moment_now(setting), at + 2
    if atoms.is_word(at, "now") and _now_is_a_time(atoms, at):
        return moment_now(setting), at + 1
    if not atoms.is_word(at, "at"):
        return None
    here = atoms.skip(at + 1, "the", "this")
    if atoms.is_word(here, "moment", "minute") and here > at + 1:
        return moment_now(setting), here + 1
    if atoms.is_word(here, "present"):
        return moment_now(setting), atoms.skip(here + 1, "time")
    if atoms.is_word(at + 1, "this") and atoms.is_word(here, "time"):
        return (moment_now(setting), here + 1) if atoms[here + 1].kind is not Kind.DAY else None
    return None


def _now_is_a_time(atoms: Atoms, at: int) -> bool:
    """Not in "now and then", "now that", "15 minutes from now"."""
    if atoms.is_word(at + 1, "and"):
        return not atoms.is_word(at + 2, "then", "again")
    if at and atoms.is_word(at - 1, "from"):
        return atoms.is_word(at + 1, "on", "until", "till", "to")
    return not (atoms.is_word(at + 1, "that") or (at and atoms.is_word(at - 1, "day", "by")))


def _shift_word(atoms: Atoms, at: int) -> tuple[int, int] | None:
    """Last, this or next as -1, 0 or 1, and the place after it."""
    word = atoms.word(at)
    if word in words.LAST:
        return -1, at + 1
    if word in words.THIS:
        past = atoms.word(at + 1)
        if past in words.PAST or (past in words.LAST and word == "this"):
            return -1, at + 2
        return (1, at + 2) if atoms.is_word(at + 1, "coming") else (0, at + 1)
    return (1, at + 1) if word in words.NEXT else None


def _modified(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Last week, this month, next friday, last april, this spring, last week tuesday."""
    here = atoms.skip(at, "the")
    if atoms.word(here) in words.PAST and atoms[here + 1].kind is Kind.WEEKDAY:
        shift, here = -1, here + 1
    else:
        found = _shift_word(atoms, here)
        if found is None:
            return None
        shift, here = found
    atom = atoms[here]
    if atom.kind is Kind.WEEKDAY:
        dated = _dated(atoms, here, shift, setting)
        return dated or (_weekday(atom.value, shift, setting), here + 1)
    if atom.word in ("working", "work") and atoms.is_word(here + 1, "week"):
        monday = monday_of(setting.today) + timedelta(days=7 * shift)
        friday = monday + timedelta(days=5)
        return stretch(monday, friday, setting.zone, Precision.WEEK), here + 2
    if atom.kind is Kind.MONTH and not _is_verb(atoms, here):
        return _month(atom.value, shift, setting), here + 1
    if atom.kind is Kind.SEASON:
        return _named_season(atom.value, shift, setting), here + 1
    unit = words.UNITS.get(atom.word)
    if unit == "fortnight" or unit not in _CALENDAR_UNITS or atom.word.endswith("s"):
        return _this_day(atoms, here, shift, setting)
    if atoms.is_word(here - 1, "past"):
        return None
    day = moved(setting.today, unit, shift)
    interval = unit_of(unit, day, setting.zone)
    weekday = _weekday_in(atoms, here + 1) if unit == "week" else None
    if weekday is not None:
        return day_of(monday_of(day) + timedelta(days=weekday[0]), setting.zone), weekday[1]
    return interval, here + 1


def _dated(atoms: Atoms, at: int, shift: int, setting: Setting) -> Found:
    """This friday, june 15th; next tuesday the 12th: the date says which one."""
    said = read_date(atoms, at)
    if said is None or said[0].day is None:
        return None
    leaning = replace(setting, lean="future" if shift > 0 else setting.lean)
    interval = settle_date(said[0], leaning)
    return (interval, said[1]) if interval else None


def _this_day(atoms: Atoms, here: int, shift: int, setting: Setting) -> Found:
    """This very day; "last day" and "next day" count from somewhere else."""
    if shift == 0 and atoms.is_word(here, "day"):
        return day_at(setting, 0), here + 1
    return None


def _weekday_in(atoms: Atoms, at: int) -> tuple[int, int] | None:
    """The weekday after "last week"."""
    here = atoms.skip(atoms.skip(at, "-", ","), "on")
    atom = atoms[here]
    return (atom.value, here + 1) if atom.kind is Kind.WEEKDAY else None


def _is_verb(atoms: Atoms, at: int) -> bool:
    """ "This may take longer", "last march we": only may reads as a verb after these words."""
    follower = atoms[at + 1]
    noun = follower.kind is not Kind.WORD or follower.word in _AFTER_A_MONTH
    return atoms.is_word(at, "may") and not noun


def _weekday(weekday: int, shift: int, setting: Setting) -> Interval:
    """Latest before today, that of this calendar week, or next after today."""
    today = setting.today
    if shift < 0:
        day = today - timedelta(days=(today.weekday() - weekday - 1) % 7 + 1)
    elif shift == 0:
        day = monday_of(today) + timedelta(days=weekday)
    else:
        day = today + timedelta(days=(weekday - today.weekday() - 1) % 7 + 1)
    return day_of(day, setting.zone)


def _month(month: int, shift: int, setting: Setting) -> Interval:
    """Latest such month over, that of this year, or next to begin."""
    day = setting.today.replace(month=month, day=1)
    if shift < 0 and month >= setting.today.month:
        day = add_months(day, -12)
    elif shift > 0 and month <= setting.today.month:
        day = add_months(day, 12)
    return month_of(day, setting.zone)


def _named_season(index: int, shift: int, setting: Setting) -> Interval:
    """Latest such season over, the one that runs or else leans, or the next to begin."""
    begun = season_begun(index, setting)
    running = setting.today < add_months(begun, 3)
    if shift < 0 and running:
        begun = add_months(begun, -12)
    elif shift > 0 or (shift == 0 and not running and setting.lean == "future"):
        begun = add_months(begun, 12)
    return season(begun, setting)


def _season(atoms: Atoms, at: int, setting: Setting) -> Found:
    """In spring, since the summer, in the fall of 2026; a bare season may be another word."""
    here = atoms.skip(at, "the")
    atom = atoms[here]
    if atom.kind is not Kind.SEASON:
        return None
    if atoms[here + 1].kind is Kind.NUMBER or atoms.is_word(here + 1, "of"):
        year = atoms[atoms.skip(here + 1, "of")]
        if year.kind is Kind.NUMBER and 1900 <= year.value < 2200:
            first = season_begun(atom.value, setting).replace(year=year.value)
            return season(first, setting), atoms.skip(here + 1, "of") + 1
    preposition = atoms.word(at - 1) if at else ""
    if preposition not in _BEFORE_A_SEASON:
        return None
    return _named_season(atom.value, 0, setting), here + 1


def _weekend(atoms: Atoms, at: int, setting: Setting) -> Found:
    """The weekend: the latest begun, or for plans the next to begin."""
    if not (atoms.is_word(at, "the") and atoms.is_word(at + 1, "weekend")):
        return None
    this = weekend_of(setting.today, setting.zone)
    begun = this.from_ is not None and this.from_.date() <= setting.today
    if setting.lean == "future":
        return (weekend_of(setting.today + timedelta(days=7 * begun), setting.zone)), at + 2
    return weekend_of(setting.today - timedelta(days=7 * (not begun)), setting.zone), at + 2


def _the_unit(atoms: Atoms, at: int, setting: Setting) -> Found:
    """For the week, over the year, in the month: the one that runs."""
    unit, preposition = atoms.word(at + 1), atoms.word(at - 1) if at else ""
    if not atoms.is_word(at, "the") or unit not in ("day", "week", "month", "year"):
        return None
    follower = atoms[at + 2]
    closed = follower.kind in (Kind.END, Kind.MARK) or follower.word in ("so", "and", "we", "i")
    if preposition not in ("for", "in", "over", "during") or not closed:
        return None
    if unit == "day" and preposition != "for":
        return None
    return unit_of(unit, setting.today, setting.zone), at + 2


def rest_of(interval: Interval, setting: Setting) -> Interval:
    """What is left of a period."""
    return Interval(from_=setting.now, to=interval.to, precision=interval.precision)


def so_far(interval: Interval, setting: Setting) -> Interval:
    """What is over of a period."""
    return Interval(from_=interval.from_, to=setting.now, precision=interval.precision)


_READERS = (
    _day_word, _modified, _weekend, _season, _the_unit, _now,
)  # fmt: skip
