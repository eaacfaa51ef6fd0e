"""Events that mean two records: a fox that took two hens is a loss and a predator.

Which kinds go together is said in the catalogue (`[implies]` of a kind's file).
"""

from __future__ import annotations

from dataclasses import replace

from voicelog.catalogue import Catalogue
from voicelog.catalogue.schema import Implies
from voicelog.types import Status
from voicelog.understanding.event import Event
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.reading import SaidSlot

_NEXT_TO = 12
"""So many words away another telling of the same stands at most."""


def couple(events: list[Event], mentions: Mentions, catalogue: Catalogue) -> list[Event]:
    """The events with those that they imply, each after the one that implies it."""
    found: list[Event] = []
    for event in events:
        _settle(event, mentions)
        found.append(event)
        for implies in event.kind.implies:
            other = _implied(event, implies, mentions, catalogue)
            if other is not None and not _said_already(other, implies, events):
                found.append(other)
    for event in found:
        if event.kind.names_none:
            event.flocks, event.birds = [], []
    return found


def _settle(event: Event, mentions: Mentions) -> None:
    """Fill slots that other words of the event mean: a reading was taken by testing."""
    for slot in event.kind.slots:
        if slot.also_main and slot.name in event.slots and event.kind.main:
            event.slots.setdefault(event.kind.main, event.slots[slot.name])
        if slot.name in event.slots:
            for name, value in slot.means.items():
                event.slots.setdefault(name, SaidSlot(value, event.first, event.first))
            continue
        for path, value in slot.implied_by.items():
            kind, _, other = path.partition(".")
            if _says_value(event, kind, other, mentions):
                event.slots[slot.name] = SaidSlot(value, event.first, event.first)


def _says_value(event: Event, kind: str, slot: str, mentions: Mentions) -> bool:
    return any(
        sense.role is Role.VALUE and sense.slot == slot
        for first, last in event.spans
        for phrase in mentions.phrases_in(kind, first, last)
        for sense in phrase.senses
    )


def _implied(
    event: Event, implies: Implies, mentions: Mentions, catalogue: Catalogue
) -> Event | None:
    """The second event, where the words of the first hold what it needs."""
    if event.status is not Status.DONE:
        return None
    for name, value in implies.only_where.items():
        if event.slots.get(name) is None or event.slots[name].value != value:
            return None
    if implies.needs_birds and not (event.flocks or event.birds):
        return None
    kind = catalogue.kind(implies.kind)
    slots = _values_said(event, implies, mentions)
    if any(name not in slots for name in implies.needs):
        return None
    for name, value in implies.sets.items():
        slots.setdefault(name, SaidSlot(value, event.first, event.last))
    keep = implies.keeps_birds
    return replace(
        event,
        kind=kind,
        slots=slots,
        flocks=list(event.flocks) if keep else [],
        birds=list(event.birds) if keep else [],
        spans=list(event.spans),
        used=set(event.used),
        doubts=[],
    )


def _values_said(event: Event, implies: Implies, mentions: Mentions) -> dict[str, SaidSlot]:
    """The slots of the second kind that the words of the first say."""
    slots: dict[str, SaidSlot] = {}
    phrases = [
        phrase
        for first, last in event.spans
        for phrase in mentions.phrases_in(implies.kind, first, last)
    ]
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role is Role.VALUE and sense.slot in implies.takes:
                slots.setdefault(sense.slot, SaidSlot(sense.value, phrase.first, phrase.last))
    for name, other in implies.copies.items():
        if other in event.slots:
            slots[name] = event.slots[other]
    if implies.counts and implies.counts not in slots:
        amounts = [
            amount for first, last in event.spans for amount in mentions.amounts_in(first, last)
        ]
        if amounts and amounts[0].unit is None:
            slots[implies.counts] = SaidSlot(amounts[0].value, amounts[0].first, amounts[0].last)
        elif _article_before(event, mentions):
            slots[implies.counts] = SaidSlot(1, event.first, event.last)
    return slots


def _article_before(event: Event, mentions: Mentions) -> bool:
    return any(
        name.first > 0 and mentions.tokens[name.first - 1].lower in ("a", "an", "another", "one")
        for name in event.flocks
    )


def _said_already(other: Event, implies: Implies, events: list[Event]) -> bool:
    """Whether the memo tells the implied event by itself, in the words next to it."""
    return any(
        event.kind is other.kind
        and abs(event.first - other.last) <= _NEXT_TO
        and all(
            event.slots[name].value == other.slots[name].value
            for name in implies.needs
            if name in event.slots and isinstance(other.slots[name].value, str)
        )
        for event in events
    )
