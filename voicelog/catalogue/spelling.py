"""The short notation of the data files for the forms of a word.

    gather~            a regular verb: gather, gathers, gathered, gathering
    egg+               a regular noun: egg, eggs
    get/gets/got       these forms and no others
    top~ up            forms of the first word, each followed by the second
    nest box+          the last word in both numbers

A phrase is the product of its words' forms. Regular spelling rules only: a word that breaks
them is written out with slashes.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import product

_VOWELS = "aeiou"
_HISSING = ("s", "x", "z", "ch", "sh")


@lru_cache(maxsize=4096)
def expand(notation: str) -> tuple[str, ...]:
    """All spellings that a notation stands for, lower case, the plain form first."""
    forms = [_forms(word) for word in notation.lower().split()]
    return tuple(dict.fromkeys(" ".join(words) for words in product(*forms)))


def expand_all(notations: tuple[str, ...]) -> tuple[str, ...]:
    """The spellings of several notations, without repeats."""
    return tuple(dict.fromkeys(form for notation in notations for form in expand(notation)))


def _forms(word: str) -> tuple[str, ...]:
    if "/" in word:
        return tuple(form for part in word.split("/") for form in _forms(part))
    if word.endswith("~"):
        return verb_forms(word[:-1])
    if word.endswith("+"):
        return (word[:-1], plural(word[:-1]))
    return (word,)


def verb_forms(base: str) -> tuple[str, ...]:
    """Base, third person, past and -ing form of a regular verb."""
    third = plural(base)
    if base.endswith("e"):
        return (base, third, base + "d", base[:-1] + "ing")
    if base.endswith("y") and base[-2:-1] not in _VOWELS:
        return (base, third, base[:-1] + "ied", base + "ing")
    stem = base + base[-1] if _doubles(base) else base
    return (base, third, stem + "ed", stem + "ing")


def plural(word: str) -> str:
    """Regular plural of a noun, which is also the third person of a verb."""
    if word.endswith("y") and word[-2:-1] not in _VOWELS:
        return word[:-1] + "ies"
    return word + ("es" if word.endswith(_HISSING) else "s")


def _doubles(base: str) -> bool:
    """One syllable ending in one vowel and one consonant doubles it: top, topped."""
    if len(base) < 3 or base[-1] in _VOWELS + "wxy" or base[-2] not in _VOWELS:
        return False
    return sum(letter in _VOWELS for letter in base) == 1
