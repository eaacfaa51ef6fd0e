"""How the regular endings of English words are said, from how the word before them is said.

`takes_apart` gives the words a word may be made of; `ending` how an ending sounds after a phone.
The rules are those of any grammar of English. On the words of CMUdict kept out of learning (see
`models/pronunciation`), plurals and past forms made so are right more often than what the letters
alone suggest; the other endings and joined words are not, so they only add a second way.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from voicelog.hearing.building.phones import Pronunciation

_HISSING = {"S", "Z", "SH", "ZH", "CH", "JH"}
_VOICELESS = {"P", "T", "K", "F", "TH", *_HISSING} - {"Z", "ZH", "JH"}
_SHORT_FORMS = {"'ll": ("AH", "L"), "'ve": ("AH", "V"), "'re": ("ER",)}

_LEAST_PART = 3
"""Letters a word must have to be a part of a joined one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """A word taken apart."""

    known: tuple[str, ...]
    """One word before an ending, or two joined ones."""
    ending: str
    """"s", "d", "ing", "in", a short form as "'ll", or nothing for joined words."""
    sure: bool
    """Whether the rule is to be believed before what the letters suggest."""


def take_apart(word: str) -> Iterator[Parts]:
    """All ways a word in lower case may be made of others by rule, the likelier first."""
    if "'" in word:
        yield from _short_forms(word)
        return
    for ending, sure in (("s", True), ("ed", True), ("ing", False)):
        for stem in dict.fromkeys(_stems(word, ending)):
            yield Parts(known=(stem,), ending="d" if ending == "ed" else ending, sure=sure)
    for at in range(_LEAST_PART, len(word) - _LEAST_PART + 1):
        yield Parts(known=(word[:at], word[at:]), ending="", sure=False)


def with_ending(phones: Pronunciation, ending: str) -> tuple[Pronunciation, ...]:
    """How a word said as `phones` is said with an ending; several where speakers differ."""
    last = phones[-1]
    if ending == "s":
        if last in _HISSING:
            return (*phones, "IH", "Z"), (*phones, "AH", "Z")
        return ((*phones, "S" if last in _VOICELESS else "Z"),)
    if ending == "d":
        if last in ("T", "D"):
            return (*phones, "IH", "D"), (*phones, "AH", "D")
        return ((*phones, "T" if last in _VOICELESS else "D"),)
    if ending == "ing":
        # "candle" loses its last vowel in "candling", for most speakers.
        if phones[-2:] == ("AH", "L") and len(phones) > 3:
            return (*phones[:-2], "L", "IH", "NG"), (*phones, "IH", "NG")
        return ((*phones, "IH", "NG"),)
    if ending == "in":
        return (*phones, "IH", "N"), (*phones, "AH", "N")
    if ending == "":
        return (phones,)
    return ((*phones, *_SHORT_FORMS[ending]),)


def _short_forms(word: str) -> Iterator[Parts]:
    """Possessives ("hen's", "hens'"), short verbs ("she'll") and "feedin'"."""
    before, _, after = word.rpartition("'")
    if not before or "'" in before:
        return
    if after == "" and before.endswith("s"):
        yield Parts(known=(before,), ending="", sure=True)
    elif after == "" and before.endswith("in"):
        for stem in dict.fromkeys(_stems(before + "g", "ing")):
            yield Parts(known=(stem,), ending="in", sure=True)
    elif after in ("s", "d"):
        yield Parts(known=(before,), ending=after, sure=True)
    elif f"'{after}" in _SHORT_FORMS:
        yield Parts(known=(before,), ending=f"'{after}", sure=True)


def _stems(word: str, ending: str) -> Iterator[str]:
    """The words that `word` may be with an ending, by the rules of spelling."""
    if not word.endswith(ending) or word.endswith("ss"):
        return
    stem = word.removesuffix(ending)
    if len(stem) < _LEAST_PART:
        return
    if ending == "s":
        yield from _plural_stems(stem)
        return
    doubled = stem[-1] == stem[-2] and stem[-1] not in "aeiou"
    if doubled and stem[-1] not in "lsfz":
        yield stem[:-1]
    elif ending == "ed" and stem.endswith("i"):
        yield stem[:-1] + "y"
    else:
        yield from (stem, stem + "e")
        if doubled:
            yield stem[:-1]


def _plural_stems(stem: str) -> Iterator[str]:
    if stem.endswith("ie"):
        yield from (stem, stem[:-2] + "y")
    elif stem.endswith(("se", "ze", "xe", "che", "she", "oe")):
        yield from (stem, stem[:-1])
    elif not stem.endswith(("s", "x", "z", "u", "i")):
        yield stem
