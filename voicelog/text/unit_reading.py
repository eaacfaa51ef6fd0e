"""Units behind numbers: which words after a number are its unit, and which only look so."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from voicelog.catalogue.units import Spelling, spellings
from voicelog.text.cardinals import END, Reading, past_hyphen
from voicelog.text.number_words import HYPHENS
from voicelog.text.numbers import read_numbers
from voicelog.text.tokens import Token

BETWEEN = frozenset(
    {
        "more", "additional", "extra", "other", "less", "fewer", "full", "whole", "big", "small",
        "little", "large", "heaping", "heaped", "level", "good", "rounded", "generous", "new",
    }
)  # fmt: skip
"""Words that may stand between a number and its unit."""
_AFTER_WARY = frozenset({"of", "and", "or", "to", "is", "x", "per", "at", "outside", "today"})
_AFTER_SINGULAR = frozenset({"of", "and", "or", "in", "for", "to", "with", "on", "full", "at"})
_SMALLEST_SPOKEN_DEGREES = 10
"""Pens are called 2C and 3F: fewer degrees than these are said or written as degrees."""


@lru_cache(maxsize=1)
def _longest_by_first_word() -> dict[str, int]:
    """For each word a unit starts with, the words of the longest such unit."""
    longest: dict[str, int] = {}
    for key in spellings():
        words = key.split()
        longest[words[0]] = max(longest.get(words[0], 0), len(words))
    return longest


class UnitReader:
    """The tokens of a text with their numbers, and what units stand where."""

    def __init__(self, tokens: Sequence[Token]) -> None:
        self.tokens = (*tokens, END, END, END, END, END, END)
        self.length = len(tokens)
        self.numbers = {reading.start: reading for reading in read_numbers(tokens)}
        self.spellings = spellings()
        self.longest = _longest_by_first_word()

    def unit(self, at: int) -> tuple[Spelling, int] | None:
        """The longest unit spelled at `at`, and the index behind it."""
        longest = self.longest.get(self.tokens[at].lower, 0)
        for count in range(longest, 0, -1):
            words = self.tokens[at : at + count]
            spelling = self.spellings.get(" ".join(token.lower for token in words))
            if spelling is not None:
                return spelling, at + count
        return None

    def _runs_on(self, end: int) -> bool:
        """True where what ends at `end` is the middle of a code: 24703L202, F-series, %20."""
        last, after = self.tokens[end - 1], self.tokens[end]
        if last.end != after.start:
            return False
        hyphened = after.text in HYPHENS and after.end == self.tokens[end + 1].start
        return after.text[:1].isalnum() or hyphened

    def _is_code(self, start: int) -> bool:
        """True where letters touch the figure at `start`: scp173, SCP-173."""
        at = start
        while at and self.tokens[at - 1].end == self.tokens[at].start:
            at -= 1
            if self.tokens[at].text.isalpha():
                return True
            if self.tokens[at].text not in HYPHENS:
                return False
        return False

    def opens_amount(self, spelling: Spelling, end: int) -> bool:
        """True where a sign that ends at `end` touches the number behind it: "3 USD50"."""
        behind = self.tokens[end]
        spaced = not self.tokens[end - 1].text.isalpha()
        return (
            spelling.before
            and behind.figure
            and (spaced or self.tokens[end - 1].end == behind.start)
        )

    def unit_behind(self, number: Reading) -> tuple[Spelling, int] | None:
        at = past_hyphen(self.tokens, number.end)
        if number.partial:
            at += self.tokens[at].lower == "of"
            at += self.tokens[at].lower in ("a", "an")
        if self.tokens[at].lower in BETWEEN and not self.unit(at):
            at += 1
        found = self.unit(at)
        if found is None or not self._fits(number, *found, at):
            return None
        return found

    def _fits(self, number: Reading, spelling: Spelling, end: int, at: int) -> bool:
        """False where the words of a unit are something else behind this number."""
        if self.opens_amount(spelling, end) and self.tokens[at - 1].end != self.tokens[at].start:
            return False
        marked = spelling.wary or spelling.unit.dimension == "share"
        if marked and (self._runs_on(end) or self._is_code(number.start)):
            return False
        after = self.tokens[end].lower
        follows_word = after[:1].isalpha() or self.tokens[end].figure
        if self.tokens[end].figure and self.unit(end + 1) is not None:
            follows_word = False  # "12 m 2 dm"
        if spelling.wary:
            last = self.tokens[at - 1]
            touches = last.figure and last.end == self.tokens[at].start
            hot = number.value < 0 or number.value >= _SMALLEST_SPOKEN_DEGREES
            if spelling.unit.dimension == "temperature" and not hot:
                return False
            if touches:
                return True
            if not self.tokens[at].text.isalpha() or (after not in _AFTER_WARY and follows_word):
                return False
            if spelling.singular == "in":
                return last.figure and not follows_word
            return last.figure or spelling.unit.dimension == "temperature"
        countable = spelling.unit.dimension in ("container", "count")
        if countable and not spelling.plural and number.value > 1 and at == number.end:
            return not follows_word or after in _AFTER_SINGULAR
        return True
