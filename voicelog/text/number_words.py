"""The words that write numbers in English, as tables that the readers look up."""

from __future__ import annotations


def _words(text: str) -> list[str]:
    return text.split()


ONES = {
    word: value
    for value, word in enumerate(_words("one two three four five six seven eight nine"), start=1)
}
TEENS = {
    word: value
    for value, word in enumerate(
        _words("ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"),
        start=10,
    )
}
TENS = {
    word: value
    for value, word in zip(
        range(20, 100, 10),
        _words("twenty thirty forty fifty sixty seventy eighty ninety"),
        strict=True,
    )
}
ZEROS = {"zero": 0, "nought": 0, "naught": 0, "nil": 0}
SPOKEN_ZEROS = frozenset({"oh", "o"})
"""Zero only among digits: alone they are a sigh or a letter."""

SCALES = {
    "thousand": 10**3,
    "lakh": 10**5,
    "million": 10**6,
    "crore": 10**7,
    "billion": 10**9,
    "trillion": 10**12,
    "quadrillion": 10**15,
    "quintillion": 10**18,
}
SCALE_PLURALS = {f"{word}s": value for word, value in SCALES.items()} | {
    **dict.fromkeys(_words("lac lacs lkh lkhs"), 10**5),
    **dict.fromkeys(_words("cr krore krores koti"), 10**7),
}
"""Scales only behind a number; alone they are no number."""
SCALE_ORDINALS = {
    f"{word}th": value for word, value in SCALES.items() if word not in ("lakh", "crore")
}

ORDINAL_ONES = {
    word: value
    for value, word in enumerate(
        _words("first second third fourth fifth sixth seventh eighth ninth"), start=1
    )
}
ORDINAL_TEENS = {
    word: value
    for value, word in enumerate(
        _words(
            "tenth eleventh twelfth thirteenth fourteenth fifteenth sixteenth seventeenth "
            "eighteenth nineteenth"
        ),
        start=10,
    )
}
ORDINAL_TENS = {f"{word[:-1]}ieth": value for word, value in TENS.items()}
ORDINALS = ORDINAL_ONES | ORDINAL_TEENS | ORDINAL_TENS

BELOW_HUNDRED = (
    ZEROS
    | ONES
    | TEENS
    | {ten + one: TENS[ten] + ONES[one] for ten in TENS for one in ONES}
    | {"single": 1}
)
"""Words that are a whole number below a hundred alone; "twentytwo" is a common typing slip."""
JOINED_ORDINALS = ORDINALS | {
    ten + one: TENS[ten] + ORDINAL_ONES[one] for ten in TENS for one in ORDINAL_ONES
}

PARTS = {"half": 2, "quarter": 4} | {
    word: value for word, value in ORDINALS.items() if word not in ("first", "second")
}
"""What one part of so many is called; a second is a stretch of time instead."""
PART_PLURALS = {f"{word}s": value for word, value in PARTS.items() if word != "half"} | {
    "halves": 2,
    "hundredths": 100,
    **{f"{word}s": value for word, value in SCALE_ORDINALS.items()},
}
PART_PLURALS_AFTER_TENS = {
    f"{word}s": value for word, value in ORDINAL_ONES.items() if word != "second"
}

DOZENS = frozenset({"dozen", "dozens", "doz", "dozs", "dz", "dzs"})
COUPLES = frozenset({"couple", "pair"})
VAGUE = {"few": (3, 5), "several": (3, 7)}
"""Lowest and highest of what a vague word is taken for; common practice, no source."""

SIGNS = frozenset({"minus", "negative"})
HYPHENS = frozenset("-‐‑–—")
APPROXIMATIONS = frozenset(
    _words(
        "about around roughly approximately approx maybe perhaps probably nearly almost circa ~ "
        "like say"
    )
)
DETERMINERS = frozenset(
    _words(
        "the a an that this these those which each every any some another my our his her their "
        "its what no"
    )
)

NUMBER_WORDS: frozenset[str] = frozenset(
    {
        *ZEROS, *ONES, *TEENS, *TENS, *ORDINALS, *PARTS, *VAGUE, *COUPLES, *SIGNS,
        *("a", "an", "and", "point", "oh", "single", "dozen", "dozens", "halves"),
        *("hundred", "hundreds", "thousand", "thousands", "million", "hundredth", "thousandth"),
        *(f"{word}s" for word in PARTS if word not in ("half", "hundredth")),
    }
)  # fmt: skip
"""Every word a spoken number is made of, for the recogniser's vocabulary."""
