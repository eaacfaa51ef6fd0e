"""Second pass, dates: names of days and months, figures, and the N-th of something."""

from __future__ import annotations

from datetime import date

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.terms import Atoms, DateSaid

_NAMED_BY = frozenset(
    "in on since until till til before after by from during of to through thru and between for "
    "last this next past previous early mid late around".split()
)
"""A doubtful month or a short weekday is a date after one of these."""


def read_date(atoms: Atoms, at: int, *, loose: bool = False) -> tuple[DateSaid, int] | None:
    """A date of the calendar that begins at this place, with the place after it.

    `loose` says that a preposition stands before, so that figures such as 4/22 are a date.
    """
    best: tuple[DateSaid, int] | None = None
    for read in (_weekday, _month_first, _day_first, _figures, _year_first, _nth_weekday):
        found = read(atoms, at)
        if found is not None and (best is None or found[1] > best[1]):
            best = found
    short = _short_figures(atoms, at) if loose else None
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
    return before.word in _NAMED_BY


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
    if atom.kind is not Kind.WEEKDAY:
        return None
    here = at + 1
    if atom.word in words.SHORT_WEEKDAYS and atoms.is_word(here, "."):
        here += 1
    link = atoms.skip(here, ",", "-", "(")
    for read in (_month_first, _day_first, _figures, _short_figures):
        found = read(atoms, link)
        if found is not None and found[0].day is not None:
            end = atoms.skip(found[1], ")") if atoms.is_word(link - 1, "(") else found[1]
            said = found[0]
            return DateSaid(
                year=said.year, month=said.month, day=said.day, weekday=atom.value
            ), end
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


def valid(year: int, month: int, day: int) -> bool:
    """Whether the calendar has this date."""
    try:
        date(year, month, day)
    except ValueError:
        return False
    return True


def _numbers(atoms: Atoms, at: int) -> tuple[list[int], list[int], str, int]:
    """Numbers parted by one mark, or of a figure such as 13.5.2015: values, digits, mark, end."""
    values, digits, mark, here = [], [], "", at
    while atoms[here].kind is Kind.NUMBER and atoms[here].digits:
        values.append(atoms[here].value)
        digits.append(atoms[here].digits)
        here += 1
        sign = atoms.word(here)
        month = len(values) == 1 and atoms[here + 1].kind is Kind.MONTH
        if sign not in ("/", "-", ".", ",") or (mark and sign not in (mark, ",")) or month:
            break
        if atoms[here + 1].kind is not Kind.NUMBER or not atoms[here + 1].digits or len(values) > 2:
            break
        if sign in (".", ",") and atoms[here].end != atoms[here + 1].start:
            break
        mark = mark or sign
        here += 1
    return values, digits, mark, here


def _figures(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """2027-05-03, 2015/8/12, 2015.5.13, 04/21/2016, 21/04/16, 2016-11, 11/2016, 20161016."""
    first = atoms[at]
    if first.kind is not Kind.NUMBER or not first.digits:
        return None
    if first.digits == 8:
        year, rest = divmod(first.value, 10_000)
        return _checked(year, rest // 100, rest % 100, at + 1) if 1900 <= year < 2200 else None
    if first.digits > 4 or _runs_on(atoms, at - 1):
        return None
    month_name = _named_month_figures(atoms, at)
    if month_name is not None:
        return month_name
    values, digits, mark, end = _numbers(atoms, at)
    if _runs_on(atoms, end) or atoms[end].word == "%":
        return None
    if len(values) == 3:
        if digits[0] == 4:
            return _checked(values[0], values[1], values[2], end)
        if digits[2] == 4 or (digits[2] == 2 and mark == "/"):
            return _day_month(values[0], values[1], _full_year(values[2], digits[2]), end)
        return None
    if len(values) == 2 and mark != ",":
        if digits[0] == 4 and digits[1] <= 2 and 1 <= values[1] <= 12 and first.value < 2200:
            return DateSaid(year=values[0], month=values[1]), end
        if digits[1] == 4 and digits[0] <= 2 and 1 <= values[0] <= 12 and values[1] < 2200:
            return DateSaid(year=values[1], month=values[0]), end
    return None


def _runs_on(atoms: Atoms, at: int) -> bool:
    """Whether a mark at this place ties a further number or word on: a telephone number."""
    if at < 0 or atoms.word(at) not in ("-", "/", "+", "$"):
        return False
    nearby = (atoms[at - 1], atoms[at + 1])
    return any(near.kind in (Kind.NUMBER, Kind.DECIMAL) for near in nearby) and (
        atoms[at].end == atoms[at + 1].start
    )


def _named_month_figures(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """2019-aug-1."""
    if atoms[at].digits != 4 or not atoms.is_word(at + 1, "-", "/"):
        return None
    month, day = atoms[at + 2], atoms[at + 4]
    if month.kind is Kind.MONTH and atoms.is_word(at + 3, "-", "/") and day.kind is Kind.NUMBER:
        return _checked(atoms[at].value, month.value, day.value, at + 5)
    return None


def _full_year(value: int, digits: int) -> int:
    if digits == 4:
        return value
    return (2000 if value < 30 else 1900) + value


def _checked(year: int, month: int, day: int, end: int) -> tuple[DateSaid, int] | None:
    if not 1000 <= year < 2200 or not valid(year, month, day):
        return None
    return DateSaid(year=year, month=month, day=day), end


def _day_month(one: int, two: int, year: int, end: int) -> tuple[DateSaid, int] | None:
    """Month before day, unless the first number can only be a day."""
    month, day = (two, one) if one > 12 else (one, two)
    return _checked(year, month, day, end)


def _short_figures(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """4/22, 4-22 and 4.22, which without a preposition could be a fraction or a range."""
    atom = atoms[at]
    if atom.kind is Kind.DECIMAL:
        left, _, right = atom.word.partition(".")
        if not left or not 1 <= len(right) <= 2:
            return None
        one, two, end = int(left), int(right), at + 1
    else:
        values, digits, mark, end = _numbers(atoms, at)
        if len(values) != 2 or max(digits) > 2 or mark not in ("/", "-") or _runs_on(atoms, end):
            return None
        one, two = values
    if atoms[end].kind is Kind.UNIT or atoms.is_word(end, "percent", "%", "of", "a"):
        return None
    month, day = (two, one) if one > 12 else (one, two)
    return (DateSaid(month=month, day=day), end) if valid(2000, *_fit(month, day)) else None


def _fit(month: int, day: int) -> tuple[int, int]:
    return (month, day) if 1 <= month <= 12 else (1, 99)


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
