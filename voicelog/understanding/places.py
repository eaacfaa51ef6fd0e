"""Places that are not said by their whole name.

"coop f" on a farm without one is a place nobody wrote down; "the coop" on a farm with one coop is
that coop; "coop a and b" and "six from b" name coops by their letter alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from voicelog.catalogue import Catalogue
from voicelog.catalogue.units import find_unit
from voicelog.farm import Farm, Place
from voicelog.text.number_words import ONES, TEENS
from voicelog.text.tokens import Token
from voicelog.understanding.lexicon import Role
from voicelog.understanding.matching import Phrase

_JOINING = frozenset({"and", "or", ",", "&"})
_AT = frozenset({"from", "in", "at", "for", "of", "out"})


@dataclass(frozen=True, slots=True)
class PlaceFound:
    """A place named by less, or more, than its name."""

    first: int
    last: int
    value: str
    known: bool
    exact: bool = True


def named_places(
    phrases: list[Phrase], tokens: tuple[Token, ...], catalogue: Catalogue, farm: Farm
) -> Iterator[PlaceFound]:
    """Every such place in the tokens."""
    known = {at for phrase in phrases for at in phrase.words}
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role is Role.PLACE_KIND:
                yield from _after_kind(phrase, sense.value, tokens, catalogue, farm)
                if sense.value in catalogue.places_described:
                    yield from _described(phrase, tokens, known)
    yield from _by_letter(phrases, tokens, farm)


def _after_kind(
    phrase: Phrase, kind: str, tokens: tuple[Token, ...], catalogue: Catalogue, farm: Farm
) -> Iterator[PlaceFound]:
    """A kind of place with a letter or number the farm does not have, or with no name at all."""
    label = tokens[phrase.last].lower if phrase.last < len(tokens) else ""
    singular = tokens[phrase.last - 1].lower
    plural = singular != tokens[phrase.first].lower or singular.endswith("s")
    known = _lettered(farm).get(label)
    if plural and known is not None and known.kind == kind:
        yield PlaceFound(phrase.first, phrase.last + 1, known.name, known=True)
        return
    labelled = len(label) == 1 and label.isalpha() and label not in ("a", "i")
    counted = label in ONES or label in TEENS or label.isdigit()
    if (labelled or counted) and not (counted and _counts_something(tokens, phrase.last)):
        yield PlaceFound(
            phrase.first,
            phrase.last + 1,
            f"{singular} {label.upper() if labelled else label}",
            known=False,
        )
    own = [place for place in farm.places if place.kind == kind]
    alone = kind in catalogue.places_alone
    if alone and len(own) == 1 and not singular.endswith("s"):
        yield PlaceFound(phrase.first, phrase.last, own[0].name, known=True, exact=False)
    elif kind in catalogue.places_unnamed and not own and _has_article(phrase, tokens):
        yield PlaceFound(phrase.first, phrase.last, singular, known=False)


def _described(phrase: Phrase, tokens: tuple[Token, ...], known: set[int]) -> Iterator[PlaceFound]:
    """ "The blue coop" on a farm without one: a word that says nothing else, before the kind."""
    at = phrase.first - 1
    word = tokens[at].lower
    if at < 1 or at in known or not word.isalpha() or word in ONES or word in TEENS:
        return
    if tokens[at - 1].lower in _LEADS_TO_PLACE:
        words = " ".join(token.lower for token in tokens[at : phrase.last])
        yield PlaceFound(at, phrase.last, words, known=False)


_LEADS_TO_PLACE = frozenset(
    {
        "the",
        "our",
        "my",
        "in",
        "from",
        "at",
        "to",
        "of",
        "for",
        "into",
        "near",
        "by",
        "and",
        "behind",
    }
)


def _has_article(phrase: Phrase, tokens: tuple[Token, ...]) -> bool:
    return phrase.first > 0 and tokens[phrase.first - 1].lower in ("the", "our", "my")


def _counts_something(tokens: tuple[Token, ...], at: int) -> bool:
    """A number before a plural or a unit counts that: "coop two eggs" is no coop two."""
    if at + 1 >= len(tokens):
        return False
    word = tokens[at + 1].lower
    return word.endswith("s") or find_unit(word) is not None


def _by_letter(
    phrases: list[Phrase], tokens: tuple[Token, ...], farm: Farm
) -> Iterator[PlaceFound]:
    """A letter alone, after a preposition or joined to another lettered place."""
    lettered = _lettered(farm)
    if not lettered:
        return
    ends = {
        phrase.last
        for phrase in phrases
        if any(sense.role is Role.PLACE for sense in phrase.senses)
    }
    after_plural = {
        phrase.last + 1
        for phrase in phrases
        if tokens[phrase.last - 1].lower.endswith("s")
        and any(sense.role is Role.PLACE_KIND for sense in phrase.senses)
    }
    ends |= after_plural
    for at, token in enumerate(tokens):
        place = lettered.get(token.lower)
        if place is None or at == 0 or at + 1 in ends:
            continue
        before = tokens[at - 1].lower
        end = at
        while end > 0 and tokens[end - 1].lower in _JOINING:
            end -= 1
        joined = end < at and end in ends
        clear = token.lower not in ("a", "i") or token.text.isupper()
        ends_here = (
            at + 1 == len(tokens)
            or not tokens[at + 1].lower.isalpha()
            or (tokens[at + 1].lower in _JOINING)
        )
        listed = at in after_plural and clear
        if listed or (joined and (clear or ends_here)) or (before in _AT and clear):
            ends.add(at + 1)
            if listed:
                after_plural.add(at + 1)
            yield PlaceFound(at, at + 1, place.name, known=True)


def _lettered(farm: Farm) -> dict[str, Place]:
    """Places by their last letter, where no two share it."""
    found: dict[str, list[Place]] = {}
    for place in farm.places:
        words = place.name.lower().split()
        if len(words) > 1 and len(words[-1]) == 1 and words[-1].isalpha():
            found.setdefault(words[-1], []).append(place)
    return {letter: places[0] for letter, places in found.items() if len(places) == 1}
