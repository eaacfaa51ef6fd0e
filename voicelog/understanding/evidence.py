"""Where in a memo something speaks for a kind of record, and what it costs not to hear it."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from voicelog.catalogue import Catalogue, Kind, SlotType, Tells
from voicelog.understanding.counting import bare_numbers
from voicelog.understanding.lexicon import Role
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.reading import AMOUNT, ENOUGH, PERSON, SAYS, SHARE

_TELLING = frozenset({Role.SAYS, Role.ABOUT, Role.VALUE})
_NUMERIC = frozenset({SlotType.COUNT, SlotType.QUANTITY, SlotType.DAYS})


@dataclass(frozen=True, slots=True)
class Worth:
    """What names and amounts can be worth to a kind at most; the same in every memo."""

    kind: Kind
    name: float
    amount: float
    rest: float
    """What else can be: the speaker's own words, "a hen"."""
    placed: bool
    """True where places fill the kind, so that a verb and a place make a record."""
    alone: frozenset[str]
    """Dimensions of units that speak for the kind by themselves."""


def worths(catalogue: Catalogue) -> tuple[Worth, ...]:
    """The worth of every kind, in the catalogue's order."""
    return tuple(_worth(kind) for kind in catalogue.kinds)


def _worth(kind: Kind) -> Worth:
    placed = any(slot.from_place or slot.place_kinds for slot in kind.slots)
    named = placed or kind.birds_help or kind.flocks_help or kind.places_help or kind.about_places
    alone = {name for slot in kind.slots if slot.tells is Tells.ALONE for name in slot.dimensions}
    numeric = [slot for slot in kind.slots if slot.type in _NUMERIC]
    amount = 0.0
    if numeric:
        told = any(slot.tells is not Tells.ONLY_FILLS for slot in numeric)
        amount = SAYS if alone else SHARE if told else AMOUNT
    own_words = any(slot.object_of_verb for slot in kind.slots)
    articles = any(slot.article_counts for slot in kind.slots)
    return Worth(
        kind=kind,
        name=SHARE if named else PERSON,
        amount=amount,
        rest=AMOUNT * own_words + amount * articles,
        placed=placed,
        alone=frozenset(alone),
    )


class Evidence:
    """All that may speak for one kind in one memo, to leave out early what cannot be it."""

    def __init__(self, worth: Worth, mentions: Mentions) -> None:
        self.kind = worth.kind
        self._worth = worth
        self._rest = worth.rest + worth.amount * ("negative_count" in mentions.cues)  # "no eggs"
        self._rest += SHARE * (worth.kind.needs_about and "pronouns" in mentions.cues)  # "it"
        self._weights = [
            (phrase.first, phrase.last, *_weight(phrase, worth.placed))
            for phrase in mentions.phrases.get(worth.kind.name, ())
        ]
        if worth.alone:
            self._weights += [
                (amount.first, amount.last, 0.0, True)
                for amount in mentions.amounts
                if amount.measure is not None and amount.measure.dimension in worth.alone
            ]
        self._weights += [
            (name.first, name.last, SHARE, True)
            for name in mentions.names
            if name.sort in worth.kind.about_places
        ]
        if worth.kind.counts_at and any(name.role is Role.PLACE for name in mentions.names):
            self._weights += [
                (amount.first, amount.last, SHARE, True) for amount in bare_numbers(mentions)
            ]
            self._weights += [
                (first, last, SHARE, True)
                for first, last in mentions.cues.get("negative_count", ())
            ]
        self._weights.sort()
        self.told = any(tells for *_, tells in self._weights)
        self.plain = any(
            sense.role in (Role.SAYS, Role.ABOUT) or sense.tells is Tells.ALONE
            for phrase in mentions.phrases.get(worth.kind.name, ())
            for sense in phrase.senses
        )
        """True where words speak for the kind by themselves."""

    def may_be_enough(self, first: int, last: int, amounts: int, names: int, more: float) -> bool:
        """Whether the kind could stand in a stretch with so many amounts and names.

        A verb alone never makes a record, unless the kind is filled by places.
        """
        told = False
        most = self._rest + more + self._worth.amount * amounts + self._worth.name * names
        at = bisect_left(self._weights, (first,))
        while at < len(self._weights) and self._weights[at][0] < last:
            _, end, weight, tells = self._weights[at]
            if end <= last:
                most += weight
                told = told or tells
            at += 1
        return told and most >= ENOUGH


def _weight(phrase: Phrase, placed: bool) -> tuple[float, bool]:
    """The most a phrase can be worth to its kind, and whether it speaks for it."""
    most = 0.0
    tells = False
    for sense in phrase.senses:
        if sense.role is Role.SAYS or (sense.role is Role.VALUE and sense.tells is Tells.ALONE):
            most += SAYS
        elif sense.role is not Role.LABEL:
            most += SHARE
        if sense.tells is not Tells.ONLY_FILLS:
            tells = tells or sense.role in _TELLING or (sense.role is Role.VERB and placed)
    return most, tells


def speaking(mentions: Mentions) -> list[tuple[int, int, float]]:
    """Words that speak for some kind, with what it costs to leave them unheard."""
    found = []
    for phrases in mentions.phrases.values():
        for phrase in phrases:
            for sense in phrase.senses:
                if sense.role is Role.SAYS or sense.tells is Tells.ALONE:
                    found.append((phrase.first, phrase.last, 1.2))
                elif sense.role is Role.ABOUT:
                    found.append((phrase.first, phrase.last, 0.6))
                elif sense.role is Role.VALUE and sense.tells is Tells.HELPS:
                    found.append((phrase.first, phrase.last, 0.4))
    return sorted(found)
