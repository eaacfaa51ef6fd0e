"""Second pass, lengths counted from somewhere: two days ago, in an hour, the last ten days."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.calendar import at_hour, before, day_of
from voicelog.text.times.dates import read_date
from voicelog.text.times.lengths import Length, length_of, read_length
from voicelog.text.times.relative import read_named
from voicelog.text.times.resolve import settle_date
from voicelog.text.times.terms import Atoms, DateSaid, Found, Setting
from voicelog.types import Interval, Precision


def read_relative(atoms: Atoms, at: int, setting: Setting) -> Found:
    """A time that depends on now and begins at this place, with the place after it."""
    if setting.too_deep:
        return None
    best = read_named(atoms, at, setting)
    for read in (_rolling, _counted_from, _ahead):
        found = read(atoms, at, setting)
        if found is not None and (best is None or found[1] > best[1]):
            best = found
    return best


def read_day(atoms: Atoms, at: int, setting: Setting) -> Found:
    """A date of any sort, put on the calendar."""
    found = read_relative(atoms, at, setting)
    said = read_date(atoms, at, loose=True)
    if said is not None and (found is None or said[1] > found[1]):
        interval = settle_date(said[0], setting)
        return (interval, said[1]) if interval else None
    return found


def _rolling(atoms: Atoms, at: int, setting: Setting) -> Found:
    """The last ten days, this past week, the next two months, 5 past years."""
    here = atoms.skip(at, "the", "these", "this")
    word = atoms.word(here)
    if atoms[here].kind is Kind.NUMBER and atoms.word(here + 1) in words.PAST | words.LAST:
        many = atoms[here + 2].word in words.UNITS and atoms.word(here + 2).endswith("s")
        length = read_length(Atoms([atoms[here], atoms[here + 2]]), 0) if many else None
        return (length[0].window(setting.now, -1), here + 3) if length else None
    if word not in words.LAST | words.PAST | words.NEXT:
        return None
    length = read_length(atoms, here + 1)
    if length is None:
        length = _single(atoms, here)
    if length is None or atoms.is_word(length[1] - 1, "second") or _goes_on(atoms, length[1]):
        return None
    return length[0].window(setting.now, 1 if word in words.NEXT else -1), length[1]


def _single(atoms: Atoms, at: int) -> tuple[Length, int] | None:
    """The past week, the last hour: one unit without a number; "last week" is the calendar's."""
    unit, word = words.UNITS.get(atoms.word(at + 1)), atoms.word(at)
    tells_time = atoms.is_word(at - 1, "half", "quarter") or atoms[at - 1].kind is Kind.NUMBER
    if unit is None or (at and tells_time and word in words.PAST):
        return None
    if atoms.word(at + 1).endswith("s"):
        return None
    if unit not in ("hour", "minute") and word not in words.PAST:
        return None
    return length_of(1, unit), at + 2


def _goes_on(atoms: Atoms, at: int) -> bool:
    """Whether a length counts from another time: "in two weeks from tuesday"."""
    return atoms.is_word(at, "before", "after", "from", "ago")


def _counted_from(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Two days ago, half an hour ago, a week ago tuesday, two weeks from friday."""
    either = _either(atoms, at, setting)
    if either is not None:
        return either
    bound = _bound(atoms, at)
    length = read_length(atoms, bound[1])
    if length is None:
        return None
    found = _counted(atoms, length, setting)
    if found is None or found[0].from_ is None:
        return None
    if not bound[0]:
        return found
    return _bounded(bound[0], found[0], setting), found[1]


def _either(atoms: Atoms, at: int, setting: Setting) -> Found:
    """Two or three days ago, a day or two ago: from the one to the other."""
    here = at
    if atoms.is_word(at, "a") and atoms.is_word(at + 2, "or"):
        unit, counts, here = atoms.word(at + 1), (1, atoms[at + 3].value), at + 4
    elif atoms[at].kind is Kind.NUMBER and atoms.is_word(at + 1, "or", "to"):
        unit, counts, here = atoms.word(at + 3), (atoms[at].value, atoms[at + 2].value), at + 4
    else:
        return None
    unit = words.UNITS.get(unit, "")
    if not unit or not 0 < counts[0] < counts[1] < 1000 or not atoms.is_word(here, "ago"):
        return None
    near, far = (length_of(count, unit).from_moment(setting.now, -1) for count in counts)
    return replace(far, to=near.to), here + 1


def _bound(atoms: Atoms, at: int) -> tuple[str, int]:
    """More than, less than, or for, before a length, and the place after it."""
    if atoms.is_word(at, "more", "less") and atoms.is_word(at + 1, "than"):
        return atoms.word(at), at + 2
    return ("for", at + 1) if atoms.is_word(at, "for") else ("", at)


def _bounded(bound: str, found: Interval, setting: Setting) -> Interval:
    """What lies beyond (more) or within (less, for) a length that is counted from somewhere."""
    far, now = found.from_, setting.now
    ahead = far is not None and before(now, far)
    if bound == "more":
        return (
            replace(found, from_=found.to, to=None) if ahead else replace(found, from_=None, to=far)
        )
    start = at_hour(setting.today, setting.zone, 0) if found.precision is Precision.DAY else now
    return replace(found, from_=start, to=far) if ahead else replace(found, to=now)


def _counted(atoms: Atoms, length: tuple[Length, int], setting: Setting) -> Found:
    """The time that a length and "ago", "from now" or "before friday" give."""
    long, here = length
    if atoms.is_word(here, "ago", "back"):
        weekday = atoms[here + 1]
        if weekday.kind is Kind.WEEKDAY and long.days and long.days % 7 == 0:
            day = settle_date(DateSaid(weekday=weekday.value), setting)
            if day is None or day.from_ is None:
                return None
            return day_of(day.from_.date() - timedelta(days=long.days), setting.zone), here + 2
        if atoms.is_word(here, "back") and atoms[here + 1].kind is Kind.WORD:
            return None
        return long.from_moment(setting.now, -1), here + 1
    sign = -1 if atoms.is_word(here, "before") else 1
    if not atoms.is_word(here, "before", "after", "from"):
        return None
    if atoms.is_word(here, "from") and atoms.is_word(here + 1, "now"):
        return long.from_moment(setting.now, 1), here + 2
    start = read_day(atoms, here + 1, setting.deeper())
    if start is None or start[0].from_ is None or long.seconds:
        return None
    return day_of(long.from_day(start[0].from_.date(), sign), setting.zone), start[1]


def _ahead(atoms: Atoms, at: int, setting: Setting) -> Found:
    """In two days, in an hour, within an hour."""
    if not atoms.is_word(at, "in", "within"):
        return None
    length = read_length(atoms, atoms.skip(at + 1, "about", "around"))
    if length is None or atoms.word(length[1] - 1) == "second":
        return None
    long, here = length
    if atoms.is_word(here, "of", "old", "or") or _goes_on(atoms, here):
        return None
    if atoms.is_word(at, "within"):
        return long.window(setting.now, 1), here
    return long.from_moment(setting.now, 1), atoms.skip(here, "time")
