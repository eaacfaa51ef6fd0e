"""Where in a memo something speaks for a kind of record, and what it costs not to hear it."""

from __future__ import annotations

from voicelog.catalogue import Kind, Tells
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions

_TELLING = frozenset({Role.SAYS, Role.ABOUT, Role.VALUE})


def telling(kind: Kind, mentions: Mentions) -> list[tuple[int, int]]:
    """Where something speaks for a kind: its words, or a unit that only it can have.

    A verb alone never makes a record, unless the kind is filled by places ("moved coop b").
    """
    placed = any(slot.from_place or slot.place_kinds for slot in kind.slots)
    found = [
        (phrase.first, phrase.last)
        for phrase in mentions.phrases.get(kind.name, ())
        if any(
            sense.role in _TELLING or (sense.role is Role.VERB and placed)
            for sense in phrase.senses
            if sense.tells is not Tells.ONLY_FILLS
        )
    ]
    dimensions = {
        name for slot in kind.slots if slot.tells is Tells.ALONE for name in slot.dimensions
    }
    if dimensions:
        found += [
            (amount.first, amount.last)
            for amount in mentions.amounts
            if amount.measure is not None and amount.measure.dimension in dimensions
        ]
    return sorted(found)


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
