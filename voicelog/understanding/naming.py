"""What the names of a stretch mean for one kind of record: its places, flocks and birds."""

from __future__ import annotations

import itertools

from voicelog.catalogue import Catalogue, Slot
from voicelog.farm import Farm
from voicelog.understanding.ground import Ground
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions, Name
from voicelog.understanding.reading import (
    JOINING,
    PERSON,
    SECOND_PLACE,
    SHARE,
    Reading,
    SaidSlot,
)
from voicelog.understanding.spoken_values import before_words


class NameReader:
    """Reads the names of one memo."""

    def __init__(self, mentions: Mentions, catalogue: Catalogue, farm: Farm) -> None:
        self.mentions = mentions
        self.catalogue = catalogue
        self.farm = farm

    def is_about(self, reading: Reading) -> bool:
        """Whether a place named is itself what the kind is about."""
        if not reading.kind.about_places:
            return False
        barred = self.mentions.barred.get(reading.kind.name, frozenset())
        for name in reading.places:
            if name.first in barred:
                continue
            place = self.farm.place(name.value)
            if place is not None and place.kind in reading.kind.about_places:
                return True
        return False

    def take(self, reading: Reading, ground: Ground) -> None:
        """Give a reading the names of its stretch and add what they are worth."""
        kind = reading.kind
        if not ground.names:
            return
        for name in ground.names:
            if name.role is Role.PLACE:
                self._take_place(reading, name)
            elif name.role is Role.FLOCK:
                if all(flock.value != name.value for flock in reading.flocks):
                    reading.flocks.append(name)
                reading.used.update(range(name.first, name.last))
            else:
                reading.birds.append(name)
        if reading.places and (kind.per_place or kind.flock_subject or kind.implies):
            reading.score += PERSON / 2
        if (reading.flocks or reading.birds) and kind.flock_subject:
            reading.score += PERSON
        if self.is_about(reading) and not _said_as_thing(reading):
            reading.score += SHARE
            reading.pieces += 1
            reading.anchored = True
        for found in (*reading.places, *reading.flocks, *reading.birds):
            reading.used.update(range(found.first, found.last))
        self._value_of_place(reading)

    def weigh(self, reading: Reading, ground: Ground) -> None:
        """Names speak for some kinds, but only beside a value of theirs: "opened coop b".

        A second place speaks against any, unless the two are a list.
        """
        kind = reading.kind
        shared = kind.repeats and not ground.shared
        if len(reading.places) > 1 and (shared or not self._listed(reading.places)):
            reading.score += SECOND_PLACE * (len(reading.places) - 1)
        named = (kind.birds_help in reading.slots and bool(reading.birds)) or (
            kind.flocks_help in reading.slots and bool(reading.flocks) and not reading.birds
        )
        placed = kind.places_help in reading.slots and any(
            place.exact and place.known for place in reading.places
        )
        if named or (placed and not reading.anchored):
            reading.score += SHARE
            reading.pieces += 1

    def _take_place(self, reading: Reading, name: Name) -> None:
        """A place, or the place a slot names ("to the hill paddock")."""
        for slot in reading.kind.slots:
            if (
                slot.place_kinds
                and slot.name not in reading.slots
                and before_words(self.mentions, name.first, slot.before)
            ):
                reading.slots[slot.name] = SaidSlot(name.value, name.first, name.last)
                reading.used.update(range(name.first, name.last))
                reading.score += SHARE
                reading.pieces += 1
                return
        if any(place.value == name.value for place in reading.places):
            reading.used.update(range(name.first, name.last))
            return
        reading.places.append(name)

    def _value_of_place(self, reading: Reading) -> None:
        """The kind of the place named is a slot's value: a coop that is moved is a coop."""
        for slot in reading.kind.slots:
            if slot.from_place and slot.name not in reading.slots and reading.places:
                place = reading.places[0]
                value = value_of_place(slot, place, self.farm, self.catalogue)
                if value:
                    reading.slots[slot.name] = SaidSlot(value, place.first, place.last)
                    reading.score += SHARE
                    reading.pieces += 1

    def _listed(self, places: list[Name]) -> bool:
        """Whether only "and" or a comma stands between the places: one thing said of all."""
        for one, other in itertools.pairwise(places):
            between = {token.lower for token in self.mentions.tokens[one.last : other.first]}
            if not between <= JOINING:
                return False
        return True


def _said_as_thing(reading: Reading) -> bool:
    """Whether a word of the place's name has spoken for the kind already: "the brooder"."""
    return any(not reading.used.isdisjoint(range(it.first, it.last)) for it in reading.places)


def value_of_place(slot: Slot, place: Name, farm: Farm, catalogue: Catalogue) -> str | None:
    """The slot's value that the kind of a place is called by; None where it has none."""
    known = farm.place(place.value)
    kind = known.kind if known else place.value.split()[0]
    words = next((group.words for group in catalogue.places if group.name == kind), (kind,))
    plain = {word.rstrip("+") for word in words}
    for value in slot.values:
        if value.name in plain or plain.intersection(word.rstrip("+") for word in value.words):
            return value.name
    return None
