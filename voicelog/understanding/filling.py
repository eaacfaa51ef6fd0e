"""Reads one stretch of a memo as one kind of record, and says how well it fits.

`Reader.read(kind, first, last)` gathers what the stretch says for that kind and adds up the
evidence, by the weights of `reading.py`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator

from voicelog.catalogue import Catalogue, Kind, Slot, SlotType, Tells
from voicelog.farm import Farm
from voicelog.understanding.amounts import assign_amounts
from voicelog.understanding.lexicon import Role, Sense
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Mentions, Name
from voicelog.understanding.reading import (
    AMOUNT,
    CONFLICT,
    FAINT,
    FILLS,
    JOINING,
    PERSON,
    SAYS,
    SECOND_PLACE,
    SHARE,
    STEERED,
    Reading,
    SaidSlot,
)
from voicelog.understanding.spoken_values import (
    before_words,
    object_after,
    with_modifiers,
    words_after,
)


class Reader:
    """Reads stretches of one memo; every reading is made once."""

    def __init__(self, mentions: Mentions, catalogue: Catalogue, farm: Farm) -> None:
        self.mentions = mentions
        self.catalogue = catalogue
        self.farm = farm
        self._told_by = {kind.name: _telling(kind, mentions) for kind in catalogue.kinds}
        self.kinds = tuple(kind for kind in catalogue.kinds if self._told_by[kind.name])
        self._readings: dict[tuple[str, int, int], Reading] = {}
        self._speaking = sorted(_speaking(mentions), key=lambda item: -item[2])
        self._steered = [
            span for name in ("not_done", "planned") for span in mentions.cues.get(name, ())
        ]

    def read(self, kind: Kind, first: int, last: int) -> Reading:
        """The stretch from token `first` to `last` (exclusive) as that kind."""
        key = (kind.name, first, last)
        if key not in self._readings:
            self._readings[key] = self._read(Reading(kind, first, last))
        return self._readings[key]

    def kinds_in(self, first: int, last: int) -> Iterator[Kind]:
        """The kinds that something in the stretch speaks for."""
        for kind in self.kinds:
            told = self._told_by[kind.name]
            at = bisect_left(told, (first, 0))
            if at < len(told) and told[at][1] <= last:
                yield kind
            elif any(first <= begin and end <= last for begin, end in told[at:]):
                yield kind

    def says_again(self, first: int, last: int) -> bool:
        """Whether the stretch says that something is the same as before."""
        return any(
            first <= begin and end <= last
            for name in ("same_again", "as_well")
            for begin, end in self.mentions.cues.get(name, ())
        )

    def strangers(self, kind: Kind | None, first: int, last: int) -> float:
        """What it costs that a stretch holds words which speak for other kinds alone."""
        used = self.read(kind, first, last).used if kind else set()
        cost = 0.0
        seen: set[int] = set()
        for start, end, weight in self._speaking:
            if first <= start and end <= last and start not in used and start not in seen:
                seen.add(start)
                cost -= weight
        return cost

    def _read(self, reading: Reading) -> Reading:
        phrases = [
            phrase
            for phrase in self.mentions.phrases.get(reading.kind.name, ())
            if reading.first <= phrase.first and phrase.last <= reading.last
        ]
        self._weigh_words(reading, phrases)
        self._take_names(reading)
        self._take_values(reading, phrases)
        self._weigh_names(reading)
        assign_amounts(self.mentions, reading, phrases)
        self._take_own_words(reading, phrases)
        self._take_time(reading)
        if any(reading.first <= first < reading.last for first, _ in self._steered):
            reading.score += STEERED
            reading.pieces += bool(reading.slots or self._has(phrases, (Role.ABOUT, Role.SAYS)))
        spoken = reading.slots and any(
            isinstance(said.value, str) for said in reading.slots.values()
        )
        reading.anchored = reading.anchored or (reading.pieces >= 2 and bool(spoken))
        kind = reading.kind
        if kind.strong_verbs and not self._has(phrases, (Role.VERB, Role.SAYS)):
            reading.anchored = False
        if kind.needs_about and not (
            reading.told_by_unit
            or self._has(phrases, (Role.ABOUT, Role.SAYS))
            or self._about_place(reading)
        ):
            reading.anchored = False
        return reading

    def _about_place(self, reading: Reading) -> bool:
        """Whether a place named is itself what the kind is about."""
        barred = self.mentions.barred.get(reading.kind.name, frozenset())
        for name in reading.places:
            if name.first in barred:
                continue
            place = self.farm.place(name.value)
            if place is not None and place.kind in reading.kind.about_places:
                return True
        return False

    def _has(self, phrases: list[Phrase], roles: tuple[Role, ...]) -> bool:
        return any(sense.role in roles for phrase in phrases for sense in phrase.senses)

    def _weigh_words(self, reading: Reading, phrases: list[Phrase]) -> None:
        """Verbs, things and words that say the kind by themselves; each sort counts once."""
        seen: set[Role] = set()
        strong = any(
            sense.role is Role.STRONG_VERB for phrase in phrases for sense in phrase.senses
        )
        for phrase in phrases:
            roles = {sense.role for sense in phrase.senses}
            if Role.VERB in roles or (Role.SAYS in roles and Role.LABEL not in roles):
                reading.own_verb = True
                reading.plain_verb |= any(sense.base for sense in phrase.senses)
            if any(sense.base and sense.plan for sense in phrase.senses):
                reading.plain_order |= phrase.first == reading.first
            for role, weight in ((Role.SAYS, SAYS), (Role.ABOUT, SHARE), (Role.VERB, SHARE)):
                if role not in roles or (role is Role.VERB and Role.VALUE in roles):
                    continue
                reading.used.update(phrase.words)
                if role is Role.VERB:
                    if reading.kind.strong_verbs and not strong:
                        weight = FAINT
                if role not in seen:
                    seen.add(role)
                    reading.score += weight
                    reading.pieces += weight >= SHARE
                    _trigger(reading, phrase.first)
                    reading.anchored |= role in (Role.SAYS, Role.ABOUT)
                break

    def _take_names(self, reading: Reading) -> None:
        kind = reading.kind
        for name in self.mentions.names:
            if not (reading.first <= name.first and name.last <= reading.last):
                continue
            if name.role is Role.PLACE:
                self._take_place(reading, name)
            elif name.role is Role.FLOCK:
                if all(flock.value != name.value for flock in reading.flocks):
                    reading.flocks.append(name)
                reading.used.update(range(name.first, name.last))
            else:
                reading.birds.append(name)
        shared = kind.repeats and not self._says_each(reading)
        if len(reading.places) > 1 and (shared or not self._listed(reading.places)):
            reading.score += SECOND_PLACE * (len(reading.places) - 1)
        if reading.places and kind.per_place:
            reading.score += PERSON / 2
        if (reading.flocks or reading.birds) and kind.flock_subject:
            reading.score += PERSON
        if self._about_place(reading):
            reading.score += SHARE
            reading.pieces += 1
        for found in (*reading.places, *reading.flocks, *reading.birds):
            reading.used.update(range(found.first, found.last))
        self._value_of_place(reading)

    def _weigh_names(self, reading: Reading) -> None:
        """Names speak for some kinds, but only beside a value of theirs: "opened coop b"."""
        kind = reading.kind
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

    def _says_each(self, reading: Reading) -> bool:
        return any(
            reading.first <= begin and end <= reading.last
            for name in ("each", "both", "negative_count", "not_done", "planned")
            for begin, end in self.mentions.cues.get(name, ())
        )

    def _listed(self, places: list[Name]) -> bool:
        """Whether only "and" or a comma stands between the places: one thing said of all."""
        for one, other in zip(places, places[1:], strict=False):
            between = {token.lower for token in self.mentions.tokens[one.last : other.first]}
            if not between <= JOINING:
                return False
        return True

    def _take_values(self, reading: Reading, phrases: list[Phrase]) -> None:
        for phrase in phrases:
            for sense in phrase.senses:
                if sense.role is Role.VALUE:
                    self._take_value(reading, phrase, sense)

    def _take_value(self, reading: Reading, phrase: Phrase, sense: Sense) -> None:
        slot = reading.kind.slot(sense.slot)
        if slot is None or (
            slot.needs_before and not before_words(self.mentions, phrase.first, slot.before)
        ):
            return
        if self._names_goal(reading, phrase):
            return
        said = reading.slots.get(slot.name)
        if said is not None and said.weak and sense.tells is not Tells.ONLY_FILLS:
            said = None
        if said is not None:
            same = said.value == sense.value or slot.type is SlotType.WORDS
            if not same and sense.tells is not Tells.ONLY_FILLS:
                reading.score += CONFLICT
            return
        if slot.type is SlotType.WORDS:
            value, first, last = with_modifiers(self.mentions, phrase, slot, sense.value)
        else:
            value, first, last = sense.value, phrase.first, phrase.last
        weak = slot.type is SlotType.CHOICE and sense.tells is Tells.ONLY_FILLS
        reading.slots[slot.name] = SaidSlot(value, first, last, weak=weak)
        reading.used.update(phrase.words, range(first, phrase.first))
        if slot.type is SlotType.WORDS:
            reading.places = [
                place for place in reading.places if place.known or not first <= place.first < last
            ]
        if slot.needs_before:
            reading.places = [place for place in reading.places if place.first != phrase.first]
        if any(other.role is Role.SAYS for other in phrase.senses):
            reading.pieces += 1
        elif sense.tells is Tells.ALONE:
            reading.score += SAYS
            reading.pieces += 1
            reading.anchored = True
        elif sense.tells is Tells.HELPS:
            reading.score += SHARE
            reading.pieces += 1
        else:
            reading.score += FILLS
        if sense.tells is not Tells.ONLY_FILLS:
            _trigger(reading, phrase.first)

    def _names_goal(self, reading: Reading, phrase: Phrase) -> bool:
        """Whether the words are the name of a place that another slot has taken."""
        for slot in reading.kind.slots:
            said = reading.slots.get(slot.name)
            if slot.place_kinds and said is not None:
                return said.first <= phrase.first and phrase.last <= said.last
        return False

    def _take_own_words(self, reading: Reading, phrases: list[Phrase]) -> None:
        """A slot of the speaker's own words, where no declared value filled it."""
        for slot in reading.kind.slots:
            if slot.type is not SlotType.WORDS or slot.name in reading.slots:
                continue
            found = None
            if slot.object_of_verb:
                found = object_after(self.mentions, reading, phrases)
            elif slot.before and not slot.place_kinds and reading.anchored:
                found = words_after(self.mentions, reading, slot.before)
            if found is not None:
                first, last = found
                reading.slots[slot.name] = SaidSlot(
                    self.mentions.words(first, last).lower(), first, last
                )
                reading.used.update(range(first, last))
                reading.score += AMOUNT
                reading.pieces += slot.tells is Tells.HELPS

    def _take_time(self, reading: Reading) -> None:
        times = [
            time
            for time in self.mentions.times
            if reading.first <= time.first and time.last <= reading.last
        ]
        if times:
            reading.time = times[0]
            reading.score += CONFLICT * (len(times) - 1)
            for time in times:
                reading.used.update(range(time.first, time.last))


def _trigger(reading: Reading, first: int) -> None:
    if reading.trigger is None or first < reading.trigger:
        reading.trigger = first


def _telling(kind: Kind, mentions: Mentions) -> list[tuple[int, int]]:
    """Where something speaks for a kind: its words, or a unit that only it can have."""
    found = [
        (phrase.first, phrase.last)
        for phrase in mentions.phrases.get(kind.name, ())
        if any(
            sense.role is not Role.LABEL and sense.tells is not Tells.ONLY_FILLS
            for sense in phrase.senses
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


def _speaking(mentions: Mentions) -> list[tuple[int, int, float]]:
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
    return found


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
