"""Turns character ranges of a text into ranges of its tokens."""

from __future__ import annotations

from voicelog.text.tokens import Token


class TokenRanges:
    """The ranges of one text."""

    def __init__(self, tokens: tuple[Token, ...]) -> None:
        self._starts = {token.start: at for at, token in enumerate(tokens)}
        self._ends = {token.end: at + 1 for at, token in enumerate(tokens)}

    def range(self, start: int, end: int) -> tuple[int, int] | None:
        """The tokens of a character range; None where it cuts a token."""
        first, last = self._starts.get(start), self._ends.get(end)
        return None if first is None or last is None else (first, last)
