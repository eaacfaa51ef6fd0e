"""What a memo mentions, as values: names, amounts, times, and phrases of the kinds of record.

What belongs to the kinds is kept kind by kind, since one word may be a verb of one and a label of
another. `finding.py` finds them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

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
    dropped: frozenset[int] = frozenset()
    """Tokens that a self-correction took back."""

    def words(self, first: int, last: int) -> str:
        """The text from one token to another, as it was said."""
        if first >= last:
            return ""
        return self.text[self.tokens[first].start : self.tokens[last - 1].end]
