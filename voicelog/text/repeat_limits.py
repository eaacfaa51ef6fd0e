"""What bounds a repetition: how often, from when, until when."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from voicelog.text.repeat_rules import Rule
from voicelog.text.times import words
from voicelog.text.times.atoms import Kind
from voicelog.text.times.lengths import length_of, read_length
from voicelog.text.times.phrases import read_phrase
from voicelog.text.times.resolve import settle
from voicelog.text.times.terms import Atoms, Setting

_Found = tuple[Rule, int] | None
_TIMES = frozenset({"times", "time", "occurrences", "x"})


def read_limit(atoms: Atoms, at: int, rule: Rule, setting: Setting) -> _Found:
    """One more bound of a repetition, and the place after it."""
    for read in (_count, _for_length, _until, _from):
        found = read(atoms, at, rule, setting)
        if found is not None:
            return found
    return None


def _count(atoms: Atoms, at: int, rule: Rule, _setting: Setting) -> _Found:
    """Twice, 3x, for four times."""
    here = atoms.skip(at, "for")
    if atoms.is_word(here, "once", "twice"):
        return replace(rule, count=1 if atoms.is_word(here, "once") else 2), here + 1
    atom = atoms[here]
    if atom.kind is Kind.NUMBER and atom.value > 0 and atoms.word(here + 1) in _TIMES:
        if atoms.is_word(here + 2, "a", "per"):
            return None
        return replace(rule, count=atom.value), here + 2
    return None


def _for_length(atoms: Atoms, at: int, rule: Rule, setting: Setting) -> _Found:
    """For the next six weeks, for up to two months."""
    if not atoms.is_word(at, "for"):
        return None
    here = at + 1
    if atoms.is_word(here, "up") and atoms.is_word(here + 1, "to"):
        here += 2
    here = atoms.skip(atoms.skip(here, "the"), "next")
    length = read_length(atoms, here)
    unit = words.UNITS.get(atoms.word(here))
    if length is None and unit is not None:
        length = (length_of(1, unit), here + 1)
    if length is None:
        return None
    try:
        last = length[0].from_day(setting.today, 1)
    except (ValueError, OverflowError):  # beyond the years that a calendar holds
        return None
    return replace(rule, until=last), length[1]


def _until(atoms: Atoms, at: int, rule: Rule, setting: Setting) -> _Found:
    """Until november: the last day is the one on which it begins."""
    if atoms.word(at) not in words.UNTIL | {"through", "thru", "to"}:
        return None
    found = _day(atoms, at + 1, setting)
    return (replace(rule, until=found[0]), found[1]) if found else None


def _from(atoms: Atoms, at: int, rule: Rule, setting: Setting) -> _Found:
    """Starting may third; an end after it lies beyond that beginning."""
    if not atoms.is_word(at, "from", "starting", "beginning", "since"):
        return None
    found = _day(atoms, atoms.skip(at + 1, "on", "in"), setting)
    if found is None:
        return None
    begun = replace(setting, now=setting.now.replace(
        year=found[0].year, month=found[0].month, day=found[0].day
    ))  # fmt: skip
    ended = _until(atoms, found[1], rule, begun)
    return ended or (rule, found[1])


def _day(atoms: Atoms, at: int, setting: Setting) -> tuple[date, int] | None:
    said = read_phrase(atoms, at, setting, anchored=True)
    try:
        interval = settle(said, setting) if said else None
    except (ValueError, OverflowError):  # beyond the years that a calendar holds
        return None
    if said is None or interval is None or interval.from_ is None:
        return None
    return interval.from_.date(), said.after
