"""Written text as it is said: numbers in words, signs and punctuation gone, lower case."""

from __future__ import annotations

import re

_BELOW_TWENTY = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen"
)
_ONES = tuple(_BELOW_TWENTY.split())
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")

NUMBER_WORDS = frozenset((*_ONES, *_TENS[2:], "hundred", "thousand", "point"))
"""The words that `number_words` and decimals are made of."""

_ORDINALS = {
    "one": "first",
    "two": "second",
    "three": "third",
    "five": "fifth",
    "eight": "eighth",
    "nine": "ninth",
    "twelve": "twelfth",
}

_MOST_DIGITS = 6
"""Longer numbers are said digit by digit."""

_SIGNS = {"&": " and ", "%": " percent ", "+": " plus ", "’": "'", "‘": "'"}
_FIGURE = re.compile(r"(?<![\d.,])(\d{1,3}(?:,\d{3})+|\d+)(?:\.(\d+))?(st|nd|rd|th)?(?![^\W\d_])")
_DIGITS = re.compile(r"\d+")
_APART = re.compile(r"[^\w'.-]|_")
_INITIALS = re.compile(r"(?:[^\W\d_]\.){2,}")


def spoken_words(text: str) -> tuple[str, ...]:
    """The words of a sentence; those joined by a hyphen are parted."""
    return tuple(spoken_name(text.replace("-", " ")).split())


def spoken_name(text: str) -> str:
    """A name as it is said; words joined by a hyphen stay one.

    "Pen 2" is "pen two", "Fox-Glove coop" is "fox-glove coop", "2nd row" is "second row".
    """
    said = text.lower()
    for sign, spelled in _SIGNS.items():
        said = said.replace(sign, spelled)
    said = _FIGURE.sub(_figure, said)
    # What is left are figures within a word, as in "b2".
    said = _DIGITS.sub(lambda found: f" {number_words(found[0])} ", said)
    said = _INITIALS.sub(lambda found: found[0].replace(".", " "), _APART.sub(" ", said))
    words = (word.rstrip(".").strip("-") for word in said.split())
    return " ".join(filter(None, map(_unquoted, words)))


def number_words(digits: str) -> str:
    """A whole number in words; one with a nought before it or many digits is said by digits.

    >>> number_words("215")
    'two hundred fifteen'
    """
    if len(digits) > _MOST_DIGITS or (digits[0] == "0" and len(digits) > 1):
        return " ".join(_ONES[int(digit)] for digit in digits)
    return _cardinal(int(digits))


def _figure(found: re.Match[str]) -> str:
    whole, decimals, ordinal = found.groups()
    said = number_words(whole.replace(",", ""))
    if decimals:
        said += " point " + " ".join(_ONES[int(digit)] for digit in decimals)
    if ordinal:
        said = _ordinal(said)
    return f" {said} "


def _cardinal(number: int) -> str:
    for size, name in ((1000, "thousand"), (100, "hundred")):
        if number >= size:
            rest = number % size
            return f"{_cardinal(number // size)} {name}" + (f" {_cardinal(rest)}" if rest else "")
    if number < len(_ONES):
        return _ONES[number]
    tens, ones = divmod(number, 10)
    return _TENS[tens] + (f" {_ONES[ones]}" if ones else "")


def _ordinal(said: str) -> str:
    *before, last = said.split()
    if last in _ORDINALS:
        last = _ORDINALS[last]
    else:
        last = f"{last.removesuffix('y')}ieth" if last.endswith("y") else f"{last}th"
    return " ".join([*before, last])


def _unquoted(word: str) -> str:
    """Without marks of quotation; an apostrophe at the end may belong to the word ("hens'")."""
    if word.startswith("'"):
        word = word.strip("'")
    return word if any(char.isalnum() for char in word) else ""
