"""What a memo mentions, as values: names, amounts, times, and phrases of the kinds of record.

What belongs to the kinds is kept kind by kind, since one word may be a verb of one and a label of
another. `finding.py` finds them.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Protocol, TypeVar

from voicelog.catalogue.units import Unit
from voicelog.text.tokens import Token
from voicelog.types import Interval
from voicelog.understanding.lexicon import Role
from voicelog.understanding.matching import Phrase


@dataclass(frozen=True, slots=True)
class Name:
    """A place, flock, bird or breed."""

    first: int
    last: int
    role: Role
    value: str
    known: bool = True
    """False for a place that the farm file does not have."""
    exact: bool = True
    """False for a word that only tells the class ("hens", "coop")."""
    sort: str = ""
    """The kind of a place that the farm file has; names of one list are of one sort."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A number, with its unit where one was said."""

    first: int
    last: int
    value: int | float
    unit: str | None = None
    measure: Unit | None = None
    """The unit as the table has it, for its dimension."""
    upto: int | float | None = None
    approximate: bool = False
    ordinal: bool = False


@dataclass(frozen=True, slots=True)
class TimeSaid:
    """A time, read both ways: as lying in the past and as lying ahead."""

    first: int
    last: int
    past: Interval
    ahead: Interval
    to_come: bool = False
    """True where it lies ahead in either reading: tomorrow."""


@dataclass(frozen=True, slots=True)
class Mentions:
    """All that is mentioned in one memo."""

    text: str
    tokens: tuple[Token, ...]
    names: tuple[Name, ...]
    amounts: tuple[Amount, ...]
    times: tuple[TimeSaid, ...]
    phrases: Mapping[str, tuple[Phrase, ...]]
    """By kind: its phrases, not overlapping, in order, with the senses of that kind alone."""
    place_kinds: tuple[tuple[str, int, int], ...]
    """Kinds of place said by their word, with their tokens."""
    cues: Mapping[str, tuple[tuple[int, int], ...]]
    """By word list: where its phrases stand; of overlapping ones in a list the longest."""

    barred: Mapping[str, frozenset[int]]
    """By kind: tokens of phrases that hold its words and say something else."""
    working: frozenset[int]
    """Tokens of verbs and actions, which are no part of the speaker's own words."""
    mentioned: frozenset[int]
    """Tokens of names, amounts and times."""
    dropped: frozenset[int] = frozenset()
    """Tokens that a self-correction took back."""

    def names_in(self, first: int, last: int) -> list[Name]:
        """The names of a range of tokens."""
        return _within(self.names, first, last)

    def amounts_in(self, first: int, last: int) -> list[Amount]:
        """The amounts of a range of tokens."""
        return _within(self.amounts, first, last)

    def times_in(self, first: int, last: int) -> list[TimeSaid]:
        """The times of a range of tokens."""
        return _within(self.times, first, last)

    def phrases_in(self, kind: str, first: int, last: int) -> list[Phrase]:
        """The phrases of a kind in a range of tokens."""
        return _within(self.phrases.get(kind, ()), first, last)

    def cues_in(self, name: str, first: int, last: int) -> list[tuple[int, int]]:
        """Where phrases of a word list stand in a range of tokens."""
        spans = self.cues.get(name, ())
        found = []
        for at in range(bisect_left(spans, (first, 0)), len(spans)):
            if spans[at][0] >= last:
                break
            if spans[at][1] <= last:
                found.append(spans[at])
        return found

    def says(self, first: int, last: int, *names: str) -> bool:
        """Whether a phrase of one of the word lists stands in a range of tokens."""
        return any(self.cues_in(name, first, last) for name in names)

    def covers(self, name: str, at: int) -> bool:
        """Whether a token belongs to a phrase of a word list."""
        spans = self.cues.get(name, ())
        before = bisect_left(spans, (at + 1, 0)) - 1
        return before >= 0 and spans[before][0] <= at < spans[before][1]

    def words(self, first: int, last: int) -> str:
        """The text from one token to another, as it was said."""
        if first >= last:
            return ""
        return self.text[self.tokens[first].start : self.tokens[last - 1].end]

    def value(self, first: int, last: int) -> str:
        """The words from one token to another, without sounds of hesitation between them."""
        said = ""
        for at in range(first, last):
            gap = self.text[self.tokens[at - 1].end : self.tokens[at].start] if at > first else ""
            said += (gap if not gap or gap.isspace() else " ") + self.tokens[at].text
        return said


class _Ranged(Protocol):
    @property
    def first(self) -> int: ...

    @property
    def last(self) -> int: ...


_Item = TypeVar("_Item", bound=_Ranged)
_FIRST = attrgetter("first")
_FEW = 12
"""So few items are looked through faster than searched."""


def _within(items: Sequence[_Item], first: int, last: int) -> list[_Item]:
    """The items of a sorted sequence that lie inside a range of tokens."""
    if len(items) <= _FEW:
        return [item for item in items if first <= item.first and item.last <= last]
    found = []
    for at in range(bisect_left(items, first, key=_FIRST), len(items)):
        item = items[at]
        if item.first >= last:
            break
        if item.last <= last:
            found.append(item)
    return found
