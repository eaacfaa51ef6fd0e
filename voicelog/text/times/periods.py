"""Second pass, parts of periods: late last week, the third week of may, the rest of the day."""

from __future__ import annotations

from datetime import date, timedelta

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.calendar import (
    add_months,
    before,
    day_of,
    monday_of,
    months_of,
    stretch,
    third,
    unit_of,
)  # fmt: skip
from voicelog.text.times.counting import read_day, read_relative
from voicelog.text.times.dates import read_date, read_year
from voicelog.text.times.relative import rest_of, so_far
from voicelog.text.times.resolve import day_at, nth_weekday, settle_date
from voicelog.text.times.terms import Atoms, DateSaid, Found, Setting
from voicelog.types import Interval, Precision

_OF_UNITS = frozenset({"day", "week", "month", "season", "year", "weekend"})


def read_period(atoms: Atoms, at: int, setting: Setting) -> Found:
    """A part of a period that begins at this place, with the place after it."""
    best: Found = None
    if setting.too_deep:
        return None
    for read in (_third, _rest, _earlier, _week_of, _nth_unit, _inside, _to_date):
        found = read(atoms, at, setting)
        if found is not None and (best is None or found[1] > best[1]):
            best = found
    return _weekday_after(atoms, best, setting)


def _weekday_after(atoms: Atoms, found: Found, setting: Setting) -> Found:
    """The first week of october on friday."""
    if found is None or found[0].precision is not Precision.WEEK or found[0].from_ is None:
        return found
    here = atoms.skip(atoms.skip(found[1], "."), "on")
    monday, weekday = found[0].from_.date(), atoms[here]
    if here == found[1] or weekday.kind is not Kind.WEEKDAY or monday.weekday() != 0:
        return found
    return day_of(monday + timedelta(days=weekday.value), setting.zone), here + 1


def _whole(atoms: Atoms, at: int, setting: Setting) -> Found:
    """The period of which something is a part: "the week", "last month", "may", "2016"."""
    here = atoms.skip(at, "the")
    unit = words.UNITS.get(atoms.word(here))
    if unit in _OF_UNITS and not atoms.word(here).endswith("s"):
        return unit_of(unit, setting.today, setting.zone), here + 1
    inner = setting.deeper()
    found = read_period(atoms, at, inner) or read_day(atoms, at, inner)
    if found is None and here > at:
        found = read_day(atoms, here, inner)
    if found is not None:
        return found
    year = read_year(atoms, at)
    if year is None:
        return None
    return unit_of("year", date(year[0], 1, 1), setting.zone), year[1]


def _third(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Beginning of the month, mid may, late last week, the end of today."""
    here = atoms.skip(at, "the")
    which = words.THIRDS.get(atoms.word(here))
    if which is None:
        return None
    noun = atoms.is_word(here, "beginning", "start", "middle", "end")
    here += 1
    if noun and not atoms.is_word(here, "of"):
        return None
    start = here + 1 if noun else atoms.skip(atoms.skip(here, "-"), "in")
    found = _whole(atoms, start, setting)
    if found is None:
        return None
    if not noun and found[0].precision is Precision.DAY and not atoms.is_word(start, "the"):
        return (third(found[0], which), found[1]) if atoms[start].kind is Kind.WEEKDAY else None
    return third(found[0], which), found[1]


def _rest(atoms: Atoms, at: int, setting: Setting) -> Found:
    """The rest of the day, rest of this week."""
    here = atoms.skip(at, "the")
    if not atoms.is_word(here, "rest", "remainder"):
        return None
    found = _whole(atoms, atoms.skip(here + 1, "of"), setting)
    if found is None or found[0].to is None or not before(setting.now, found[0].to):
        return None
    ahead = found[0].from_ is not None and before(setting.now, found[0].from_)
    return (found[0] if ahead else rest_of(found[0], setting)), found[1]


def _earlier(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Earlier today, earlier this week, later this month; "earlier" alone is today."""
    word = atoms.word(at)
    if word not in ("earlier", "later"):
        return None
    here = atoms.skip(at + 1, "on")
    here = atoms.skip(here, "in")
    found = _whole(atoms, here, setting) if atoms[here].kind is not Kind.NUMBER else None
    if found is not None and found[0].to is not None and found[0].from_ is not None:
        if not found[0].from_ <= setting.now < found[0].to:
            return third(found[0], 0 if word == "earlier" else 2), found[1]
        cut = so_far if word == "earlier" else rest_of
        return cut(found[0], setting), found[1]
    compared = atoms.is_word(at + 1, "than", "in") or atoms[at - 1].kind is Kind.UNIT
    much = atoms.is_word(at - 1, "much", "bit", "little", "the", "an", "even", "any") and at > 0
    if word == "later" or compared or much:
        return None
    return so_far(day_at(setting, 0), setting), at + 1


def _week_of(atoms: Atoms, at: int, setting: Setting) -> Found:
    """The week of may tenth, the week beginning the third, the month of april."""
    here = atoms.skip(at, "the")
    unit = atoms.word(here)
    if unit not in ("week", "month"):
        return None
    if atoms.is_word(here + 1, "beginning", "commencing", "starting"):
        start = atoms.skip(here + 2, "on")
    elif atoms.is_word(here + 1, "of"):
        start = here + 2
    else:
        return None
    day = read_day(atoms, start, setting) or _the_nth(atoms, start, setting)
    if day is None or day[0].from_ is None:
        return None
    return unit_of(unit, day[0].from_.date(), setting.zone), day[1]


def _the_nth(atoms: Atoms, at: int, setting: Setting) -> Found:
    """The 18th, of this month or the one before or after."""
    here = atoms.skip(at, "the")
    atom = atoms[here]
    if here == at or atom.kind is not Kind.ORDINAL or atom.value > 31:
        return None
    day = settle_date(DateSaid(day=atom.value), setting)
    return (day, here + 1) if day else None


def _nth_unit(atoms: Atoms, at: int, setting: Setting) -> Found:
    """The third week of may, last week of 2016, first ten days of last year, week 27 of 2026."""
    here = atoms.skip(at, "the")
    atom, count = atoms[here], 1
    if atoms.is_word(here, "week") and atoms[here + 1].kind is Kind.NUMBER:
        unit, nth, here = "week", atoms[here + 1].value, here + 1
    elif atom.kind is Kind.ORDINAL or atom.word in ("last", "final"):
        nth = atom.value if atom.kind is Kind.ORDINAL else -1
        if atoms[here + 1].kind is Kind.NUMBER:
            count, here = atoms[here + 1].value, here + 1
        unit = words.UNITS.get(atoms.word(here + 1), "")
        here += 1
        if not unit and atoms[here].kind is Kind.WEEKDAY:
            return _weekday_of(atoms, here, nth, setting)
    else:
        return None
    if unit not in ("day", "week", "month", "weekend"):
        return None
    if not atoms.is_word(here + 1, "of", "in"):
        in_the = atoms.is_word(at, "the") and atoms.is_word(at - 1, "in", "during")
        this_year = unit_of("year", setting.today, setting.zone)
        numbered = in_the and atoms.is_word(at + 1, "week") and unit == "week"
        found = _nth_in(this_year, "week", nth, 1) if numbered else None
        return (found, here + 1) if found else None
    if atoms.is_word(here + 1, "in") and atoms[here + 2].kind is Kind.UNIT:
        return None
    whole = _whole(atoms, here + 2, setting)
    if whole is None or whole[0].from_ is None or whole[0].to is None:
        return None
    found = _nth_in(whole[0], unit, nth, count)
    return (found, whole[1]) if found else None


def _nth_in(whole: Interval, unit: str, nth: int, count: int) -> Interval | None:
    """The N-th week, day or month of a period, or the first or last few of them."""
    if whole.from_ is None or whole.to is None:
        return None
    first, end, zone = whole.from_.date(), whole.to.date(), whole.from_.tzinfo
    if unit == "month":
        start = add_months(first, nth - 1) if nth > 0 else add_months(end, -count)
        return months_of(start, count, zone, Precision.MONTH) if start < end else None
    if unit == "day" or count > 1:
        size = 7 if unit == "week" else 1
        span = timedelta(days=size * count)
        start = first + timedelta(days=size * (nth - 1)) if nth > 0 else end - span
        precision = Precision.WEEK if size == 7 else Precision.DAY
        return stretch(start, start + span, zone, precision) if start < end else None
    # A week belongs to the month or year in which its Thursday lies.
    if nth > 0:
        thursday = first + timedelta(days=(3 - first.weekday()) % 7 + 7 * (nth - 1))
    else:
        last = end - timedelta(days=1)
        thursday = last - timedelta(days=(last.weekday() - 3) % 7)
    if not first <= thursday < end or nth == 0:
        return None
    return unit_of(unit, monday_of(thursday), zone)


def _weekday_of(atoms: Atoms, here: int, nth: int, setting: Setting) -> Found:
    """The third wednesday of last month."""
    if not atoms.is_word(here + 1, "of", "in"):
        return None
    whole = _whole(atoms, here + 2, setting)
    if whole is None or whole[0].from_ is None or whole[0].precision is not Precision.MONTH:
        return None
    day = nth_weekday(whole[0].from_.date(), atoms[here].value, nth)
    return (day_of(day, setting.zone), whole[1]) if day else None


def _inside(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Tuesday of last week, sunday last week, may of last year, the 22nd of this month."""
    said = read_date(atoms, at) or _day_number(atoms, at)
    if said is None:
        return None
    date_said, here = said
    link = atoms.skip(atoms.skip(here, ",", "-", "on"), "of", "in")
    if read_date(atoms, link) is not None and atoms[link].kind is not Kind.UNIT:
        return None
    period = read_relative(atoms, link, setting) or _whole_if_the(atoms, link, here, setting)
    period = period or _nth_unit(atoms, link, setting.deeper())
    if period is None or period[0].from_ is None:
        return None
    start, precision = period[0].from_.date(), period[0].precision
    if date_said == DateSaid(weekday=date_said.weekday) and precision is Precision.WEEK:
        day = monday_of(start) + timedelta(days=date_said.weekday or 0)
        return day_of(day, setting.zone), period[1]
    if date_said.month and date_said.year is None and precision is Precision.YEAR:
        whole = DateSaid(year=start.year, month=date_said.month, day=date_said.day)
    elif date_said == DateSaid(day=date_said.day) and precision is Precision.MONTH:
        whole = DateSaid(year=start.year, month=start.month, day=date_said.day)
    else:
        return None
    interval = settle_date(whole, setting)
    return (interval, period[1]) if interval else None


def _whole_if_the(atoms: Atoms, link: int, here: int, setting: Setting) -> Found:
    """The week, the month or the year, where "of the" ties it to what stands before."""
    return _whole(atoms, link, setting) if link > here and atoms.is_word(link, "the") else None


def _day_number(atoms: Atoms, at: int) -> tuple[DateSaid, int] | None:
    here = atoms.skip(at, "the")
    atom = atoms[here]
    if atom.kind not in (Kind.NUMBER, Kind.ORDINAL) or not 1 <= atom.value <= 31:
        return None
    return DateSaid(day=atom.value), here + 1


def _to_date(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Year to date, month to date."""
    unit = words.UNITS.get(atoms.word(at))
    to_date = atoms.is_word(at + 1, "to") and atoms.is_word(at + 2, "date")
    if unit not in _OF_UNITS or not to_date:
        return None
    return so_far(unit_of(unit, setting.today, setting.zone), setting), at + 3
