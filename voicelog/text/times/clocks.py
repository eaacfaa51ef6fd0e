"""Second pass, times of day: what follows "at", and forms that need no preposition."""

from __future__ import annotations

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.terms import Atoms, ClockSaid, PartSaid
from voicelog.types import Precision

_PAST = frozenset({"past", "after"})
_BEFORE = frozenset({"to", "till", "of", "before"})
_NOT_PLURAL = words.listed(
    "this was is has its us always yes as his hers lets let's it's that's there's across "
    "perhaps sometimes mondays tuesdays wednesdays thursdays fridays saturdays sundays"
)
_MEASURES = words.listed(
    "percent feet foot inch point dozen volt kilovolt kv ml mg lb kg degree hundred thousand "
    "million scoop of people % / $ . °"
)
_AFTER_ONE = words.listed("and but i we he she they then so in on last this")


def counts_something(atoms: Atoms, at: int) -> bool:
    """Whether the number before this place belongs to what follows: "nine eggs", "six feet"."""
    atom = atoms[at]
    if atom.word == ".":
        return atoms[at + 1].start == atom.end and atoms[at + 1].kind is not Kind.END
    stuck = at > 0 and atom.kind is Kind.WORD and atom.start == atoms[at - 1].end
    if atom.kind in (Kind.UNIT, Kind.DECIMAL) or atom.word in _MEASURES or stuck:
        return True
    if atom.kind is Kind.MARK:
        return atom.word == "-" and atoms[at + 1].kind in (Kind.NUMBER, Kind.DECIMAL, Kind.WORD)
    plural = atom.word.endswith("s") and not atom.word.endswith("ss") and len(atom.word) > 2
    return atom.kind is Kind.WORD and plural and atom.word not in _NOT_PLURAL


def read_clock(atoms: Atoms, at: int, *, anchored: bool) -> tuple[ClockSaid, int] | None:
    """A time of day that begins at this place, with the place after it.

    `anchored` says that a preposition or a date stands before, so that a bare number may be
    an hour.
    """
    for read in (_named, _told_from_the_hour, _written, _hour_and_minute):
        found = read(atoms, at)
        if found is not None:
            return _with_half(atoms, *found)
    return _bare(atoms, at) if anchored else None


def _with_half(atoms: Atoms, clock: ClockSaid, at: int) -> tuple[ClockSaid, int] | None:
    if clock.half is not None or clock.sun:
        return clock, at
    if atoms[at].kind is not Kind.HALF:
        return clock, at
    if clock.hour > 12 or clock.hour == 0:
        return None
    half = atoms[at].value
    return _clock(clock.hour, clock.minute, clock.second, half, precision=clock.precision), at + 1


def _clock(
    hour: int,
    minute: int = 0,
    second: int = 0,
    half: int | None = None,
    *,
    exact: bool = False,
    precision: Precision = Precision.MINUTE,
) -> ClockSaid:
    exact = exact or hour > 12 or hour == 0
    return ClockSaid(
        hour=hour, minute=minute, second=second, half=half, exact=exact, precision=precision
    )


def _named(atoms: Atoms, at: int) -> tuple[ClockSaid, int] | None:
    """Noon and midnight."""
    twelve = atoms[at].kind is Kind.NUMBER and atoms[at].value == 12
    here = at + 1 if twelve and atoms[at + 1].kind is Kind.HOUR else at
    atom = atoms[here]
    if atom.kind is not Kind.HOUR:
        return None
    clock = ClockSaid(hour=atom.value, exact=True, precision=Precision.HOUR)
    return clock, here + 1


def read_sun(atoms: Atoms, at: int) -> tuple[ClockSaid, int] | None:
    """Dawn, dusk and their other names; only where a preposition or a date stands before."""
    if atoms.is_word(at, "first") and atoms.is_word(at + 1, "light"):
        return ClockSaid(sun="dawn", precision=Precision.PART_OF_DAY), at + 2
    if atoms[at].kind is not Kind.SUN or atoms.is_word(at + 1, "of"):
        return None
    if atoms.is_word(at, "dark") and not _is_nightfall(atoms, at):
        return None
    event = words.SUN_WORDS[atoms.word(at)]
    return ClockSaid(sun=event, precision=Precision.PART_OF_DAY), at + 1


def _is_nightfall(atoms: Atoms, at: int) -> bool:
    """ "After dark", but not "a dark brown hen"."""
    after = atoms[at + 1]
    prepared = atoms.is_word(at - 1, "before", "after", "at", "by", "until", "till", "since")
    return prepared and (after.kind is not Kind.WORD or after.word in words.FUNCTION_WORDS)


def _hour(atoms: Atoms, at: int) -> int | None:
    atom = atoms[at]
    return atom.value if atom.kind is Kind.NUMBER and 1 <= atom.value <= 12 else None


def _told_from_the_hour(atoms: Atoms, at: int) -> tuple[ClockSaid, int] | None:
    """Half past six, quarter to seven, ten minutes past eight."""
    here = atoms.skip(at, "a")
    word, atom = atoms.word(here), atoms[here]
    link = here + 1
    if word == "half":
        minutes = 30
    elif word == "quarter":
        minutes = 15
    elif atom.kind is Kind.NUMBER and 1 <= atom.value <= 29 and here == at:
        minutes = atom.value
        link = atoms.skip(link, "minutes", "minute", "min", "mins")
        if link == here + 1 and minutes not in (5, 10, 15, 20, 25):
            return None
    else:
        return None
    past, to = atoms.word(link) in _PAST, atoms.word(link) in _BEFORE
    hour_at = link + 1
    hour = _hour(atoms, hour_at)
    if hour is None and atoms[hour_at].kind is Kind.HOUR:
        hour = 12 if atoms[hour_at].value == 12 else 24
    if hour is None or not (past or to) or (to and minutes == 30):
        return None
    if atoms.is_word(link, "of") and word != "quarter" and not atoms.is_word(at - 1, "at"):
        return None
    if counts_something(atoms, hour_at + 1) or _is_range(atoms, at, link, hour_at):
        return None
    end = atoms.skip(hour_at + 1, "o'clock", "oclock")
    if past:
        return _clock(hour, minutes, exact=hour == 24), end
    earlier = hour - 1 or 12
    return _clock(earlier, 60 - minutes, exact=atoms[hour_at].kind is Kind.HOUR), end


def _is_range(atoms: Atoms, at: int, link: int, hour_at: int) -> bool:
    """ "From five to seven" and "5 to 7" are ranges, and "got ten to twelve" is a guess.

    "Ten to eight" falls, so it can only be a clock; so can "ten to twelve" after "at".
    """
    if not atoms.is_word(link, "to", "till") or atoms[at].kind is not Kind.NUMBER or link > at + 1:
        return False
    before = atoms[at - 1] if at > 0 else atoms[-1]
    if before.word in ("from", "between") or (atoms[at].digits and atoms[hour_at].digits):
        return True
    announced = before.kind in (Kind.MARK, Kind.END) or before.word in words.BEFORE_A_CLOCK
    return not announced and atoms[at].value < atoms[hour_at].value


def _written(atoms: Atoms, at: int) -> tuple[ClockSaid, int] | None:
    """7:30, 07:30, 7.30 pm, 0630 hours, seven am, seven o'clock."""
    atom, after = atoms[at], atoms[at + 1]
    if atom.kind is Kind.CLOCK:
        minutes, second = divmod(atom.value, 60)
        hour, minute = divmod(minutes, 60)
        exact = atom.word.startswith("0") or hour > 12
        return _clock(hour, minute, second, exact=exact), at + 1
    if atom.kind is Kind.DECIMAL and after.kind is Kind.HALF:
        return read_decimal(atoms, at)
    if atom.kind is not Kind.NUMBER:
        return None
    if after.kind is Kind.HALF and 1 <= atom.value <= 12:
        if after.word in ("a", "p") and not atom.digits:
            return None
        return _clock(atom.value, precision=Precision.HOUR), at + 1
    if after.word in ("o'clock", "oclock") and 1 <= atom.value <= 12:
        return _clock(atom.value, precision=Precision.HOUR), at + 2
    if atom.digits == 4 and (after.word == "hours" or atom.word.startswith("0")):
        hour, minute = divmod(atom.value, 100)
        if hour < 25 and minute < 60:
            end = atoms.skip(at + 1, "hours")
            return _clock(hour, minute, exact=True), end
    return None


def read_decimal(atoms: Atoms, at: int) -> tuple[ClockSaid, int] | None:
    """7.30, which only am, pm or a date before it tell from a decimal number."""
    hour, _, minute = atoms.word(at).partition(".")
    if not hour or len(hour) > 2 or len(minute) != 2 or int(minute) > 59 or int(hour) > 23:
        return None
    return _clock(int(hour), int(minute)), at + 1


def _hour_and_minute(atoms: Atoms, at: int) -> tuple[ClockSaid, int] | None:
    """Six thirty, six oh five; said, not written."""
    hour, atom = _hour(atoms, at), atoms[at + 1]
    if hour is None or atoms[at].digits:
        return None
    if atom.word in ("oh", "o", "zero") and 0 < atoms[at + 2].value < 10:
        minute, end = atoms[at + 2].value, at + 3
    elif atom.kind is Kind.NUMBER and 10 <= atom.value < 60 and not atom.digits:
        minute, end = atom.value, at + 2
    else:
        return None
    if counts_something(atoms, end) or atoms[end].kind is Kind.NUMBER:
        return None
    return _clock(hour, minute), end


def is_loose(atoms: Atoms, at: int) -> bool:
    """Whether the clock at this place is two bare numbers, which could be anything."""
    return atoms[at].kind is Kind.NUMBER and atoms[at + 1].kind is Kind.NUMBER


def _bare(atoms: Atoms, at: int) -> tuple[ClockSaid, int] | None:
    """A number alone, where a preposition makes it an hour."""
    atom = atoms[at]
    if atom.kind is not Kind.NUMBER or counts_something(atoms, at + 1):
        return None
    following = atoms[at + 1]
    if atom.digits in (3, 4) and atom.value % 5 == 0:
        hour, minute = divmod(atom.value, 100)
        if 1 <= hour <= 24 and minute < 60:
            return _clock(hour, minute, exact=atom.digits == 4), at + 1
    if not 1 <= atom.value <= 12 or atom.digits > 2:
        return None
    if atom.value == 1 and following.kind is Kind.WORD and following.word not in _AFTER_ONE:
        return None
    return _clock(atom.value, precision=Precision.HOUR), at + 1


def read_part(atoms: Atoms, at: int) -> tuple[PartSaid, int] | None:
    """A part of the day, with early or late before it: "early morning", "late-night"."""
    third = words.THIRDS.get(atoms.word(at))
    here = atoms.skip(at + 1, "-") if third is not None else at
    atom = atoms[here]
    if atom.kind is not Kind.PART or atom.word.endswith("s"):
        return None
    first, last = words.PARTS[atom.word]
    return PartSaid(first=first, last=last, third=third), here + 1
