"""Second pass, dates: names of days and months, figures, and the N-th of something."""

from __future__ import annotations

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.figures import read_figures, read_short_figures, read_slashed
from voicelog.text.times.terms import Atoms, DateSaid

_NAMED_BY = words.listed(
    "in on since until till til before after by from during of to through thru between for "
    "last this next past previous early mid late around"
)
"""A doubtful month or a short weekday is a date after one of these."""


def read_date(atoms: Atoms, at: int, *, loose: bool = False) -> tuple[DateSaid, int] | None:
    """A date of the calendar that begins at this place, with the place after it.

    `loose` says that a preposition stands before, so that figures such as 4/22 are a date.
    """
    best: tuple[DateSaid, int] | None = None
    for read in (_weekday, _month_first, _day_first, read_figures, _year_first, _nth_weekday):
        found = read(atoms, at)
        if found is not None and (best is None or found[1] > best[1]):
            best = found
    short = read_short_figures(atoms, at) if loose else None
    if short is not None and (best is None or short[1] > best[1]):
        return short
    return best


def read_year(atoms: Atoms, at: int) -> tuple[int, int] | None:
    """A year: 2027, '87, nineteen seventy eight, two thousand and five, twenty twenty seven."""
    atom = atoms[at]
    if atom.kind is not Kind.NUMBER:
        return None
    if atom.digits:
        return (atom.value, at + 1) if atom.digits == 4 and 1000 <= atom.value < 2200 else None
    if 1000 <= atom.value < 2200:
        return atom.value, at + 1
    following = atoms[at + 1]
    if 10 <= atom.value <= 21 and following.kind is Kind.NUMBER and not following.digits:
        if 10 <= following.value < 100:
            return atom.value * 100 + following.value, at + 2
        if following.value == 0 and 0 < atoms[at + 2].value < 10:
            return atom.value * 100 + atoms[at + 2].value, at + 3
    if 10 <= atom.value <= 21 and following.word in ("oh", "o") and 0 < atoms[at + 2].value < 10:
        return atom.value * 100 + atoms[at + 2].value, at + 3
    return None


def _year_after(atoms: Atoms, at: int) -> tuple[int | None, int]:
    """The year that may follow a month or a day, after a comma or "of"."""
    here = atoms.skip(atoms.skip(at, ",", "-", "/"), "of", "in")
    found = read_year(atoms, here)
    if found is not None:
        return found
    if atoms.is_word(here, "'", "’"):
        here += 1
    elif not atoms.is_word(at, "of"):
        return None, at
    atom = atoms[here]
    if atom.kind is Kind.NUMBER and atom.digits == 2:
        return (2000 if atom.value < 50 else 1900) + atom.value, here + 1
    return None, at


def is_month(atoms: Atoms, at: int) -> bool:
    """Whether a month stands here; a doubtful word needs a preposition before it."""
    atom = atoms[at]
    if atom.kind is not Kind.MONTH:
        return False
    if atom.word not in words.DOUBTFUL_MONTHS:
        return True
    before = atoms[at - 1] if at > 0 else atoms[-1]
    if atoms.is_word(at + 1, "not", "be", "have", "take", "or"):
        return False
    joins = atoms.word(at + 1) in words.TO and atoms[at + 2].kind is Kind.MONTH
    joined = before.word in words.TO | {"and"} and atoms[at - 2].kind is Kind.MONTH and at > 1
    of_the = before.word == "the" and at > 1 and atoms.is_word(at - 2, "in", "of")
    return before.word in _NAMED_BY or joins or joined or of_the


def _month_day(atoms: Atoms, at: int) -> tuple[int, int] | None:
    """The day of a month as a number from 1 to 31, or as an ordinal."""
    here = atoms.skip(at, "the")
    atom = atoms[here]
    if atom.kind not in (Kind.NUMBER, Kind.ORDINAL) or not 1 <= atom.value <= 31:
        return None
    if atom.digits > 2:
        return None
    return atom.value, here + 1


def _month_first(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """May third, may 3rd 2027, april of 1987, october."""
    atom = atoms[at]
    if atom.kind is not Kind.MONTH:
        return None
    here = at + 1
    if atoms.is_word(here, ".") and atoms[here].start == atom.end:
        here += 1
    link = atoms.skip(here, ",", "/", "-")
    year, end = _year_after(atoms, here)
    if _after_figure(atoms, at) or atoms[here].digits > 4:
        return None
    if year is not None:
        return DateSaid(year=year, month=atom.value), end
    day = _month_day(atoms, link)
    if day is not None and not _is_count(atoms, day[1]):
        year, end = _year_after(atoms, day[1])
        return DateSaid(year=year, month=atom.value, day=day[0]), end
    if is_month(atoms, at):
        dotted = here > at + 1 and atom.word in words.SHORT_MONTHS
        return DateSaid(month=atom.value), here if dotted else at + 1
    return None


def _after_figure(atoms: Atoms, at: int) -> bool:
    """Whether a figure that is no day of the month stands before: "32 august", "7.31 august"."""
    before = atoms[at - 1] if at > 0 else atoms[-1]
    return before.kind is Kind.DECIMAL or (before.kind is Kind.NUMBER and 0 < before.digits < 4)


def _is_count(atoms: Atoms, at: int) -> bool:
    """Whether the number before is a clock's or a quantity's, not a day of the month."""
    atom = atoms[at]
    return atom.kind in (Kind.HALF, Kind.UNIT) or atom.word in ("o'clock", "oclock", "percent")


def _day_first(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """The third of may, 15 june 2016, twenty second day of september."""
    day = _month_day(atoms, at)
    if day is None:
        return None
    here = day[1]
    if atoms.is_word(here, "day") and atoms.is_word(here + 1, "of"):
        here += 1
    link = atoms.skip(atoms.skip(atoms.skip(here, "/", "-", ","), "of"), "the")
    month = atoms[link]
    if month.kind is not Kind.MONTH:
        return None
    verb = month.word in ("may", "march") and link == here and atoms[here - 1].kind is Kind.NUMBER
    if verb and not atoms[here - 1].digits:
        return None
    after = link + 1
    if atoms.is_word(after, ".") and month.word in words.SHORT_MONTHS:
        after += 1
    year, end = _year_after(atoms, after)
    end = link + 1 if year is None else end
    return DateSaid(year=year, month=month.value, day=day[0]), end


def _weekday(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """Monday; monday the third; thursday, february 18th; wed 13th."""
    atom = atoms[at]
    if atom.kind is not Kind.WEEKDAY or (at and atoms.word(at - 1) in words.FEASTS):
        return None
    here = at + 1
    if atom.word in words.SHORT_WEEKDAYS and atoms.is_word(here, "."):
        here += 1
    link = atoms.skip(here, ",", "-", "(")
    for read in (_month_first, _day_first, read_figures, read_slashed):
        found = read(atoms, link)
        if found is not None and found[0].day is not None:
            end = atoms.skip(found[1], ")") if atoms.is_word(link - 1, "(") else found[1]
            said = found[0]
            return DateSaid(year=said.year, month=said.month, day=said.day, weekday=atom.value), end
    the = atoms.is_word(here, "the")
    day = _month_day(atoms, here)
    if day is not None and (the or _could_be_day(atoms, here)):
        return DateSaid(day=day[0], weekday=atom.value), day[1]
    if atom.word in words.SHORT_WEEKDAYS and not _short_weekday(atoms, at):
        return None
    return DateSaid(weekday=atom.value), at + 1


def _could_be_day(atoms: Atoms, at: int) -> bool:
    """A figure or an ordinal after a weekday: "fri 14th", "friday 23 at 4"."""
    atom = atoms[at]
    if atom.kind is Kind.ORDINAL:
        return True
    return atom.digits == 2 and atom.value > 12 and atoms.is_word(at + 1, "at")


def _short_weekday(atoms: Atoms, at: int) -> bool:
    """Whether a written short form is a weekday here; "sat" and "sun" are words as well."""
    before = atoms.word(at - 1) if at > 0 else ""
    if atoms.word(at) in ("sat", "sun", "wed"):
        return before in _NAMED_BY
    return before in _NAMED_BY or not before or atoms[at + 1].kind in (Kind.END, Kind.MARK)


def _year_first(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """2016 november; 2016, nov; year 2016."""
    named = at + 1 if atoms.is_word(at, "year") else at
    year = read_year(atoms, atoms.skip(named, "of") if named > at else named)
    if year is None:
        return None
    link = atoms.skip(year[1], ",", "-")
    month = atoms[link]
    if month.kind is Kind.MONTH and not atoms.is_word(link + 1, "be", "not"):
        return DateSaid(year=year[0], month=month.value), link + 1
    return (DateSaid(year=year[0]), year[1]) if named > at else None


def _nth_weekday(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """The third wednesday of may, last fri in feb 2010, second to last friday of may."""
    here = atoms.skip(at, "the")
    nth, here = _nth(atoms, here)
    weekday = atoms[here]
    if nth == 0 or weekday.kind is not Kind.WEEKDAY:
        return None
    if atoms.is_word(here + 1, "of", "in"):
        month = _month_first(atoms, atoms.skip(here + 2, "the"))
        if month is not None and month[0].day is None:
            said = month[0]
            return DateSaid(
                year=said.year, month=said.month, weekday=weekday.value, nth=nth
            ), month[1]
    return (DateSaid(weekday=weekday.value, nth=nth), here + 1) if nth > 0 else None


def _nth(atoms: Atoms, at: int) -> tuple[int, int]:
    """Which of several, and the place after it; 0 where none is said."""
    if atoms.is_word(at, "last"):
        return -1, at + 1
    atom = atoms[at]
    if atom.kind is not Kind.ORDINAL or not 1 <= atom.value <= 5:
        return 0, at
    if atoms.is_word(at + 1, "to") and atoms.is_word(at + 2, "last", "the"):
        return -atom.value, atoms.skip(atoms.skip(at + 2, "the"), "last")
    return atom.value, at + 1
