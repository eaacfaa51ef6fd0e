"""Numbers with parts and multiples: "six and a half", "two thirds", "half a dozen", 2 1/4."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from voicelog.text.cardinals import (
    Reading,
    figure_value,
    past_hyphen,
    read_bare_decimals,
    read_cardinal,
)
from voicelog.text.number_words import (
    BELOW_HUNDRED,
    COUPLES,
    DOZENS,
    HYPHENS,
    JOINED_ORDINALS,
    ORDINAL_ONES,
    PART_PLURALS,
    PART_PLURALS_AFTER_TENS,
    PARTS,
    SCALE_ORDINALS,
    SCALES,
    SIGNS,
    SPOKEN_ZEROS,
    TENS,
    VAGUE,
)
from voicelog.text.tokens import FRACTION_MARKS, Token

STARTERS: frozenset[str] = frozenset(
    {
        *BELOW_HUNDRED, *TENS, *JOINED_ORDINALS, *SCALES, *SCALE_ORDINALS, *VAGUE, *COUPLES,
        *SIGNS, *SPOKEN_ZEROS, "a", "an", "half", "quarter", "hundred", "hundredth", "dozen",
        "point",
    }
)  # fmt: skip
"""Lower-case words that a number can start with."""

_CLOCK_WORDS = frozenset({"past", "to", "till", "of", "after", "before"})
_AFTER_PART = frozenset(
    {
        "of", "in", "at", "on", "to", "and", "or", "with", "from", "for", "is", "was", "are",
        "were", "full", "gone", "left", "empty", "more", "less", "over", "under", "today", "by",
    }
)  # fmt: skip
"""Words that follow a part ("a third of", "a third left"); a thing follows an ordinal."""


def read_value(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read one number without sign or range that starts at `at`; tokens end in two `END`."""
    word = tokens[at].lower
    if word in ("a", "an"):
        reading = _read_after_article(tokens, at)
    elif word in VAGUE or word in COUPLES:
        reading = _read_vague(tokens, at, at, article=False)
    elif word in ("half", "quarter"):
        reading = _read_bare_part(tokens, at)
    elif word == "point":
        return read_bare_decimals(tokens, at)
    elif word in DOZENS:
        reading = Reading(at, at + 1, 12, scale=12) if word == "dozen" else None
    elif tokens[at].figure and tokens[at + 1].text == "/":
        reading = _read_slash(tokens, at) or read_cardinal(tokens, at)
    else:
        reading = _read_counted(tokens, at)
    if reading is None or reading.ordinal or reading.upto is not None:
        return reading
    return _with_extras(tokens, reading)


def _with_extras(tokens: Sequence[Token], reading: Reading) -> Reading:
    """Add what follows: "and a half", "dozen", and again "and a half" behind a dozen."""
    reading = _with_part(tokens, reading)
    multiplied = _multiplied(tokens, reading)
    return reading if multiplied is reading else _with_part(tokens, multiplied)


def _read_after_article(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read "a hundred", "a dozen", "a half", "a third", "a couple", "a few"."""
    after = at + 1
    word = tokens[after].lower
    if word in COUPLES or word in VAGUE:
        return _read_vague(tokens, at, after, article=True)
    if word == "half":
        return Reading(at, after + 1, Fraction(1, 2), partial=True)
    if word == "quarter":
        if tokens[after + 1].lower in _CLOCK_WORDS and tokens[after + 1].lower != "of":
            return None
        return Reading(at, after + 1, Fraction(1, 4), partial=True)
    if word == "dozen":
        return Reading(at, after + 1, 12, scale=12)
    part = _one_part(tokens, after)
    if part is not None:
        share, end = part
        follower = tokens[end].lower
        if follower[:1].isalpha() and follower not in _AFTER_PART:
            return None  # "a third egg" counts in order
        return Reading(at, end, share, partial=True)
    if word == "hundred" or word in SCALES:
        counted = _read_counted(tokens, after)
        return counted and _from(at, counted)
    if word == "hundredth" or word in SCALE_ORDINALS:
        share = Fraction(1, SCALE_ORDINALS.get(word, 100))
        return Reading(at, after + 1, share, partial=True)
    return None


def _from(start: int, reading: Reading) -> Reading:
    return Reading(
        start,
        reading.end,
        reading.value,
        reading.ordinal,
        reading.scale,
        partial=reading.partial,
    )


def _read_vague(tokens: Sequence[Token], start: int, at: int, *, article: bool) -> Reading | None:
    """Read "a couple", "a pair", "a few", "several"; also of hundreds or dozens."""
    word = tokens[at].lower
    if word == "pair" and not article:
        return None
    low, high = VAGUE.get(word, (2, 2))
    end = at + 1
    behind = end + 1 if tokens[end].lower == "of" and word in COUPLES else end
    factor = _factor(tokens, behind)
    if factor > 1:
        end = behind + 1
    upto = high * factor if high > low else None
    return Reading(start, end, low * factor, False, factor, 0, upto is None, upto, upto is not None)


def _factor(tokens: Sequence[Token], at: int) -> int:
    """What a dozen, hundred or thousand at `at` multiplies by; 1 for any other word."""
    word = tokens[at].lower
    if word in DOZENS:
        return 12
    return 100 if word == "hundred" else SCALES.get(word, 1)


def _read_bare_part(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read "half" and "quarter" without an article; a clock's "half past" is no number."""
    behind = past_hyphen(tokens, at + 1)
    after = tokens[behind].lower
    if tokens[at].lower == "half":
        if after == "past":
            return None
        return Reading(at, at + 1, Fraction(1, 2), partial=True)
    return (
        Reading(at, at + 1, Fraction(1, 4), partial=True) if _factor(tokens, behind) > 1 else None
    )


def _read_slash(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read 3/4; what goes on with another slash is a date."""
    if not tokens[at + 2].figure:
        return None
    above, below = figure_value(tokens[at].text), figure_value(tokens[at + 2].text)
    before = tokens[at - 1].text if at else ""
    if (
        not isinstance(above, int)
        or not isinstance(below, int)
        or not 0 < below <= 1000
        or before == "/"
        or (before in HYPHENS and at > 1 and tokens[at - 2].figure)
        or tokens[at + 3].text == "/"
    ):
        return None
    return Reading(at, at + 3, Fraction(above, below), partial=True)


def _read_counted(tokens: Sequence[Token], at: int) -> Reading | None:
    """Read a whole number, and its parts where it counts parts: "two thirds", "one eighth"."""
    number = read_cardinal(tokens, at)
    if number is None or number.ordinal:
        return number
    mark = tokens[at].text in FRACTION_MARKS and number.end == at + 1
    if mark:
        return Reading(at, number.end, number.value, partial=True)
    return _counted_parts(tokens, number) or _divided(tokens, number) or number


def _counted_parts(tokens: Sequence[Token], number: Reading) -> Reading | None:
    """The number as a count of parts, where a part follows."""
    behind = past_hyphen(tokens, number.end)
    word = tokens[behind].lower
    if number.value == 1:
        part = _one_part(tokens, behind)
        return part and Reading(number.start, part[1], part[0], partial=True)
    below = PART_PLURALS.get(word) or (4 if word == "quarter" else 0)
    value, end = number.value, behind + 1
    if below and number.loose_tens and below < 10 and value > number.loose_tens:
        value -= number.loose_tens  # "one hundred thirty-fifths"
        below += number.loose_tens
    elif word in TENS:
        after = past_hyphen(tokens, end)
        ones = PART_PLURALS_AFTER_TENS.get(tokens[after].lower)
        below, end = (TENS[word] + ones, after + 1) if ones else (0, end)
    if not below or (below == 4 and word == "quarter" and value >= 4):
        return None
    return Reading(number.start, end, Fraction(value) / below, partial=True)


def _one_part(tokens: Sequence[Token], at: int) -> tuple[Fraction, int] | None:
    """One part and the index behind it: "third", "quarter", "twenty-fifth"."""
    word = tokens[at].lower
    if word in PARTS:
        return Fraction(1, PARTS[word]), at + 1
    if word in TENS:
        behind = past_hyphen(tokens, at + 1)
        ones = ORDINAL_ONES.get(tokens[behind].lower)
        if ones:
            return Fraction(1, TENS[word] + ones), behind + 1
    return None


def _divided(tokens: Sequence[Token], number: Reading) -> Reading | None:
    """Read "one over three"; other counts go over things instead."""
    if number.value != 1 or tokens[number.end].lower != "over":
        return None
    below = read_cardinal(tokens, number.end + 1)
    if below is None or below.ordinal or below.value <= 0:
        return None
    return Reading(number.start, below.end, 1 / Fraction(below.value), partial=True)


def _with_part(tokens: Sequence[Token], reading: Reading) -> Reading:
    """Add "and a half", "and three quarters", or a written 1/4 behind a whole figure."""
    if reading.partial or reading.value.denominator != 1:
        return reading
    at = reading.end
    if tokens[at].lower == "and":
        part = read_part_after_and(tokens, at + 1, reading.scale)
    elif tokens[at - 1].figure and tokens[at].figure:
        mark = tokens[at].text in FRACTION_MARKS
        part = _read_counted(tokens, at) if mark else _read_slash(tokens, at)
    else:
        part = None
    if part is None or part.value <= 0:
        return reading
    share = part.value
    if part.scale == 1:
        if share >= 1:
            return reading
        share *= reading.scale if reading.scale != 100 else 1
    return Reading(reading.start, part.end, reading.value + share, False, 1, 0, True)


def read_part_after_and(tokens: Sequence[Token], at: int, scale: int) -> Reading | None:
    """Read the part behind "and"; it may have a scale of its own below `scale`."""
    word = tokens[at].lower
    if word in ("half", "quarter"):
        if tokens[at + 1].lower in ("a", "an", "the") or (
            tokens[at + 1].lower in _CLOCK_WORDS and tokens[at + 1].lower != "of"
        ):
            return None  # "six and half a bucket" are two amounts
        part: Reading | None = Reading(at, at + 1, Fraction(1, PARTS[word]), partial=True)
    elif word in ("a", "an"):
        part = _read_after_article(tokens, at)
    elif tokens[at].figure and tokens[at + 1].text == "/":
        part = _read_slash(tokens, at)
    else:
        part = _read_counted(tokens, at)
    if part is None or not part.partial:
        return None
    multiplied = _multiplied(tokens, part)
    return multiplied if multiplied.scale < scale else part


def _multiplied(tokens: Sequence[Token], reading: Reading) -> Reading:
    """Multiply by what follows: "three dozen", "half a dozen", "two and a half thousand"."""
    at = past_hyphen(tokens, reading.end)
    if reading.partial and tokens[at].lower in ("of", "a"):
        if tokens[at].lower == "of" and tokens[at + 1].lower == "a":
            at += 1
        at += 1
    factor = _factor(tokens, at)
    whole = reading.value.denominator == 1 and not reading.partial
    if factor == 1 or (whole and factor != 12) or reading.scale == 12:
        return reading
    return Reading(reading.start, at + 1, reading.value * factor, scale=factor)
