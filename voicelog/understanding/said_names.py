"""The places, flocks, birds and breeds that a memo names."""

from __future__ import annotations

from dataclasses import replace

from voicelog.catalogue import Catalogue
from voicelog.farm import Farm
from voicelog.text.tokens import Token
from voicelog.understanding.lexicon import NAMES, Role
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Name
from voicelog.understanding.places import named_places


def said_names(
    phrases: list[Phrase], tokens: tuple[Token, ...], catalogue: Catalogue, farm: Farm
) -> list[Name]:
    """Names and class words, longest first where they overlap, the farm's own before others."""
    found: list[tuple[int, int, Name]] = []
    passing = {
        at
        for phrase in phrases
        if phrase.length > 1
        and any(sense.role is Role.CUE and sense.value == "fillers" for sense in phrase.senses)
        for at in phrase.words
    }
    for phrase in phrases:
        if phrase.length == 1 and phrase.first in passing:
            continue  # "on the dot" names no hen called Dot
        if _describes(phrase, phrases, tokens):
            continue
        for sense in phrase.senses:
            if sense.role in NAMES:
                if sense.role is Role.FLOCK and _only_measure(phrase, tokens):
                    continue
                exact = sense.tells is not sense.tells.ONLY_FILLS
                name = Name(phrase.first, phrase.last, sense.role, sense.value, exact=exact)
                rank = 0 if sense.role is Role.BREED else 2 if exact else 1
                found.append((phrase.length, rank, name))
    for place in named_places(phrases, tokens, catalogue, farm):
        found.append((place.last - place.first, 0, Name(place.first, place.last, Role.PLACE,
                      place.value, known=place.known, exact=place.exact)))  # fmt: skip
    found.sort(key=lambda item: (-item[0], -item[1], item[2].first))
    taken: set[int] = set()
    names = []
    for _, _, name in found:
        span = range(name.first, name.last)
        if taken.isdisjoint(span):
            taken.update(span)
            names.append(name)
    birds = {at for name in names if name.role is Role.BIRD for at in (name.first, name.last)}
    names = [
        name
        for name in names
        if name.role is not Role.BREED or birds.isdisjoint((name.first, name.last))
    ]  # "the little brahma queenie" is one bird
    kinds = {place.name: place.kind for place in farm.places}
    sorted_names = [replace(name, sort=kinds.get(name.value, "")) for name in names]
    return sorted(sorted_names, key=lambda name: name.first)


def _only_measure(phrase: Phrase, tokens: tuple[Token, ...]) -> bool:
    """ "Two millilitres per bird": the birds only say for how many the amount is."""
    return phrase.first > 0 and tokens[phrase.first - 1].lower == "per"


def _describes(phrase: Phrase, phrases: list[Phrase], tokens: tuple[Token, ...]) -> bool:
    """A short name used as an adjective: "the blue drinker" is no coop called blue."""
    if phrase.length > 1 or phrase.first == 0 or tokens[phrase.first - 1].lower != "the":
        return False
    return any(
        other.first == phrase.last and sense.role is Role.VALUE and sense.slot == "container"
        for other in phrases
        for sense in other.senses
    )
