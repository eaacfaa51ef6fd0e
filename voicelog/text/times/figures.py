"""Second pass, dates written in figures: 2027-05-03, 4/22, 21/04/16, 13.5.2015, 2019-aug-1."""

from __future__ import annotations

from datetime import date

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.terms import Atoms, DateSaid


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


def read_figures(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """2027-05-03, 2015/8/12, 2015.5.13, 04/21/2016, 21/04/16, 2016-11, 11/2016, 20161016."""
    first = atoms[at]
    if first.kind is not Kind.NUMBER or not first.digits:
        return None
    if first.digits == 8:
        year, rest = divmod(first.value, 10_000)
        return _checked(year, rest // 100, rest % 100, at + 1) if 1900 <= year < 2200 else None
    if first.digits > 4 or (atoms[at - 1].kind is Kind.WORD and atoms[at - 1].end == first.start):
        return None
    month_name = _named_month_figures(atoms, at)
    if month_name is not None:
        return month_name
    spaced = [atoms[at + step] for step in range(3)]
    if [atom.digits for atom in spaced] == [4, 2, 2]:
        return _checked(spaced[0].value, spaced[1].value, spaced[2].value, at + 3)
    values, digits, mark, end = _numbers(atoms, at)
    parted = mark == "/" and len(values) == 3
    if any(_runs_on(atoms, tie, parted=parted) for tie in (at - 1, end)) or atoms.is_word(end, "%"):
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


def _runs_on(atoms: Atoms, at: int, *, parted: bool = False) -> bool:
    """Whether a mark at this place ties a further number on, as in a telephone number.

    A dash ties nothing to a date that is `parted` by slashes: it stands for "to".
    """
    if at < 0 or (parted and atoms.is_word(at, "-")) or atoms.word(at) not in ("-", "/", "+", "$"):
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


def read_short_figures(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
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
    named = atoms[end].kind is Kind.WORD and atoms.word(end) not in words.FUNCTION_WORDS
    if (
        named
        or atoms[end].kind in (Kind.UNIT, Kind.HALF)
        or atoms.is_word(end, "percent", "%", "of", "a")
    ):
        return None
    month, day = (two, one) if one > 12 else (one, two)
    return (DateSaid(month=month, day=day), end) if valid(2000, *_fit(month, day)) else None


def read_slashed(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    """After a weekday 29/03 is a date; 3-8 are hours."""
    return read_short_figures(atoms, at) if atoms.is_word(at + 1, "/") else None


def _fit(month: int, day: int) -> tuple[int, int]:
    return (month, day) if 1 <= month <= 12 else (1, 99)
