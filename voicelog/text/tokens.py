"""Words, figures and marks of a text, each with its place in it.

The cut is the same for speech and typing, so that a word a recogniser gives and a word a
person types meet the same patterns.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

FRACTION_MARKS = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
"""Single characters that write a fraction."""

_LETTER = rf"[^\W\d_{FRACTION_MARKS}]"
_TOKEN = re.compile(
    r"(?P<figure>"
    r"\d{1,2}:\d{2}(?::\d{2})?(?![\d:])"  # a clock or a stretch of time: 7:30
    # Bounded and possessive, so that no text makes the time grow faster than its length.
    r"|\d++(?:\.\d++)?[eE][+-]?\d{1,2}(?![\w.])"  # 1.3e6
    r"|(?<!\d,)\d{1,2}(?:,\d{2}){1,4},\d{3}(?!,?\d)(?:\.\d++)?"  # 12,34,567
    r"|(?<!\d,)\d{1,3}(?:,\d{3}){1,8}(?!,?\d)(?:\.\d++)?"  # thousands: 1,200.5
    r"|(?<![\w.])\.\d++(?!\.\d)"  # .5
    r"|(?<!\d\.)\d++\.\d++(?!\.\d)|\d++"
    rf"|[{FRACTION_MARKS}])"
    rf"|(?P<word>{_LETTER}+(?:['’]{_LETTER}+)*)"
    r"|\S"
)


@dataclass(frozen=True, slots=True)
class Token:
    """One word, figure or mark."""

    text: str
    lower: str
    """The text in lower case, with a straight apostrophe."""
    start: int
    end: int
    """Half-open character range of the text given."""
    figure: bool = False
    """True where it is written in digits or as a fraction mark: 12, 6.4, 1,200, 7:30, ½."""


@lru_cache(maxsize=16)
def tokenise(text: str) -> tuple[Token, ...]:
    """Cut `text` into tokens, in order; only white space lies between them.

    Digits and letters part ("3lbs" is 3 and lbs), apostrophes stay inside words ("didn't"),
    hyphens part ("twenty-two" is three tokens, the hyphen one of them). Time grows with the
    length of the text; the latest texts are remembered, since every grammar asks anew.
    """
    found = []
    for match in _TOKEN.finditer(text):
        said = match.group()
        lower = said.lower()
        if "’" in lower:
            lower = lower.replace("’", "'")
        figure = match.lastgroup == "figure"
        found.append(Token(said, lower, match.start(), match.end(), figure))
    return tuple(found)
