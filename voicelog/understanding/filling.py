"""Reads one stretch of a memo as one kind of record, and says how well it fits.

`Reader.read(kind, first, last)` gathers what the stretch says for that kind and adds up the
evidence, by the weights of `reading.py`.
"""

from __future__ import annotations

from bisect import bisect_left

from voicelog.catalogue import Catalogue, Kind, Slot, SlotType, Tells
from voicelog.farm import Farm
from voicelog.understanding.amounts import assign_amounts
from voicelog.understanding.anchoring import anchor, has_role, take_time, weigh_meant
from voicelog.understanding.counting import counts_alone
from voicelog.understanding.evidence import Evidence, Worth, speaking, worths
from voicelog.understanding.ground import GroundSurvey
from voicelog.understanding.lexicon import Role, Sense
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.naming import NameReader
from voicelog.understanding.reading import (
    AMOUNT,
    CONFLICT,
    FAINT,
    FILLS,
    SAYS,
    SHARE,
    STEERED,
    STRANGER,
    UNHEARD,
    Reading,
    SaidSlot,
)
from voicelog.understanding.spoken_values import (
    before_words,
    object_after,
    with_modifiers,
    words_after,
)

_PAST_OR_NOUN = frozenset(
    {"was", "were", "been", "after", "before", "of", "for", "by", "from", "without", "finished",
     "started", "stopped", "the", "while", "kept", "about", "when", "seen", "saw", "heard"}
)  # fmt: skip
"""Words before a verb in -ing that put it in the past or make it a noun."""
_NEXT_WORDS = 3
"""How far behind a word the thing may reach that it describes."""


class Reader:
    """Reads stretches of one memo; every reading is made once."""

    def __init__(
        self,
        mentions: Mentions,
        catalogue: Catalogue,
        farm: Farm,
        worth: tuple[Worth, ...] | None = None,
    ) -> None:
        self.mentions = mentions
        self._names = NameReader(mentions, catalogue, farm)
        found = [Evidence(each, mentions) for each in worth or worths(catalogue)]
        self._evidence = [evidence for evidence in found if evidence.told]
        self._farm = farm
        self._counted_only = not any(
            evidence.plain and not evidence.kind.counts_at for evidence in found
        )
        self._silence: dict[tuple[int, int], float] = {}
        self._standing: dict[tuple[int, int], list[tuple[float, Reading]]] = {}
        self._survey = GroundSurvey(mentions)
        self._readings: dict[tuple[str, int, int], Reading] = {}
        self._speaking = speaking(mentions)

    def read(self, kind: Kind, first: int, last: int) -> Reading:
        """The stretch from token `first` to `last` (exclusive) as that kind."""
        key = (kind.name, first, last)
        if key not in self._readings:
            self._readings[key] = self._read(Reading(kind, first, last))
        return self._readings[key]

    def standing(self, first: int, last: int) -> list[tuple[float, Reading]]:
        """The readings of a stretch that are enough for a record, with what they are worth."""
        span = (first, last)
        if span not in self._standing:
            readings = [self.read(kind, first, last) for kind in self.kinds_in(first, last)]
            self._standing[span] = [
                (reading.score + self.strangers(reading.kind, first, last), reading)
                for reading in readings
                if reading.stands
            ]
        return self._standing[span]

    def kinds_in(self, first: int, last: int) -> list[Kind]:
        """The kinds that what the stretch says could be enough for."""
        ground = self._survey.of(first, last)
        amounts = len(ground.amounts)
        names = len(ground.names)
        more = STEERED if ground.steered else 0.0
        return [
            evidence.kind
            for evidence in self._evidence
            if evidence.may_be_enough(first, last, amounts, names, more)
        ]

    def silence(self, first: int, last: int) -> float:
        """What it costs to understand nothing of a stretch."""
        span = (first, last)
        if span not in self._silence:
            ground = self._survey.of(first, last)
            amounts = len(ground.amounts)
            names = sum(name.exact for name in ground.names)
            self._silence[span] = (
                STRANGER * amounts + UNHEARD * names + self.strangers(None, first, last)
            )
        return self._silence[span]

    def says_again(self, first: int, last: int) -> bool:
        """Whether the stretch says that something is the same as before."""
        return self._survey.of(first, last).again

    def strangers(self, kind: Kind | None, first: int, last: int) -> float:
        """What it costs that a stretch holds words which speak for other kinds alone."""
        used = self.read(kind, first, last).used if kind else set()
        dearest: dict[int, float] = {}
        at = bisect_left(self._speaking, (first, 0, 0.0))
        while at < len(self._speaking) and self._speaking[at][0] < last:
            start, end, weight = self._speaking[at]
            if end <= last and start not in used:
                dearest[start] = max(weight, dearest.get(start, 0.0))
            at += 1
        return -sum(dearest.values())

    def _read(self, reading: Reading) -> Reading:
        phrases = self.mentions.phrases_in(reading.kind.name, reading.first, reading.last)
        ground = self._survey.of(reading.first, reading.last)
        self._weigh_words(reading, phrases)
        self._names.take(reading, ground)
        self._take_values(reading, phrases)
        self._names.weigh(reading, ground)
        assign_amounts(self.mentions, reading, phrases, ground.amounts)
        self._take_own_words(reading, phrases)
        if reading.kind.counts_at and not reading.anchored:
            named_later = self.mentions.phrases_in(
                reading.kind.name, reading.last, len(self.mentions.tokens)
            )
            only = self._counted_only and not has_role(named_later, Role.ABOUT)
            reading.by_count = reading.anchored = counts_alone(
                reading, self.mentions, self._farm, only=only
            )
        weigh_meant(reading)
        take_time(reading, ground)
        anchor(reading, phrases, ground, self.mentions, self._names)
        return reading

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
            reading.going_on |= self._going_on(phrase, roles)
            if any(sense.base and sense.plan for sense in phrase.senses):
                openings = self._openings(reading.first, reading.last)
                reading.plain_order |= phrase.first in openings
            for role, weight in ((Role.SAYS, SAYS), (Role.ABOUT, SHARE), (Role.VERB, SHARE)):
                if role not in roles or (role is Role.VERB and Role.VALUE in roles):
                    continue
                reading.used.update(phrase.words)
                if role is Role.VERB and reading.kind.strong_verbs and not strong:
                    weight = FAINT
                if role not in seen:
                    seen.add(role)
                    reading.score += weight
                    reading.pieces += weight >= SHARE
                    _trigger(reading, phrase.first)
                    reading.anchored |= role in (Role.SAYS, Role.ABOUT)
                break

    def _going_on(self, phrase: Phrase, roles: set[Role]) -> bool:
        """A verb in -ing that nothing puts in the past: "moving coop b friday"."""
        doing = roles & {Role.VERB, Role.SAYS} and self.mentions.tokens[phrase.first].lower
        before = self.mentions.tokens[phrase.first - 1].lower if phrase.first else ""
        return bool(doing) and str(doing).endswith("ing") and before not in _PAST_OR_NOUN

    def _openings(self, first: int, last: int) -> set[int]:
        """Where a clause begins: at its first word, or behind a time ("on friday test …")."""
        begins = {first, first + 1} if self.mentions.covers("leading", first) else {first}
        times = self.mentions.times_in(first, last)
        return {first, *(time.last for time in times if time.first in begins)}

    def _take_values(self, reading: Reading, phrases: list[Phrase]) -> None:
        for phrase in phrases:
            for sense in phrase.senses:
                if sense.role is Role.VALUE:
                    self._take_value(reading, phrase, sense)

    def _take_value(self, reading: Reading, phrase: Phrase, sense: Sense) -> None:
        slot = reading.kind.slot(sense.slot)
        if slot is None or (slot.needs_before and not self._led_up_to(slot, phrase)):
            return
        if self._names_goal(reading, phrase):
            return
        if slot.type is SlotType.WORDS and self.mentions.covers("pronouns", phrase.first):
            return
        if slot.object_of_verb and "with" not in slot.before and self._is_means(phrase):
            return
        said = reading.slots.get(slot.name)
        if said is not None and said.weak and sense.tells is not Tells.ONLY_FILLS:
            said = None
        if said is not None:
            same = said.value == sense.value or slot.type is SlotType.WORDS
            if same:
                reading.used.update(phrase.words)
            elif sense.tells is not Tells.ONLY_FILLS:
                reading.score += CONFLICT
            return
        if slot.type is SlotType.WORDS:
            value, first, last = with_modifiers(self.mentions, phrase, slot, sense.value)
        else:
            value, first, last = sense.value, phrase.first, phrase.last
        weak = slot.type is SlotType.CHOICE and sense.tells is Tells.ONLY_FILLS
        reading.slots[slot.name] = SaidSlot(value, first, last, weak=weak)
        reading.used.update(phrase.words, range(first, phrase.first))
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

    def _is_means(self, phrase: Phrase) -> bool:
        """ "Patched the hole with wire": with what, and not what."""
        return before_words(self.mentions, phrase.first, ("with", "with some", "with old"))

    def _led_up_to(self, slot: Slot, phrase: Phrase) -> bool:
        """Whether words that need others beside them have them: "from the creek", "creek water"."""
        kind = phrase.senses[0].kind
        return before_words(self.mentions, phrase.first, slot.before) or any(
            sense.role is Role.ABOUT and other.first == phrase.last
            for other in self.mentions.phrases_in(kind, phrase.last, phrase.last + _NEXT_WORDS)
            for sense in other.senses
        )

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
            if slot.before and not slot.place_kinds and not slot.words_of and reading.anchored:
                found = words_after(self.mentions, reading, slot.before)
            if found is None and slot.object_of_verb:
                found = object_after(self.mentions, reading, phrases)
            if found is not None:
                first, last = found
                reading.slots[slot.name] = SaidSlot(
                    self.mentions.value(first, last).lower(), first, last
                )
                reading.used.update(range(first, last))
                reading.score += AMOUNT
                reading.pieces += slot.tells is Tells.HELPS


def _trigger(reading: Reading, first: int) -> None:
    if reading.trigger is None or first < reading.trigger:
        reading.trigger = first
