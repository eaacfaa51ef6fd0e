"""Last pass, linking: from X to Y, between X and Y, since, until, before, after, by."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.calendar import before, day_of
from voicelog.text.times.clocks import counts_something
from voicelog.text.times.dates import read_year
from voicelog.text.times.lengths import read_length
from voicelog.text.times.phrases import read_phrase
from voicelog.text.times.resolve import is_day, settle
from voicelog.text.times.terms import Atoms, ClockSaid, DateSaid, Found, Said, Setting
from voicelog.types import Interval, Precision

_FINEST_FIRST = tuple(Precision)
_CHANGES = words.listed("went up down rose dropped fell jumped increased decreased grew")
"""A number after "went from" is an amount, not an hour."""
_LONGER = {("earlier", "than"): "before", ("prior", "to"): "before", ("later", "than"): "after"}
_BEGINS = frozenset({"starting", "beginning", "commencing"})


@dataclass(frozen=True, slots=True, kw_only=True)
class _End:
    """One end of a range: a phrase, or a number that takes its meaning from the other end."""

    said: Said
    number: int | None = None


def read_linked(atoms: Atoms, at: int, setting: Setting, phrase: Said | None) -> Found:
    """A range or a one-sided time that begins at this place, with the place after it.

    `phrase` is the phrase that was read at this place.
    """
    return (
        _shifted(atoms, at, setting)
        or _one_sided(atoms, at, setting)
        or _range(atoms, at, setting, phrase=phrase)
        or _range_on_a_day(atoms, phrase, setting)
    )


def _shifted(atoms: Atoms, at: int, setting: Setting) -> Found:
    """An hour before dawn, half an hour after sunset yesterday."""
    length = read_length(atoms, at)
    if length is None or not atoms.is_word(length[1], "before", "after") or length[0].days:
        return None
    said = read_phrase(atoms, length[1] + 1, setting, anchored=True)
    moment = settle(said, setting) if said and said.clock else None
    if said is None or moment is None or moment.from_ is None or not length[0].seconds:
        return None
    sign = -1 if atoms.is_word(length[1], "before") else 1
    return length[0].from_moment(moment.from_, sign), said.after


def _one_sided(atoms: Atoms, at: int, setting: Setting) -> Found:
    word, here = atoms.word(at), at + 1
    if (word, atoms.word(here)) in _LONGER:
        word, here = _LONGER[word, atoms.word(here)], here + 1
    if word == "to" and atoms.is_word(here, "date"):
        return Interval(from_=None, to=setting.now, precision=Precision.MINUTE), here + 1
    if word in _BEGINS:
        here = atoms.skip(here, "on", "from")
        if atoms[here].kind in (Kind.NUMBER, Kind.WORD):
            return None
        word = "since"
    if word not in ("since", "before", "after", "by") and word not in words.UNTIL:
        return _from_on(atoms, at, setting)
    if word == "by" and (atoms[at - 1].kind is Kind.NUMBER or _bare_number(atoms, here)):
        return None
    here = atoms.skip(here, "about", "around")
    said = read_phrase(atoms, here, setting, anchored=True)
    interval = settle(said, setting) if said else None
    if said is None or interval is None:
        return None
    return _open(word, interval), said.after


def _bare_number(atoms: Atoms, at: int) -> bool:
    """A number alone after "by" may be a size: only the end of a clause makes it an hour."""
    after = atoms[at + 1]
    alone = atoms[at].kind is Kind.NUMBER and after.kind in (Kind.WORD, Kind.NUMBER, Kind.UNIT)
    return alone and after.word not in ("o'clock", "oclock", "on", "today", "tomorrow", "thirty")


def _open(word: str, interval: Interval) -> Interval:
    """Since and after have no end, until, by and before no beginning; until holds its whole day."""
    if word == "since":
        return replace(interval, to=None)
    if word == "after":
        return replace(interval, from_=interval.to, to=None)
    if word == "before":
        return replace(interval, from_=None, to=interval.from_)
    return replace(interval, from_=None)


def _from_on(atoms: Atoms, at: int, setting: Setting) -> Found:
    """From now on, from tuesday onwards."""
    if not atoms.is_word(at, "from"):
        return None
    said = read_phrase(atoms, at + 1, setting)
    if said is None or not atoms.is_word(said.after, "on", "onward", "onwards", "forward"):
        return None
    if atoms.is_word(said.after, "on") and atoms[said.after + 1].kind not in (Kind.END, Kind.MARK):
        return None
    interval = settle(said, setting)
    return (replace(interval, to=None), said.after + 1) if interval else None


def _range_on_a_day(atoms: Atoms, day: Said | None, setting: Setting) -> Found:
    """Tuesday from two to four, yesterday afternoon between three and five."""
    if day is None or day.date is None or day.clock is not None:
        return None
    here = atoms.skip(atoms.skip(day.after, ","), "at")
    if not is_day(day.date) and not atoms.is_word(here, "from", "between"):
        return None
    first = read_phrase(atoms, here, setting)
    return _range(atoms, here, setting, phrase=first, given=day)


def _range(
    atoms: Atoms, at: int, setting: Setting, *, phrase: Said | None, given: Said | None = None
) -> Found:
    opened = atoms.is_word(at, "from", "between")
    if opened:
        phrase = read_phrase(atoms, at + 1, setting, anchored=True)
    first = _read_end(atoms, at + 1 if opened else at, phrase, opened=opened)
    if first is None:
        return None
    if opened and given is not None and atoms.is_word(first.said.after, "for"):
        return _lasting(atoms, first.said, given, setting)
    link = atoms.skip(first.said.after, ",")
    joins = words.TO | {"and"} if atoms.is_word(at, "between") else words.TO
    if atoms.word(link) not in joins:
        return None
    phrase = read_phrase(atoms, link + 1, setting, anchored=True)
    second = _read_end(atoms, link + 1, phrase, opened=True)
    if second is None or not _plausible(atoms, at, first, second, opened=opened, given=given):
        return None
    if given is not None and not is_day(given.date):
        first, second = _in_month(first, given), _in_month(second, given)
    start, end = _fit(first, second)
    if given is not None and given.date is not None:
        start, end = _on_day(start, given), _on_day(end, given)
    interval = _between(start, end, setting)
    return (interval, second.said.after) if interval else None


def _lasting(atoms: Atoms, start: Said, given: Said, setting: Setting) -> Found:
    """The third of may from 9:30 for two hours."""
    length = read_length(atoms, start.after + 1)
    begun = settle(_on_day(start, given), setting) if start.clock else None
    if length is None or begun is None or begun.from_ is None or not length[0].seconds:
        return None
    return replace(length[0].window(begun.from_, 1), precision=begun.precision), length[1]


def _read_end(atoms: Atoms, at: int, said: Said | None, *, opened: bool) -> _End | None:
    here = atoms.skip(at, "the") if atoms[at + 1].kind is Kind.ORDINAL else at
    atom = atoms[here]
    numbered = atom.kind in (Kind.NUMBER, Kind.ORDINAL) and 1 <= atom.value <= 31
    if numbered and (said is None or said.after <= here + 1):
        after = atoms[here + 1]
        named = after.kind is Kind.WORD and after.word not in words.FUNCTION_WORDS | words.TO
        if (counts_something(atoms, here + 1) or named) and after.word not in ("-", "of", "~"):
            return None
        bare = said or Said(first=at, after=here + 1, clock=_as_hour(atom.value))
        return _End(said=replace(bare, after=here + 1), number=atom.value)
    year = read_year(atoms, at) if said is None and (opened or atom.digits == 4) else None
    tied = year is not None and atoms.is_word(year[1], "-")
    if year is not None and (tied or not counts_something(atoms, year[1])):
        return _End(said=Said(first=at, after=year[1], date=DateSaid(year=year[0])))
    return _End(said=said) if said else None


def _as_hour(value: int) -> ClockSaid | None:
    return ClockSaid(hour=value, precision=Precision.HOUR) if 1 <= value <= 12 else None


def _is_year(said: Said) -> bool:
    return isinstance(said.date, DateSaid) and said.date == DateSaid(year=said.date.year)


def _plausible(
    atoms: Atoms, at: int, first: _End, second: _End, *, opened: bool, given: Said | None
) -> bool:
    """Whether two numbers are times at all: bare ones need "from", "between" or a day."""
    if not opened and _is_year(first.said) and given is None:
        if atoms.is_word(at - 1, "-", "+") or atoms[at - 1].kind is Kind.NUMBER:
            return False
        if atoms.is_word(second.said.after, "-"):
            return False
        return (atoms.is_word(first.said.after, "-", "~") and _is_year(second.said)) or (
            second.number is None and not _is_year(second.said) and second.said.clock is None
        )
    if first.number is None:
        return second.number is None or _takes_day(first.said) or first.said.clock is not None
    if second.number is None:
        clear = second.said.clock is not None and (
            second.said.clock.half is not None or second.said.date is not None
        )
        in_month = (
            second.said.clock is None
            and is_day(second.said.date)
            and (atoms[atoms.skip(second.said.first, "the")].kind in (Kind.NUMBER, Kind.ORDINAL))
        )
        told = clear or (opened and second.said.clock is not None)
        return _takes_day(second.said) or in_month or told
    if given is not None:
        return True
    dash = atoms.is_word(first.said.after, "-")
    after = atoms[second.said.after]
    open_end = after.kind is not Kind.WORD or after.word in ("and", "i", "we", "the", "so", "but")
    hours = first.said.clock is not None and second.said.clock is not None
    return opened and hours and not dash and open_end and atoms.word(at - 1) not in _CHANGES


def _takes_day(said: Said) -> bool:
    return said.clock is None and isinstance(said.date, DateSaid) and said.date.day is not None


def _fit(first: _End, second: _End) -> tuple[Said, Said]:
    """The two ends, each with what it leaves to the other."""
    one, other = first.said, second.said
    if first.number is not None and isinstance(other.date, DateSaid) and other.clock is None:
        return replace(one, date=_with_day(other.date, first.number), clock=None), other
    if first.number is not None and isinstance(other.date, Interval) and other.clock is None:
        day = _same_month(other.date, first.number)
        return replace(one, date=day, clock=None), other
    if second.number is not None and isinstance(one.date, DateSaid) and one.clock is None:
        return one, replace(other, date=_with_day(one.date, second.number), clock=None)
    if one.clock is not None and other.clock is not None:
        return _fit_clocks(one, other)
    if isinstance(one.date, DateSaid) and isinstance(other.date, DateSaid):
        return replace(one, date=_fit_dates(one.date, other.date)), other
    return one, other


def _in_month(end: _End, given: Said) -> _End:
    """November between 19 and 20: a number beside a month is a day of it."""
    if end.number is None or not isinstance(given.date, DateSaid):
        return end
    day = replace(given.date, day=end.number)
    return _End(said=replace(end.said, date=day, clock=None))


def _with_day(said: DateSaid, day: int) -> DateSaid:
    return replace(said, day=day, weekday=None)


def _same_month(interval: Interval, day: int) -> DateSaid | None:
    if interval.from_ is None:
        return None
    return DateSaid(year=interval.from_.year, month=interval.from_.month, day=day)


def _fit_clocks(one: Said, other: Said) -> tuple[Said, Said]:
    """From 5 to 6 pm, between seven and nine last night."""
    clock, end = one.clock, other.clock
    if clock is not None and end is not None and clock.half is None and not clock.exact:
        if end.half is not None:
            same = clock.hour % 12 <= end.hour % 12
            clock = replace(clock, half=end.half if same else 12 - end.half)
        one = replace(one, clock=clock)
    if one.date is None:
        one = replace(one, date=other.date)
    if one.part is None and one.date == other.date:
        one = replace(one, part=other.part)
    return one, other


def _fit_dates(one: DateSaid, other: DateSaid) -> DateSaid:
    """January to april 2015; november to february 2017 begins the year before."""
    if one.year is None and other.year is not None and one.month is not None:
        earlier = other.month is not None and one.month > other.month
        return replace(one, year=other.year - earlier)
    if one.month is None and one.day is not None and one.weekday is None and other.month:
        return replace(one, month=other.month, year=other.year)
    return one


def _on_day(said: Said, given: Said) -> Said:
    """An end of a range that stands on a day, or in a week, named before it."""
    week = given.date
    if isinstance(week, Interval) and week.precision is Precision.WEEK and week.from_:
        if isinstance(said.date, DateSaid) and _is_weekday(said):
            day = week.from_.date() + timedelta(days=said.date.weekday or 0)
            return replace(said, date=day_of(day, week.from_.tzinfo))
        return said
    if said.date is None or (isinstance(said.date, DateSaid) and isinstance(given.date, Interval)):
        date = said.date if said.date is not None and said.clock is None else given.date
        return replace(said, date=date, part=said.part or given.part)
    return replace(said, part=said.part or given.part)


def _between(one: Said, other: Said, setting: Setting) -> Interval | None:
    if one.clock is not None and other.clock is not None:
        start = settle(one, setting)
        end = _end_of_clocks(one, other, start, setting)
    elif _is_weekday(one) and _is_weekday(other) and setting.lean != "future":
        end = settle(other, setting)
        start = settle(one, replace(setting, now=end.from_)) if end and end.from_ else None
    elif isinstance(other.date, Interval) or _has_year(other):
        end = settle(other, setting)
        start = settle(one, setting)
    else:
        start = settle(one, setting)
        later = replace(setting, now=start.from_, lean="future") if start and start.from_ else None
        end = settle(other, later) if later else None
    if start is None or end is None or start.from_ is None or end.to is None:
        return None
    if before(end.to, start.from_):
        return None
    coarse = max(start.precision, end.precision, key=_FINEST_FIRST.index)
    return Interval(from_=start.from_, to=end.to, precision=coarse)


def _end_of_clocks(
    one: Said, other: Said, start: Interval | None, setting: Setting
) -> Interval | None:
    """The first such clock time after the beginning, unless the end has a day of its own."""
    if start is None or start.from_ is None:
        return None
    if other.date is not None and other.date != one.date:
        return settle(other, setting)
    later = replace(setting, now=start.from_, lean="future")
    return settle(replace(other, date=None, part=None), later)


def _is_weekday(said: Said) -> bool:
    return isinstance(said.date, DateSaid) and said.date == DateSaid(weekday=said.date.weekday)


def _has_year(said: Said) -> bool:
    return isinstance(said.date, DateSaid) and said.date.year is not None
