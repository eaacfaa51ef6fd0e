"""A memo by its sentences, and the words in them that only lead up to what is said."""

from __future__ import annotations

from voicelog.understanding.mentions import Mentions

MARKS = (".", "!", "?", ";")
"""What ends a sentence."""


def sentences(mentions: Mentions) -> list[tuple[int, int]]:
    """Ranges of tokens between full stops, question marks and line ends.

    A mark that fell away with a correction ends nothing: "nine eggs. no, ten" says one thing.
    """
    found = []
    first = 0
    for at, token in enumerate(mentions.tokens):
        newline = at > first and "\n" in mentions.text[mentions.tokens[at - 1].end : token.start]
        if newline:
            found.append((first, at))
            first = at
        if token.lower in MARKS and at not in mentions.dropped:
            found.append((first, at + 1))
            first = at + 1
    if first < len(mentions.tokens):
        found.append((first, len(mentions.tokens)))
    return found


def skip(mentions: Mentions, at: int, last: int, lists: tuple[str, ...]) -> int:
    """The first token from `at` on that is no phrase of the lists and no comma."""
    moved = True
    while moved and at < last:
        moved = False
        if mentions.tokens[at].lower in (",", "-", "–", "—", ":"):
            at, moved = at + 1, True
            continue
        for name in lists:
            for begin, end in mentions.cues.get(name, ()):
                if begin == at and end <= last:
                    at, moved = end, True
    return at


def opens(mentions: Mentions, first: int, begin: int) -> bool:
    """Whether only passing words stand before a token: "um, no, make that twelve"."""
    return skip(mentions, first, begin, ("fillers", "correction")) == begin


def without_mark(mentions: Mentions, last: int) -> int:
    """The end of a sentence, its mark left out."""
    return last - 1 if mentions.tokens[last - 1].lower in MARKS else last


def past_mark(mentions: Mentions, at: int, last: int) -> int:
    """The token after a mark that stands here; else the token itself."""
    return at + 1 if at < last and mentions.tokens[at].lower in MARKS else at
