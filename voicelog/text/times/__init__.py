"""Spoken time: finds the words that say when, and puts them on the calendar.

The grammar reads in passes, each with a type of its own:

    Token ──atoms──▶ Atom ──dates, clocks, relative, counting, periods──▶ DateLike, ClockSaid,
    PartSaid ──phrases──▶ Said ──resolve──▶ Interval ──ranges──▶ Interval ──▶ TimeSpan

`gate` turns away memos and places that hold no time before any of this.

A span holds the words that say the time. The preposition before them belongs to it only
where it changes the meaning: since, until, by, before, after, from … to, between … and, in
two days, in the morning, and at or around before a clock time; "on" before a day and "in"
before a month stay outside.
"""

from __future__ import annotations

from datetime import datetime

from voicelog.text.sun import Sky
from voicelog.text.times.atoms import atomise
from voicelog.text.times.calendar import cut_off
from voicelog.text.times.gate import may_begin, may_hold_time
from voicelog.text.times.phrases import read_phrase
from voicelog.text.times.ranges import read_linked
from voicelog.text.times.resolve import settle, whole_hour
from voicelog.text.times.terms import Atoms, Lean, Setting
from voicelog.text.times.words import TIME_WORDS
from voicelog.text.tokens import tokenise
from voicelog.types import Interval, TimeSpan

__all__ = ["TIME_WORDS", "Lean", "Sky", "cut_off", "find_times"]


def find_times(
    text: str, now: datetime, lean: Lean = "past", sky: Sky | None = None
) -> tuple[TimeSpan, ...]:
    """Every time that `text` says, in order and without overlap.

    `now` is an aware date-time: times are reckoned from it and come back in its zone. `lean`
    says where a time lies that could be past or to come: "past" for things done, "future" for
    plans; "none" reads as "past". With a `sky` dawn and dusk are those of its place, and south
    of the equator the seasons are the other way round. A time that runs on after `now` is
    given whole: `cut_off` cuts it for things done.

    Raises:
        ValueError: `now` has no zone.
    """
    if now.tzinfo is None:
        raise ValueError("now must be an aware date-time; got one without a zone")
    tokens = tokenise(text)
    if not may_hold_time(tokens):
        return ()
    atoms = Atoms(atomise(tokens))
    setting = Setting(now, lean, sky)
    spans: list[TimeSpan] = []
    at = 0
    while at < len(atoms):
        found = _time_at(atoms, at, setting) if may_begin(atoms, at) else None
        if found is None:
            at += 1
            continue
        when, after = found
        spans.append(TimeSpan(start=atoms[at].start, end=atoms[after - 1].end, when=when))
        at = after
    return tuple(spans)


def _time_at(atoms: Atoms, at: int, setting: Setting) -> tuple[Interval, int] | None:
    """The longest time that begins at this place."""
    try:
        said = read_phrase(atoms, at, setting)
        linked = read_linked(atoms, at, setting, said)
        if said is None or (linked is not None and linked[1] >= said.after):
            return linked
        when = whole_hour(said, settle(said, setting))
    except (ValueError, OverflowError):  # beyond the years that a calendar holds
        return None
    return (when, said.after) if when is not None else linked
