"""Sentences drawn from the catalogue: what the parser's own words would make a person say.

Every kind's verbs, things, slot words, numbers and units come up in many orders, done, not done
and planned, so that no word of the catalogue is strange to the recogniser. They are no model of
how people talk; the invented sentences are, and weighing decides how much these count.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence

from num2words import num2words

from voicelog.catalogue import Catalogue, Kind, Slot, SlotType, expand, load_catalogue

GAP = "_"
"""In a notation: other words may stand here."""

MOST_OF_COUNT = 120
"""Larger counts are rare in the mouth."""

_WORDED = ("fillers", "withdraw", "make_that", "show_left", "show_review", "confirm", "stop")
"""Lists of the catalogue whose phrases are said by themselves."""


class SentenceMaker:
    """Draws sentences by chance, with placeholders for names."""

    def __init__(self, chance: random.Random, catalogue: Catalogue | None = None) -> None:
        self._chance = chance
        self._catalogue = catalogue or load_catalogue()
        self._kinds = [kind for kind in self._catalogue.kinds if kind.verbs or kind.says]
        self._lists = self._catalogue.lists

    def sentence(self) -> str:
        """One sentence: mostly something told, else a question or an instruction."""
        drawn = self._chance.random()
        if drawn < 0.06:
            return self._one_of(self._lists[self._chance.choice(_WORDED)])
        if drawn < 0.22:
            return self._question()
        if drawn < 0.40:
            return f"{self._told()} {self._cue('boundary')} {self._told()}"
        return self._told()

    def _told(self) -> str:
        kind = self._chance.choice(self._kinds)
        frame = self._chance.choices(
            [self._done, self._not_done, self._planned, self._found], [6, 1, 2, 2]
        )[0]
        parts = [frame(kind), self._where(), self._time()]
        return " ".join(part for part in parts if part)

    def _done(self, kind: Kind) -> str:
        who = self._chance.choice(["", "", "", "i", "we", "{person}"])
        return " ".join(filter(None, [who, self._verb(kind, past=True), self._object(kind)]))

    def _not_done(self, kind: Kind) -> str:
        return f"{self._cue('not_done')} {self._verb(kind)} {self._object(kind)}"

    def _planned(self, kind: Kind) -> str:
        return f"{self._cue('planned')} {self._verb(kind)} {self._object(kind)}"

    def _found(self, kind: Kind) -> str:
        slots = self._chance.sample(kind.slots, min(len(kind.slots), self._chance.randint(1, 2)))
        return " ".join(filter(None, [self._subject(kind), *map(self._slot, slots)]))

    def _question(self) -> str:
        kind = self._chance.choice(self._kinds)
        asked = self._chance.choice(kind.slots) if kind.slots else None
        thing = self._one_of(asked.ask) if asked and asked.ask else self._thing(kind)
        frames: list[Callable[[], str]] = [
            lambda: f"{self._cue('ask_when')} did we last {self._verb(kind)} {thing}",
            lambda: f"{self._cue('ask_much')} {thing} did we get",
            lambda: f"{self._cue('ask_who')} {self._verb(kind, past=True)} {thing}",
            lambda: f"did {{person}} {self._verb(kind)} {thing}",
            lambda: f"{self._cue('ask_long')} since we {self._verb(kind, past=True)} {thing}",
        ]
        return " ".join([self._chance.choice(frames)(), self._where(), self._time()]).strip()

    def _object(self, kind: Kind) -> str:
        slots = self._chance.sample(kind.slots, min(len(kind.slots), self._chance.randint(0, 2)))
        parts = [self._slot(slot) for slot in slots] + [self._thing(kind)]
        self._chance.shuffle(parts)
        return " ".join(part for part in parts if part)

    def _subject(self, kind: Kind) -> str:
        breed = f"the {self._one_of(self._catalogue.breeds)}"
        group = self._one_of(self._chance.choice(self._catalogue.classes).words)
        return self._chance.choice(["{bird}", "{place}", self._thing(kind), breed, group])

    def _thing(self, kind: Kind) -> str:
        if not kind.about:
            return ""
        thing = self._one_of(kind.about)
        return f"the {thing}" if self._chance.random() < 0.5 else thing

    def _slot(self, slot: Slot) -> str:
        if slot.type is SlotType.COUNT:
            label = self._one_of(slot.labels) if slot.labels else ""
            return f"{self._number(MOST_OF_COUNT)} {label}".strip()
        if slot.type is SlotType.DAYS:
            return f"{self._number(30)} days"
        if slot.type is SlotType.QUANTITY:
            return self._quantity(slot)
        return self._one_of(self._chance.choice(slot.values).words) if slot.values else ""

    def _quantity(self, slot: Slot) -> str:
        units = [unit for unit in self._catalogue.units if unit.dimension in slot.dimensions]
        if not units:
            return self._number(40)
        forms = [form for form in self._chance.choice(units).forms[0] if form.isascii()]
        return f"{self._number(60)} {self._chance.choice(forms)}"

    def _number(self, most: int) -> str:
        value = min(most, int(self._chance.expovariate(1 / 14)) + 1)
        half = self._chance.random() < 0.08
        words = num2words(value).replace("-", " ").replace(" and ", " ")
        return f"{words} and a half" if half else words

    def _verb(self, kind: Kind, *, past: bool = False) -> str:
        notation = self._chance.choice((*kind.verbs, *kind.says))
        forms = expand(notation.replace(GAP, ""))
        return forms[min(2, len(forms) - 1)] if past else forms[0]

    def _where(self) -> str:
        if self._chance.random() < 0.55:
            return ""
        return f"{self._cue('leading')} {{place}}"

    def _time(self) -> str:
        weekday = f"on {self._chance.choice(_WEEKDAYS)}"
        ago = f"{self._number(12)} days ago"
        return self._chance.choice(["", "", "", "", *_TIMES, weekday, ago])

    def _cue(self, name: str) -> str:
        return self._one_of(self._lists[name])

    def _one_of(self, notations: Sequence[str]) -> str:
        return self._chance.choice(expand(self._chance.choice(list(notations)).replace(GAP, "")))


_SPOKEN = re.compile(r"[a-z][a-z']*|\{\w+\}")
"""Marks that the notation allows, such as that of a currency, are not said."""

_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_TIMES = ("this morning", "today", "yesterday", "last night", "at dusk", "this week", "last week")


def catalogue_sentences(count: int, seed: int = 1) -> list[str]:
    """So many sentences, always the same for a seed."""
    maker = SentenceMaker(random.Random(seed))
    return [" ".join(filter(_SPOKEN.fullmatch, maker.sentence().split())) for _ in range(count)]
