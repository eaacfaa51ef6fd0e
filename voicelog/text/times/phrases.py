"""Third pass, joining: a date, a part of the day and a clock time that stand together."""

from __future__ import annotations

from dataclasses import replace

from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.clocks import (
    counts_something,
    is_loose,
    read_clock,
    read_decimal,
    read_part,
    read_sun,
)  # fmt: skip
from voicelog.text.times.counting import read_relative
from voicelog.text.times.dates import read_date, read_year
from voicelog.text.times.periods import read_period
from voicelog.text.times.resolve import day_at, is_day
from voicelog.text.times.terms import Atoms, DateLike, DateSaid, PartSaid, Said, Setting

_CLOCK_PREPOSITIONS = frozenset({"at", "@"}) | words.ABOUT
_LINKS = frozenset({"at", "@", "on", "in", "the", "of", ",", "during", "-", "for"}) | words.ABOUT
_ENDS_A_CLAUSE = frozenset(".,;:!?")
_DATE_BEFORE = words.listed("on since until till til before after by from for to around through")
_YEAR_BEFORE = words.listed("in since until till before after from during between through")


def read_phrase(atoms: Atoms, at: int, setting: Setting, *, anchored: bool = False) -> Said | None:
    """The longest phrase of time that begins at this place.

    `anchored` says that a word before it ("since", "between") makes a bare number an hour.
    """
    said = Said(first=at, after=at)
    loose = False
    while True:
        linked = _past_links(atoms, said.after) if said.after > at else said.after
        piece = _next_piece(atoms, linked, said, setting, anchored=anchored)
        if piece is None and linked > said.after:
            piece = _next_piece(atoms, said.after, said, setting, anchored=anchored)
        if piece is None:
            break
        if piece.clock is not None and said.clock is None:
            loose = is_loose(atoms, linked) and not anchored
        said = piece
    if said.after == at or not _stands_alone(atoms, said, loose=loose):
        return None
    return said


def _past_links(atoms: Atoms, at: int) -> int:
    """The place after the small words that may tie two pieces together."""
    here = at
    while here < at + 3 and atoms.word(here) in _LINKS:
        if atoms.is_word(here, "-", "for") and here > at:
            break
        here += 1
    return here


def _next_piece(
    atoms: Atoms, at: int, said: Said, setting: Setting, *, anchored: bool
) -> Said | None:
    """The phrase with one more piece, or None where no piece is found."""
    best: Said | None = None
    for read in (_date_piece, _part_piece, _clock_piece):
        found = read(atoms, at, said, setting, anchored)
        if found is not None and (best is None or found.after > best.after):
            best = found
    return best


def _date_piece(atoms: Atoms, at: int, said: Said, setting: Setting, anchored: bool) -> Said | None:
    if said.date is not None:
        return None
    before = atoms.word(at - 1) if at else ""
    best: tuple[DateLike, int] | None = read_date(
        atoms,
        at,
        loose=before in _DATE_BEFORE | {"this"} or (anchored and before in ("between", "and")),
    )
    for read in (read_relative, read_period):
        found = read(atoms, at, setting)
        if found is not None and (best is None or found[1] >= best[1]):
            best = found
    if best is None:
        best = _the_nth(atoms, at) or _year_alone(atoms, at, before) or _bare_day(atoms, at, said)
    if best is None or ((said.clock or said.part) and not is_day(best[0])):
        return None
    return replace(said, date=best[0], after=best[1])


def _year_alone(atoms: Atoms, at: int, before: str) -> tuple[DateLike, int] | None:
    """2016, after "in", "since", "from"; alone it may count anything."""
    year = read_year(atoms, at) if before in _YEAR_BEFORE else None
    if year is None or counts_something(atoms, year[1]):
        return None
    follower = atoms[year[1]]
    if follower.kind is Kind.WORD and follower.word not in words.FUNCTION_WORDS:
        return None
    return DateSaid(year=year[0]), year[1]


def _bare_day(atoms: Atoms, at: int, said: Said) -> tuple[DateLike, int] | None:
    """On 15 at 8:00, 8 pm on 15: a bare figure is a day only where a clock time stands by it."""
    atom = atoms[at]
    if atom.kind not in (Kind.NUMBER, Kind.ORDINAL) or not (atom.digits and 1 <= atom.value <= 31):
        return None
    clock_at = atoms.skip(atoms.skip(at + 1, ","), "at")
    clear = read_clock(atoms, clock_at, anchored=False) if clock_at > at + 1 else None
    tied = said.clock is not None or (clear is not None and not is_loose(atoms, clock_at))
    ends = atoms[at + 1].kind is Kind.END or atoms.word(at + 1) in _ENDS_A_CLAUSE
    tied = tied or (ends and atom.value > 12 and atoms.is_word(at - 1, "on"))
    if not tied or not atoms.is_word(at - 1, "on", "at") or counts_something(atoms, at + 1):
        return None
    return DateSaid(day=atom.value), at + 1


def _the_nth(atoms: Atoms, at: int) -> tuple[DateLike, int] | None:
    """The fifteenth: a day of the month, unless a thing follows that it counts."""
    here = atoms.skip(at, "the")
    atom, before = atoms[here], atoms.word(at - 1) if at else ""
    if atom.kind not in (Kind.ORDINAL, Kind.NUMBER) or not 1 <= atom.value <= 31:
        return None
    if atom.kind is Kind.NUMBER and (here == at or before not in ("on", "for")):
        return None
    if here == at and (not atom.digits or before not in _DATE_BEFORE):
        return None
    if not atom.digits and atom.value <= 12 and before not in _DATE_BEFORE - {"to", "for", "from"}:
        return None
    follower = atoms[here + 1]
    if follower.kind in (Kind.WORD, Kind.UNIT, Kind.PART, Kind.DECIMAL):
        if follower.word not in words.FUNCTION_WORDS:
            return None
        if follower.word in ("of", "one"):
            return None
    return DateSaid(day=atom.value), here + 1


def _part_piece(
    atoms: Atoms,
    at: int,
    said: Said,
    setting: Setting,
    _anchored: bool,
) -> Said | None:
    if said.part is not None:
        return None
    named = _named_part(atoms, at, setting)
    if named is not None:
        part, date, after = named
        if date is not None and said.date is not None:
            return None
        return replace(said, part=part, date=date or said.date, after=after)
    if not is_day(said.date):
        return None
    here = atoms.skip(atoms.skip(at, "in", "during"), "the")
    article = here > at
    third = words.THIRDS.get(atoms.word(here))
    in_the = third is not None and atoms.is_word(here + 1, "in", "at")
    if in_the:
        here = atoms.skip(here + 2, "the")
    found = read_part(atoms, here)
    if found is None:
        return None
    part, after = found
    if in_the:
        part = replace(part, third=third)
    tied = said.date is not None or said.clock is not None or article or in_the
    if not tied and part.third is None and not _at_night(atoms, at, said):
        return None
    if article and said.date is None and atoms.is_word(at, "the"):
        return None
    return replace(said, part=part, after=after)


def _at_night(atoms: Atoms, at: int, said: Said) -> bool:
    return atoms.is_word(at, "night") and said.clock is not None


def _named_part(
    atoms: Atoms, at: int, setting: Setting
) -> tuple[PartSaid, DateLike | None, int] | None:
    """This morning, late last night, tonight, overnight, first thing tomorrow."""
    if atoms.is_word(at, "first") and atoms.is_word(at + 1, "thing"):
        return _first_thing(atoms, at + 2, setting)
    third = words.THIRDS.get(atoms.word(at))
    here = at if third is None else at + 1
    word = atoms.word(here)
    night = PartSaid(first=21, last=29, third=third)
    if word in ("tonight", "tonite"):
        return night, day_at(setting, 0), here + 1
    two_words = word in ("all", "over") and atoms.is_word(here + 1, "night")
    if word == "overnight" or two_words:
        after = atoms.skip(here + 2, "long") if two_words else here + 1
        return night, day_at(setting, 0 if setting.lean == "future" else -1), after
    if word in ("during", "in") and atoms.is_word(here + 1, "the") and third is None:
        if not atoms.is_word(here + 2, "night"):
            return None
        return night, day_at(setting, 0 if setting.lean == "future" else -1), here + 3
    if word not in ("this", "last", "all"):
        return _part_ago(atoms, at, setting)
    offset = -1 if word == "last" else 0
    found = read_part(atoms, here + 1)
    if found is None:
        return None
    part = found[0] if third is None else replace(found[0], third=third)
    return part, day_at(setting, offset), found[1]


def _part_ago(
    atoms: Atoms, at: int, setting: Setting
) -> tuple[PartSaid, DateLike | None, int] | None:
    """Two nights ago, the night before last."""
    here = atoms.skip(at, "the")
    word = atoms.word(here + 1)
    count = atoms[here]
    if atoms.is_word(here + 1, "before") and atoms.is_word(here + 2, "last"):
        days, hours = 2, words.PARTS.get(atoms.word(here))
    elif count.kind is Kind.NUMBER and count.value < 32 and atoms.is_word(here + 2, "ago"):
        days, hours = count.value, words.PARTS.get(word, words.PARTS.get(word[:-1]))
    else:
        return None
    if hours is None:
        return None
    part = PartSaid(first=hours[0], last=hours[1])
    return part, day_at(setting, -days), here + 3


def _first_thing(atoms: Atoms, at: int, setting: Setting) -> tuple[PartSaid, DateLike | None, int]:
    """The beginning of the morning: of today, of the day named, or as the memo leans."""
    early = PartSaid(first=5, last=12, third=0)
    here = atoms.skip(atoms.skip(at, "in"), "the", "this")
    if atoms.is_word(here, "morning"):
        this = atoms.is_word(here - 1, "this")
        return early, day_at(setting, 0) if this else None, here + 1
    atom = atoms[at]
    if atom.kind is Kind.DAY:
        return early, day_at(setting, atom.value), atoms.skip(at + 1, "morning")
    return early, None, at


def _clock_piece(
    atoms: Atoms,
    at: int,
    said: Said,
    _setting: Setting,
    anchored: bool,
) -> Said | None:
    if said.clock is not None or not is_day(said.date):
        return None
    here, preposition = at, False
    while atoms.word(here) in _CLOCK_PREPOSITIONS and here < at + 2:
        here, preposition = here + 1, True
    tied = preposition or (atoms.word(here - 1) in _CLOCK_PREPOSITIONS and here > said.first)
    found = read_clock(atoms, here, anchored=tied or (anchored and said.first == at))
    if found is None and tied and said.date is not None:
        found = read_decimal(atoms, here)
    if found is None and (tied or anchored or said.date is not None):
        here = atoms.skip(here, "the")
        found = read_sun(atoms, here)
    if found is None or found[1] == here:
        return None
    return replace(said, clock=found[0], after=found[1])


def _stands_alone(atoms: Atoms, said: Said, *, loose: bool) -> bool:
    """Whether a phrase is a time even though nothing announces it.

    Two bare numbers ("six thirty") are one only beside a date or at an end of a clause.
    """
    if not loose or said.date is not None or said.part is not None:
        return True
    if counts_something(atoms, said.after) or said.clock is None:
        return False
    if said.clock.minute % 15 or said.clock.half is not None:
        return said.clock.half is not None
    at_start = said.first == 0 or atoms.word(said.first - 1) in _ENDS_A_CLAUSE
    at_end = said.after >= len(atoms) or atoms.word(said.after) in _ENDS_A_CLAUSE
    return at_start or at_end
