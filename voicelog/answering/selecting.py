"""Turns what a question is about into what is wanted of the store.

One question may need several disjoint wants: a slot with two values, a flock that is named in
some records and in others only meant by the place where it lives.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import product

from voicelog.answering.ground import INSTANT, Ground
from voicelog.answering.question import Question, Subject
from voicelog.catalogue import Kind, Slot, SlotType, expand_all
from voicelog.records.asking import birds_named, slot_texts
from voicelog.records.wanted import DayTotal, UnitSum, Wanted
from voicelog.types import Interval, Record, SlotValue, Status, frozen_slots

DONE = (Status.DONE,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Selection:
    """The records that a question is about; wants that do not overlap."""

    ground: Ground
    wants: tuple[Wanted, ...]

    def find(self, limit: int | None = None, *, newest_first: bool = True) -> tuple[Record, ...]:
        """The records in order of the moment they begin."""
        store = self.ground.store
        found = [
            record
            for wanted in self.wants
            for record in store.find(wanted, newest_first=newest_first, limit=limit)
        ]
        if len(self.wants) > 1:
            found = list({record.id: record for record in found}.values())
            found.sort(key=lambda r: (self.ground.begins(r), r.id), reverse=newest_first)
        return tuple(found[:limit])

    def newest(self) -> Record | None:
        """The newest record, or None."""
        return next(iter(self.find(1)), None)

    def count(self) -> int:
        """How many records there are."""
        return sum(self.ground.store.count(wanted) for wanted in self.wants)

    def sums(self, slot: str) -> tuple[UnitSum, ...]:
        """What a slot adds up to in each unit."""
        found: dict[str | None, UnitSum] = {}
        for wanted in self.wants:
            for part in self.ground.store.sums(wanted, slot):
                known = found.get(part.unit)
                found[part.unit] = part if known is None else UnitSum(
                    unit=part.unit,
                    total=known.total + part.total,
                    records=known.records + part.records,
                )  # fmt: skip
        return tuple(found.values())

    def day_totals(self, slot: str) -> Mapping[tuple[date, str | None], float]:
        """What a slot adds up to on each day, for each unit."""
        found: dict[tuple[date, str | None], float] = {}
        for total in self._day_totals(slot):
            key = (total.day, total.unit)
            found[key] = found.get(key, 0) + total.total
        return found

    def texts(self, slot: str) -> tuple[str, ...]:
        """The texts that a slot holds, each once, folded."""
        store = self.ground.store
        return tuple(dict.fromkeys(t for w in self.wants for t in slot_texts(store, w, slot)))

    def birds(self) -> tuple[str, ...]:
        """The birds named, each once, as the farm file prints them."""
        names = dict.fromkeys(b for w in self.wants for b in birds_named(self.ground.store, w))
        return tuple(self.ground.farm_name(name) for name in names)

    def newest_by_place(self) -> Mapping[str | None, Record]:
        """The newest record at each place."""
        found: dict[str | None, Record] = {}
        for wanted in self.wants:
            for at in self.ground.store.latest_by_place(wanted):
                place = None if at.place is None else self.ground.farm_name(at.place.casefold())
                known = found.get(place)
                if known is None or self.ground.begins(known) < self.ground.begins(at.record):
                    found[place] = at.record
        return found

    def at(self, *places: str | None) -> Selection:
        """Only the records at these places."""
        return replace(self, wants=tuple(replace(w, places=places) for w in self.wants))

    def having(self, slot: str, value: SlotValue) -> Selection:
        """Only the records whose slot has this value."""
        wants = tuple(
            replace(w, slots=frozen_slots({**w.slots, slot: value}))
            for w in self.wants
            if w.slots.get(slot, value) == value
        )
        return replace(self, wants=wants)

    def within(self, from_: datetime | None, to: datetime | None) -> Selection:
        """Only the records that begin in this time."""
        return replace(
            self,
            wants=tuple(replace(w, when_from=from_, when_to=to) for w in self.wants),
        )

    def _day_totals(self, slot: str) -> Iterator[DayTotal]:
        for wanted in self.wants:
            yield from self.ground.store.day_totals(wanted, slot, self.ground.zone)


def select(
    ground: Ground,
    question: Question,
    subject: Subject,
    *,
    statuses: tuple[Status, ...] | None = None,
    period: Interval | None = None,
    places: tuple[str | None, ...] | None = None,
    slots: Mapping[str, tuple[str, ...]] | None = None,
) -> Selection:
    """The records of one reading.

    Args:
        ground: what the answer stands on.
        question: the question.
        subject: the reading of it.
        statuses: of which status; None for those the question asks for.
        period: when they begin; None leaves the time open.
        places: where, instead of the places the reading names.
        slots: what their slots say, instead of what the reading says.
    """
    kind = ground.catalogue.kind(subject.kind)
    if statuses is None:
        statuses = (Status.NOT_DONE,) if question.undone else DONE
    where = subject.places if places is None else places
    ahead = statuses == (Status.PLANNED,)
    from_, to = (None, None) if period is None else (period.from_, period.to)
    if not ahead:
        until = ground.now + INSTANT
        to = until if to is None else min(to, until)
    base = Wanted(
        kinds=(kind.name,), statuses=statuses, when_from=from_, when_to=to, as_of=ground.now
    )
    wants = [
        replace(
            base,
            slots=chosen,
            bird=bird,
            places=part.places,
            flocks=part.flocks,
        )
        for chosen in _slot_choices(ground, kind, base, subject.slots if slots is None else slots)
        for bird in question.birds or (None,)
        for part in _whose(ground, kind, whose_birds(ground, question, subject), where)
    ]
    return Selection(ground=ground, wants=tuple(wants))


def whose_birds(ground: Ground, question: Question, subject: Subject) -> tuple[str, ...]:
    """The flocks named, but for one that is what the slot asked for counts."""
    counted = {ground.asking.counted.get((subject.kind, slot)) for slot in subject.asked}
    return tuple(f for f in question.flocks if ground.one_of_class(f) not in counted - {None})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Whose:
    places: tuple[str | None, ...] = ()
    flocks: tuple[str | None, ...] = ()


def _whose(
    ground: Ground, kind: Kind, flocks: tuple[str, ...], places: tuple[str | None, ...]
) -> list[_Whose]:
    """Records that name the flocks, and records that name none but can only mean them."""
    classes = {ground.class_of(flock) for flock in flocks}
    general = all(ground.is_class_word(flock) for flock in flocks)
    if not flocks or "other" in classes or (general and "layer" in classes and
                                            not kind.flock_subject):  # fmt: skip
        return [_Whose(places=places)]
    names = set(flocks)
    for flock in flocks:
        same = [f.name for f in ground.farm.flocks if f.class_ == ground.class_of(flock)]
        if ground.is_class_word(flock):
            names.update(same)
        elif same == [flock]:
            names.update(c.word for c in ground.catalogue.classes
                         if c.name == ground.class_of(flock))  # fmt: skip
    found = [_Whose(places=places, flocks=tuple(sorted(names)))]
    homes = _homes(ground, names, unplaced=general and "layer" in classes)
    meant = tuple(place for place in places if place in homes) if places else homes
    if meant:
        found.append(_Whose(places=meant, flocks=(None,)))
    return found


def _homes(ground: Ground, names: set[str], *, unplaced: bool) -> tuple[str | None, ...]:
    """Places where only these flocks can be meant; with `unplaced`, no place at all too."""
    homes = {f.place for f in ground.farm.flocks if f.name in names and f.place is not None}
    if not unplaced:
        return tuple(sorted(homes))
    others = {f.place for f in ground.farm.flocks if f.name not in names} - homes
    places = {place.name for place in ground.farm.places} - others
    return (None, *sorted(places | homes))


def _slot_choices(
    ground: Ground, kind: Kind, base: Wanted, slots: Mapping[str, tuple[str, ...]]
) -> list[Mapping[str, SlotValue]]:
    """Every combination of slot values that will do."""
    choices: list[list[tuple[str, SlotValue]]] = []
    for name, values in slots.items():
        slot = kind.slot(name)
        if slot is not None and slot.type is SlotType.WORDS:
            said = slot_texts(ground.store, replace(base, when_from=None, when_to=None), name)
            values = tuple(
                text for text in said if any(_fits(ground, slot, text, v) for v in values)
            )
        choices.append([(name, value) for value in values])
    return [frozen_slots(dict(chosen)) for chosen in product(*choices)]


def _fits(ground: Ground, slot: Slot, text: str, value: str) -> bool:
    """Whether the speaker's own words name what is asked for, or a member of it."""
    words = _words(text)
    declared = slot.value_named(value)
    forms = () if declared is None else expand_all(declared.words)
    return any(_words(form) <= words for form in (value, *forms, *_members(ground, value)))


def _words(text: str) -> set[str]:
    return set(text.casefold().replace("_", " ").split())


def _members(ground: Ground, value: str) -> tuple[str, ...]:
    """The words for everything that a word names as a group: each feed for "feed"."""
    for kind in ground.catalogue.kinds:
        listed = ground.asking.listed.get(kind.name)
        slot = None if listed is None else kind.slot(listed)
        groups = expand_all((*kind.about, *ground.asking.general.get(kind.name, ())))
        if slot is not None and value.casefold() in groups:
            return tuple(form for v in slot.values for form in expand_all(v.words))
    return ()
