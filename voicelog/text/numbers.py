"""Numbers in a text, spoken or typed: counts, decimals, fractions, ranges and ordinals.

What is no number although a word of it could be one: "one" that stands for a thing ("the brown
one"), "second" as a stretch of time, "to", "for", "won", "ate", a clock (7:30, "half past six").
A hyphen is a sign only where it touches the figure ("-5"), for notes also write "pen B - 12".
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from voicelog.text.cardinals import END, Reading, past_hyphen
from voicelog.text.number_parts import STARTERS, read_value
from voicelog.text.number_words import (
    APPROXIMATIONS,
    DETERMINERS,
    HYPHENS,
    NUMBER_WORDS,
    ONES,
    ORDINALS,
    SIGNS,
    SPOKEN_ZEROS,
    ZEROS,
)
from voicelog.text.tokens import Token, tokenise
from voicelog.types import NumberSpan

__all__ = ["NUMBER_WORDS", "find_numbers", "number_span", "read_numbers"]

_RANGE_WORDS = frozenset({"or", "to", "through"})
_TIME_BEFORE_SECOND = frozenset({"a", "one", "per", "each", "every", "split", "any", "half"})
_NO_POINT_BEFORE = DETERMINERS | {"one", "good", "starting", "end", "high", "low", "same"}


def find_numbers(text: str) -> tuple[NumberSpan, ...]:
    """The numbers said or written in `text`, in order, none overlapping.

    A span covers the words of the number alone: not "about", not the unit. A range ("four or
    five") is one span with its lower end as the value. Time grows with the length of the text.
    """
    tokens = tokenise(text)
    return tuple(number_span(reading, tokens) for reading in read_numbers(tokens))


def number_span(reading: Reading, tokens: Sequence[Token]) -> NumberSpan:
    """The characters and the plain value of a reading."""
    return NumberSpan(
        start=tokens[reading.start].start,
        end=tokens[reading.end - 1].end,
        value=plain(reading.value),
        upto=None if reading.upto is None else plain(reading.upto),
        approximate=reading.approximate,
        ordinal=reading.ordinal,
    )


def plain(value: int | Fraction) -> int | float:
    """An exact value as an integer where it is one, else as the nearest float."""
    if value.denominator == 1:
        return value.numerator
    return value.numerator / value.denominator


def read_numbers(tokens: Sequence[Token]) -> list[Reading]:
    """The numbers among `tokens` with the tokens each takes."""
    closed = (*tokens, END, END, END, END)
    found: list[Reading] = []
    at = 0
    while at < len(tokens):
        token = closed[at]
        reading = None
        if token.figure or token.lower in STARTERS or token.text in HYPHENS:
            reading = _read_at(closed, at, found[-1] if found else None)
        if reading is None:
            at += 1
        else:
            found.append(reading)
            at = reading.end
    return found


def _read_at(tokens: Sequence[Token], at: int, before: Reading | None) -> Reading | None:
    """Read a whole number, its sign, its range and how sure it is."""
    follows_number = before is not None and before.end == at
    sign_end = _sign_end(tokens, at, follows_number=follows_number)
    if sign_end is None:
        return None
    reading = _between_digits(tokens, at, before) or read_value(tokens, sign_end)
    if reading is None or _is_no_number(tokens, reading, follows_number=follows_number):
        return None
    if sign_end > at:
        if _is_list_dash(tokens, at, reading):
            return None
        reading = _changed(reading, start=at, value=-reading.value)
    else:
        reading = _with_range(tokens, reading)
    if not reading.approximate and _is_approximate(tokens, reading):
        reading = _changed(reading, approximate=True)
    return reading


def _changed(
    reading: Reading,
    *,
    start: int | None = None,
    end: int | None = None,
    value: int | Fraction | None = None,
    upto: int | Fraction | None = None,
    approximate: bool = False,
) -> Reading:
    return Reading(
        reading.start if start is None else start,
        reading.end if end is None else end,
        reading.value if value is None else value,
        reading.ordinal,
        reading.scale,
        0,
        reading.partial,
        reading.upto if upto is None else upto,
        reading.approximate or approximate,
    )


def _sign_end(tokens: Sequence[Token], at: int, *, follows_number: bool) -> int | None:
    """The index behind a sign, `at` where there is none, None where nothing can start here."""
    token = tokens[at]
    if token.lower in SIGNS:
        return None if follows_number else at + 1
    if token.text not in HYPHENS:
        return at
    after = tokens[at + 1]
    if at == 0 and after.figure:
        return 1
    touches = after.figure and token.end == after.start
    joined = at > 0 and tokens[at - 1].end == token.start
    return at + 1 if touches and not joined and not follows_number else None


def _is_list_dash(tokens: Sequence[Token], at: int, reading: Reading) -> bool:
    """True for the dash that opens a line ("- 12 cracked"), not for a text that is "- 12"."""
    spaced = tokens[at].text in HYPHENS and tokens[at].end != tokens[at + 1].start
    return spaced and tokens[reading.end].text != ""


def _between_digits(tokens: Sequence[Token], at: int, before: Reading | None) -> Reading | None:
    """Zero for an "oh" between two digits: "two oh five"."""
    if tokens[at].lower not in SPOKEN_ZEROS or before is None or before.end != at:
        return None
    after = tokens[at + 1].lower
    digit = after in ONES or after in ZEROS or after in SPOKEN_ZEROS
    return Reading(at, at + 1, 0) if digit and 0 <= before.value < 100 else None


def _is_no_number(tokens: Sequence[Token], reading: Reading, *, follows_number: bool) -> bool:
    """True where the words say something else than a number."""
    at = reading.start
    word = tokens[at].lower
    if word in SPOKEN_ZEROS:
        return not follows_number
    if word == "point":
        return at > 0 and tokens[at - 1].lower in _NO_POINT_BEFORE
    if reading.end != at + 1:
        return False
    if word == "one":
        return _stands_for_a_thing(tokens, at)
    if word in ORDINALS:
        return _is_no_ordinal(tokens, at, follows_number=follows_number)
    before = tokens[at - 1].lower if at else ""
    if word == "single":
        return before == "every"
    if word == "dozen":
        return before in ("per", "the", "each", "every", "by")
    return False


def _stands_for_a_thing(tokens: Sequence[Token], at: int) -> bool:
    """True for the "one" of "the brown one", "that one", "no one", "one another"."""
    if tokens[at + 1].lower in ("another", "by") or at == 0:
        return tokens[at + 1].lower == "another"
    before = tokens[at - 1].lower
    if before in DETERMINERS or before in ("by", "but", "other"):
        return True
    further = tokens[at - 2].lower if at > 1 else ""
    is_word = before[:1].isalpha() and before not in ONES
    return is_word and further in DETERMINERS and before not in ("is", "was", "has", "had", "got")


def _is_no_ordinal(tokens: Sequence[Token], at: int, *, follows_number: bool) -> bool:
    """True for "at first", "first thing", and for "second" as a stretch of time."""
    before = tokens[at - 1].lower if at else ""
    after = tokens[at + 1].lower
    if tokens[at].lower == "first":
        return before == "at" or after in ("thing", "aid")
    if tokens[at].lower == "second":
        if after == "to" and tokens[at + 2].lower == "last":
            return True
        if before == "a":  # "a second egg", but "wait a second"
            return not after[:1].isalpha() or after in ("to", "and", "or", "ago", "later", "of")
        return follows_number or before in _TIME_BEFORE_SECOND
    return False


def _with_range(tokens: Sequence[Token], low: Reading) -> Reading:
    """Extend a number to a range where a larger one follows: "four or five", 4-5."""
    link = tokens[low.end]
    before = tokens[low.start - 1].lower if low.start else ""
    hyphen = link.text in HYPHENS
    linked = hyphen or link.lower in _RANGE_WORDS or (link.lower == "and" and before == "between")
    if low.ordinal or low.upto is not None or not linked:
        return low
    if hyphen and _is_chained(tokens, low.start - 1):
        return low
    start = low.end + 1
    if tokens[start].lower in APPROXIMATIONS:
        start += 1
    high = read_value(tokens, start)
    if high is None or high.ordinal or high.upto is not None:
        return low
    if hyphen and _is_chained(tokens, high.end):
        return low
    value = low.value
    if high.scale > 1 and low.scale == 1 and value * high.scale < high.value:
        value *= high.scale  # "two or three hundred"
    if value >= high.value:
        return low
    return _changed(low, end=high.end, value=value, upto=high.value)


def _is_chained(tokens: Sequence[Token], at: int) -> bool:
    """True where a hyphen or slash at `at` makes the figures a date or a telephone number."""
    return at >= 0 and (tokens[at].text in HYPHENS or tokens[at].text in ("/", "+"))


def _is_approximate(tokens: Sequence[Token], reading: Reading) -> bool:
    """True where the words around say that the number is a guess."""
    at = reading.start
    if at and not reading.ordinal:
        before = tokens[at - 1].lower
        if before in APPROXIMATIONS or (
            before == "to" and at > 1 and tokens[at - 2].lower == "close"
        ):
            return True
    after = past_hyphen(tokens, reading.end)
    word = tokens[after].lower
    return word == "ish" or (word == "or" and tokens[after + 1].lower == "so")
