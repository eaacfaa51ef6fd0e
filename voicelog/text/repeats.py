"""Spoken repetitions: "every other day", "the first friday of each month", "tuesdays at six".

What a recurrence rule cannot hold is read and belongs to the span, but not to the rule: a
beginning ("starting in may") and exceptions ("except in june"). "Twice a day" gives nothing,
for a rule cannot say it without clock times.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from voicelog.text.repeat_limits import read_limit
from voicelog.text.repeat_lists import (
    is_plural_weekday,
    read_months,
    read_nth_weekdays,
    read_positions,
    read_weekdays,
)
from voicelog.text.repeat_parts import read_clock_part, read_part
from voicelog.text.repeat_rules import Rule
from voicelog.text.times import words
from voicelog.text.times.atoms import Kind, atomise
from voicelog.text.times.phrases import read_phrase
from voicelog.text.times.terms import Atoms, Setting
from voicelog.text.tokens import tokenise
from voicelog.types import RepeatSpan

_ADVERBS = {
    "hourly": Rule(freq="HOURLY"),
    "daily": Rule(freq="DAILY"),
    "everyday": Rule(freq="DAILY"),
    "nightly": Rule(freq="DAILY"),
    "weekly": Rule(freq="WEEKLY"),
    "fortnightly": Rule(freq="WEEKLY", interval=2),
    "monthly": Rule(freq="MONTHLY"),
    "yearly": Rule(freq="YEARLY"),
    "annually": Rule(freq="YEARLY"),
}
_FREQUENCIES = {
    "second": "SECONDLY", "minute": "MINUTELY", "hour": "HOURLY", "day": "DAILY",
    "week": "WEEKLY", "fortnight": "WEEKLY", "month": "MONTHLY", "year": "YEARLY",
}  # fmt: skip
_EVERY = ("every", "each")
_EDGES = {"beginning": 1, "begin": 1, "start": 1, "end": -1}
_ANNOUNCERS = frozenset(_ADVERBS) | {"every", "each", "once", "weekdays", "weekends"}
_NEVER_NOW = datetime(2000, 1, 1, tzinfo=UTC)
"""Only the extent of a time is read from it where no `now` is given, never a date."""
_MOST_PARTS = 8


def find_repeats(text: str, now: datetime | None = None) -> tuple[RepeatSpan, ...]:
    """Every repetition that `text` says, in order and without overlap.

    `now` (aware) puts an end such as "until november" on the calendar; without it the rule has
    no UNTIL.
    """
    tokens = tokenise(text)
    if not any(token.lower in _ANNOUNCERS or token.lower[-1] == "s" for token in tokens):
        return ()
    atoms = Atoms(atomise(tokens))
    if not any(_announces(atoms, at) for at in range(len(atoms))):
        return ()
    setting = Setting(now or _NEVER_NOW, "future", None)
    spans: list[RepeatSpan] = []
    at = 0
    while at < len(atoms):
        found = _repeat(atoms, at, setting)
        if found is None:
            at += 1
            continue
        rule, after = found
        rule = rule if now is not None else replace(rule, until=None)
        end = atoms[after - 1].end
        spans.append(RepeatSpan(start=atoms[at].start, end=end, rrule=rule.text()))
        at = after
    return tuple(spans)


def _announces(atoms: Atoms, at: int) -> bool:
    return atoms.word(at) in _ANNOUNCERS or is_plural_weekday(atoms, at)


def _repeat(
    atoms: Atoms, at: int, setting: Setting, *, inside: bool = False
) -> tuple[Rule, int] | None:
    """A repetition that begins at this place, with all that belongs to it.

    One `inside` an exception has no exceptions of its own.
    """
    found = _core(atoms, at) or _clock_before(atoms, at)
    if found is None:
        return None
    rule, here = found
    for _ in range(_MOST_PARTS):
        more = read_part(atoms, here, rule) or read_limit(atoms, here, rule, setting)
        if more is None and not inside:
            more = _exception(atoms, here, rule, setting)
        if more is None:
            break
        rule, here = more
    return rule, here


def _core(atoms: Atoms, at: int) -> tuple[Rule, int] | None:
    for read in (_adverb, _every, _once, _plural, _of_every):
        found = read(atoms, at)
        if found is not None:
            return found
    return None


def _clock_before(atoms: Atoms, at: int) -> tuple[Rule, int] | None:
    """At 10 am on the 15th of every month."""
    said = read_clock_part(atoms, at, Rule(freq="DAILY"), bare=True)
    if said is None:
        return None
    core = _core(atoms, atoms.skip(said[1], "on", ","))
    if core is None:
        return None
    return replace(core[0], byhour=said[0].byhour, byminute=said[0].byminute), core[1]


def _exception(atoms: Atoms, at: int, rule: Rule, setting: Setting) -> tuple[Rule, int] | None:
    """Except tomorrow, except in march and may: belongs to the span alone."""
    if not atoms.is_word(at, "except", "excluding"):
        return None
    here = at + 1
    for _ in range(_MOST_PARTS):
        start = atoms.skip(atoms.skip(atoms.skip(here, ",", "and"), "for"), "on", "in")
        inner = _repeat(atoms, start, setting, inside=True) if _announces(atoms, start) else None
        said = read_phrase(atoms, start, setting, anchored=True)
        after = inner[1] if inner else said.after if said else start
        if after == start:
            break
        here = after
    return (rule, here) if here > at + 1 else None


def _adverb(atoms: Atoms, at: int) -> tuple[Rule, int] | None:
    rule = _ADVERBS.get(atoms.word(at))
    return (rule, at + 1) if rule and not _counted(atoms, at) else None


def _counted(atoms: Atoms, at: int) -> bool:
    """Twice weekly, three times weekly: no rule without clock times says that."""
    return at > 0 and atoms.is_word(at - 1, "twice", "times", "thrice")


def _once(atoms: Atoms, at: int) -> tuple[Rule, int] | None:
    """Once a week, once every two weeks."""
    if not atoms.is_word(at, "once"):
        return None
    if atoms.word(at + 1) in _EVERY:
        return _every(atoms, at + 1)
    freq = _FREQUENCIES.get(words.UNITS.get(atoms.word(at + 2), ""))
    if not atoms.is_word(at + 1, "a", "per", "an") or freq is None:
        adverb = _adverb(atoms, at + 1)
        return adverb
    return Rule(freq=freq), at + 3


def _plural(atoms: Atoms, at: int) -> tuple[Rule, int] | None:
    """Mondays and thursdays, on weekdays."""
    here = atoms.skip(at, "on")
    if not is_plural_weekday(atoms, here):
        return None
    days, after = read_weekdays(atoms, here)
    return Rule(freq="WEEKLY", byday=days), after


def _interval(atoms: Atoms, at: int) -> tuple[int, int, bool]:
    """Every other, every four, every 4th: the interval, the place after, whether an ordinal."""
    if atoms.is_word(at, "other"):
        return 2, at + 1, False
    atom = atoms[at]
    if atom.kind is Kind.NUMBER and atom.value > 0:
        return atom.value, at + 1, False
    if atom.kind is Kind.ORDINAL and atom.value > 0:
        return atom.value, at + 1, True
    return 1, at, False


def _every(atoms: Atoms, at: int) -> tuple[Rule, int] | None:
    if atoms.word(at) not in _EVERY or _counted(atoms, at):
        return None
    dated = _every_date(atoms, at + 1)
    if dated is not None:
        return dated
    interval, here, ordinal = _interval(atoms, at + 1)
    days, after = read_weekdays(atoms, here)
    if days:
        return _every_weekday(atoms, interval, days, after, ordinal=ordinal)
    word = atoms.word(here)
    unit = words.UNITS.get(word, "")
    if unit in _FREQUENCIES:
        size = interval * (2 if unit == "fortnight" else 1)
        return Rule(freq=_FREQUENCIES[unit], interval=size), here + 1
    if word in words.PARTS and not word.endswith("s"):
        return Rule(freq="DAILY", interval=interval), here + 1
    if atoms.is_word(at + 1, "second"):
        follower = atoms[at + 2]
        alone = follower.kind in (Kind.END, Kind.MARK)
        return (Rule(freq="SECONDLY"), at + 2) if alone else None
    return None


def _every_weekday(
    atoms: Atoms, interval: int, days: tuple[str, ...], after: int, *, ordinal: bool
) -> tuple[Rule, int]:
    """Every third friday; of a month or of a year where one follows."""
    plain = Rule(freq="WEEKLY", interval=interval, byday=days), after
    if not ordinal or not atoms.is_word(after, "in", "of"):
        return plain
    nth = tuple(f"{interval}{day}" for day in days)
    here = atoms.skip(after + 1, "the", "each", "every")
    if atoms.is_word(here, "month"):
        return Rule(freq="MONTHLY", byday=nth), here + 1
    months, end = read_months(atoms, here)
    return (Rule(freq="YEARLY", byday=nth, bymonth=tuple(months)), end) if months else plain


def _every_date(atoms: Atoms, at: int) -> tuple[Rule, int] | None:
    """Every 4th and 10th of the month, every 20th of august, every aug 30, every may."""
    months, here = read_months(atoms, at)
    if months:
        day = atoms[here]
        if day.kind in (Kind.NUMBER, Kind.ORDINAL) and 1 <= day.value <= 31:
            rule = Rule(freq="YEARLY", bymonth=tuple(months), bymonthday=(day.value,))
            return rule, here + 1
        return Rule(freq="YEARLY", bymonth=tuple(months)), here
    days, here = read_positions(atoms, at)
    if not days or not atoms.is_word(here, "of"):
        return None
    named = atoms.skip(here + 1, "the", "each", "every")
    if atoms.is_word(named, "month"):
        return Rule(freq="MONTHLY", bymonthday=tuple(days)), named + 1
    months, end = read_months(atoms, named)
    if not months:
        return None
    return Rule(freq="YEARLY", bymonth=tuple(months), bymonthday=tuple(days)), end


def _of_every(atoms: Atoms, at: int) -> tuple[Rule, int] | None:
    """The 4th of every other month, first and third friday of each month, end of each month."""
    here = atoms.skip(at, "the")
    byday, after = read_nth_weekdays(atoms, here)
    positions: list[int] = []
    if not byday:
        positions, after = read_positions(atoms, here)
        after = atoms.skip(after, "day", "days")
    if not byday and not positions and atoms.word(here) in _EDGES:
        positions, after = [_EDGES[atoms.word(here)]], here + 1
    if not (byday or positions) or not atoms.is_word(after, "of", "in"):
        return None
    if atoms.word(after + 1) not in _EVERY:
        return None
    interval, unit_at, _ = _interval(atoms, after + 2)
    freq = _FREQUENCIES.get(words.UNITS.get(atoms.word(unit_at), ""))
    if freq not in ("MONTHLY", "YEARLY"):
        return None
    rule = Rule(freq=freq, interval=interval, byday=byday)
    if freq == "MONTHLY":
        return replace(rule, bymonthday=tuple(positions)), unit_at + 1
    return replace(rule, byyearday=tuple(positions)), unit_at + 1
