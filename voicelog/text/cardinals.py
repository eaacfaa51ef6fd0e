"""Whole and decimal numbers, read from tokens: "two hundred and five", "six point four", 1,200.

A reading starts at one token and takes as many as belong to one number; numbers that stand side
by side ("ten twelve") stay apart. Every function takes tokens that end in `END`, so that looking
ahead never runs off the end, and looks ahead a bounded way, so that time is linear.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from voicelog.text.number_words import (
    BELOW_HUNDRED,
    HYPHENS,
    JOINED_ORDINALS,
    ONES,
    ORDINAL_ONES,
    PART_PLURALS,
    PARTS,
    SCALE_ORDINALS,
    SCALE_PLURALS,
    SCALES,
    SPOKEN_ZEROS,
    TEENS,
    TENS,
    ZEROS,
)
from voicelog.text.tokens import FRACTION_MARKS, Token

END = Token("", "", 0, 0)
"""Closes a sequence of tokens; no table knows its empty word."""

_LONGEST_FIGURE = 24
_MOST_DECIMALS = 12
_GAPS_IN_FIGURES = ("\u00a0", "\u202f", " ")


@dataclass(frozen=True, slots=True)
class Reading:
    """One number as it was read."""

    start: int
    end: int
    """Half-open range of tokens."""
    value: int | Fraction
    ordinal: bool = False
    scale: int = 1
    """The value of the last word where that word multiplies: a dozen is 12, a million 10**6."""
    loose_tens: int = 0
    """The last word where it is a ten that may belong to what follows: hundred *thirty* fifths."""
    partial: bool = False
    """True where it ends in a part of one: half, three quarters, six and a half."""
    upto: int | Fraction | None = None
    approximate: bool = False


def past_hyphen(tokens: Sequence[Token], at: int) -> int:
    """The index after a hyphen at `at`, or `at` itself."""
    return at + 1 if tokens[at].text in HYPHENS else at


def read_cardinal(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read the longest whole, decimal or ordinal number that starts at `at`."""
    total: int | Fraction = 0
    last_scale = 0
    place = at
    best: Reading | None = None
    while True:
        group = _read_group(tokens, place, first=best is None)
        if group is None:
            return best
        decimals = _decimals(tokens, group.end)
        if decimals is not None and not group.ordinal:
            group = Reading(place, decimals[1], group.value + decimals[0])
        value, scale, end, ordinal = _scaled(tokens, group, first=best is None)
        linked = best is not None and tokens[place - 1].lower == "and"
        if best is not None and (value >= last_scale or value == 0):
            return best
        if linked and scale == 1 and _counts_parts(tokens, group):
            return best
        total += value
        loose = 0 if linked or scale > 1 else group.loose_tens
        best = Reading(at, end, total, ordinal, scale if scale > 1 else group.scale, loose)
        if ordinal or scale == 1:
            return best
        last_scale = scale
        place = end + 1 if tokens[end].lower == "and" else past_hyphen(tokens, end)


def _read_group(tokens: Sequence[Token], at: int, *, first: bool) -> Reading | None:
    """Read up to the hundreds; `first` is False behind a thousand, where less may follow."""
    word = tokens[at].lower
    if first and (word in SCALES or word in SCALE_ORDINALS):
        return Reading(at, at, 1)
    if not first and tokens[at].figure and tokens[at - 1].lower != "and":
        after = tokens[at + 1].lower
        if after not in ("hundred", "hundreds") and after not in SCALES:
            return None
    return _read_hundreds(tokens, at)


def _scaled(
    tokens: Sequence[Token], group: Reading, *, first: bool
) -> tuple[int | Fraction, int, int, bool]:
    """Multiply a group by the thousand or million behind it: value, scale, end, ordinal."""
    value = group.value
    at = past_hyphen(tokens, group.end)
    word = tokens[at].lower
    if group.ordinal or value == 0:
        return value, 1, group.end, group.ordinal
    if word in SCALE_ORDINALS:
        return value * SCALE_ORDINALS[word], 1, at + 1, True
    scale = SCALES.get(word) or (SCALE_PLURALS.get(word) if value > 1 else None)
    if scale is None:
        return value, 1, group.end, False
    value *= scale
    at += 1
    while first:  # "three thousand million"
        larger = SCALES.get(tokens[at].lower) or SCALE_PLURALS.get(tokens[at].lower, 0)
        if larger <= scale:
            break
        value *= larger
        scale = larger
        at += 1
    return value, scale, at, False


def _read_hundreds(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read "two hundred and five", "twenty-four hundred", or what is below a hundred."""
    word = tokens[at].lower
    if word == "hundredth":
        return Reading(at, at + 1, 100, ordinal=True)
    value: int | Fraction = 100
    end = at + 1
    if word != "hundred":
        small = _read_small(tokens, at)
        if small is None or small.ordinal or small.value == 0:
            return small
        behind = past_hyphen(tokens, small.end)
        word = tokens[behind].lower
        if word == "hundredth":
            return Reading(at, behind + 1, small.value * 100, ordinal=True)
        if word != "hundred" and not (word == "hundreds" and small.value > 1):
            return small
        value = small.value * 100
        end = behind + 1
    tail = _read_tail(tokens, end)
    if tail is None:
        return Reading(at, end, value, scale=100)
    return Reading(at, tail.end, value + tail.value, tail.ordinal, 1, tail.loose_tens)


def _read_tail(tokens: Sequence[Token], at: int) -> Reading | None:
    """What adds to the hundreds before it: "and five", "twelve", "twenty-first"."""
    linked = tokens[at].lower == "and"
    start = at + 1 if linked else past_hyphen(tokens, at)
    if tokens[start].figure and not linked:
        return None
    tail = _read_small(tokens, start)
    if tail is None or not 0 < tail.value < 100 or tail.value.denominator != 1:
        return None
    behind = tokens[past_hyphen(tokens, tail.end)].lower
    if behind in ("hundred", "hundreds") or (linked and _counts_parts(tokens, tail)):
        return None
    loose = TENS.get(tokens[tail.end - 1].lower, 0) if not linked else 0
    return Reading(start, tail.end, tail.value, tail.ordinal, 1, loose)


def _counts_parts(tokens: Sequence[Token], number: Reading) -> bool:
    """True where a number counts parts of one: "a hundred and three quarters" is 100.75."""
    word = tokens[past_hyphen(tokens, number.end)].lower
    return (number.value == 1 and word in PARTS) or PART_PLURALS.get(word, 0) > number.value


def _read_small(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read what is below a hundred, or a figure of any size."""
    token = tokens[at]
    if token.figure:
        return _read_figure(tokens, at)
    word = token.lower
    tens = TENS.get(word)
    if tens is not None:
        behind = past_hyphen(tokens, at + 1)
        one = ONES.get(tokens[behind].lower)
        if one is not None:
            return Reading(at, behind + 1, tens + one)
        one = ORDINAL_ONES.get(tokens[behind].lower)
        if one is not None:
            return Reading(at, behind + 1, tens + one, ordinal=True)
        return Reading(at, at + 1, tens)
    value = BELOW_HUNDRED.get(word)
    if value is not None:
        return Reading(at, at + 1, value)
    value = JOINED_ORDINALS.get(word)
    if value is not None:
        return Reading(at, at + 1, value, ordinal=True)
    return None


def _decimals(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """The part below one said from "point" at `at` on, and the index behind it."""
    if tokens[at].lower != "point":
        return None
    digits = ""
    place = at + 1
    while len(digits) < _MOST_DECIMALS:
        token = tokens[place]
        if token.figure and not digits and token.text.isdecimal():
            digits, place = token.text[:_LONGEST_FIGURE], place + 1
            break
        digit = ONES.get(token.lower)
        if digit is None and (token.lower in ZEROS or token.lower in SPOKEN_ZEROS):
            digit = 0
        if digit is None:
            break
        digits, place = digits + str(digit), place + 1
    if not digits and (tokens[place].lower in TENS or tokens[place].lower in TEENS):
        pair = _read_small(tokens, place)  # "point seventy-one"
        if pair is not None and not pair.ordinal:
            digits, place = str(pair.value), pair.end
    return (Fraction(int(digits), 10 ** len(digits)), place) if digits else None


def read_bare_decimals(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read "point five", with nothing before the point."""
    found = _decimals(tokens, at)
    if found is None:
        return None
    value, scale, end, _ = _scaled(tokens, Reading(at, found[1], found[0]), first=True)
    return Reading(at, end, value, scale=scale)


def _read_figure(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read a number in digits, with spaced thousands and a letter for thousand or million."""
    value = figure_value(tokens[at].text)
    if value is None:
        return None
    if tokens[at + 1].lower in ("st", "nd", "rd", "th") and _touch(tokens, at):
        return Reading(at, at + 2, value, ordinal=True)
    value, end = _spaced_thousands(tokens, at, value)
    factor = _letter_factor(tokens, end)
    return Reading(at, end + 1, value * factor) if factor else Reading(at, end, value)


def figure_value(figure: str) -> int | Fraction | None:
    """The value of a figure token; None for a clock or one too long to be a number."""
    if len(figure) > _LONGEST_FIGURE or ":" in figure:
        return None
    if figure in FRACTION_MARKS:
        return Fraction(unicodedata.numeric(figure)).limit_denominator(10)
    plain = figure.replace(",", "")
    if plain.isdecimal():
        return int(plain)
    value = Fraction(plain)
    return int(value) if value.denominator == 1 else value


def _touch(tokens: Sequence[Token], at: int) -> bool:
    """True where no space lies between the token at `at` and the next."""
    return tokens[at].end == tokens[at + 1].start


def _spaced_thousands(
    tokens: Sequence[Token], at: int, value: int | Fraction
) -> tuple[int | Fraction, int]:
    """Join "1 234 567" and "40 000"; two short figures side by side stay two numbers."""
    if not tokens[at].text.isdecimal() or not 0 < value < 1000:
        return value, at + 1
    end = at + 1
    while end - at < 7 and _is_thousands_group(tokens, end):
        end += 1
    if end == at + 1 or (end == at + 2 and not tokens[at + 1].text.startswith("000")):
        return value, at + 1
    joined = "".join(token.text for token in tokens[at:end])
    return figure_value(joined) or 0, end


def _is_thousands_group(tokens: Sequence[Token], at: int) -> bool:
    whole, _, rest = tokens[at].text.partition(".")
    return (
        tokens[at].figure
        and len(whole) == 3
        and whole.isdecimal()
        and (not rest or rest.isdecimal())
        and tokens[at].start - tokens[at - 1].end == 1
    )


def _letter_factor(tokens: Sequence[Token], at: int) -> int | None:
    """The factor of a letter behind a figure: 10k, 3M, 1.2b.

    Pens are called 3B and weights are 5 g: only k may be small or stand apart, and b and G need
    a figure that is no such name.
    """
    letter = tokens[at].text
    if letter in ("k", "K"):
        return 10**3
    figure = tokens[at - 1]
    if figure.end != tokens[at].start and not set(figure.text) & set(",."):
        return None
    if letter == "M":
        return 10**6
    if letter == "G":
        return 10**9
    return 10**9 if letter in ("b", "B") and "." in figure.text else None
