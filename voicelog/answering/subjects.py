"""Which kind of record a question is about, what its slots must say, and which are asked for.

Every kind is weighed by the words that speak for it; kinds that come out alike stay side by
side, and the first that has a record answers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from voicelog.answering.heard import Ear, Heard
from voicelog.answering.question import Noun, Span, Subject
from voicelog.answering.weighing import HOW, NUMBERS, Weighed, is_aim, is_bare, weigh
from voicelog.catalogue import Kind, Slot, SlotType, Tells, expand_all
from voicelog.catalogue.units import Unit
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Name

_ALIKE = 0.5
"""Readings that lie this close are as good as each other."""


def find_subjects(
    heard: Heard, ear: Ear, unit: Unit | None, names: tuple[Name, ...], noun: Noun | None
) -> tuple[tuple[Subject, ...], frozenset[int]]:
    """The readings of a question, the clearest first, and the tokens the clearest uses."""
    kinds = [kind for kind in ear.catalogue.kinds if kind.slots]
    weighed = [weigh(kind, heard, ear, unit, names, noun) for kind in kinds]
    # Where nothing speaks clearly, a verb of its own will do: "which … laid the most".
    found = [item for item in weighed if item.anchored and not is_bare(item, names)]
    found = found or [item for item in weighed if item.by_verb]
    found.sort(key=lambda item: -item.score)
    best = [item for item in found if item.score >= found[0].score - _ALIKE]
    subjects = tuple(
        subject for item in best for subject in _subjects(item, heard, ear, unit, names)
    )
    return subjects, frozenset(best[0].used) if best else frozenset()


def _subjects(
    item: Weighed, heard: Heard, ear: Ear, unit: Unit | None, names: tuple[Name, ...]
) -> Iterator[Subject]:
    """The reading of a kind; after it, a wider one where a value is only a common verb."""
    subject = _subject(item, heard, ear, unit, names)
    yield subject
    wider = {n: v for n, v in subject.slots.items() if n not in item.by_common_verb}
    if len(wider) not in (0, len(subject.slots)):
        yield replace(subject, slots=MappingProxyType(wider))


def _subject(
    item: Weighed, heard: Heard, ear: Ear, unit: Unit | None, names: tuple[Name, ...]
) -> Subject:
    degrees = {span for span in item.asked.values() if span.first and
               heard.words[span.first - 1] == HOW}  # fmt: skip
    slots = {
        name: _strongest(said)
        for name, values in item.values.items()
        # "How cold" asks for a degree and does not say that it was cold.
        if (said := {v: at for v, at in values.items() if at[1] not in degrees})
        and not _is_loose(item.kind, name)
    }
    _add_free_words(item, slots, heard, ear)
    places = _places(item, slots, heard, ear, names)
    asked, named = _asked(item, heard, unit)
    for slot in asked:
        slots.pop(slot, None)
    return Subject(
        kind=item.kind.name,
        slots=MappingProxyType(slots),
        asked=asked,
        named=named,
        asks_number=bool(named) and all(_holds_number(item.kind, name) for name in named),
        places=places,
        clarity=item.score,
    )


def _is_loose(kind: Kind, name: str) -> bool:
    """The words for what was done in a general kind mean much the same: fixed, mended."""
    slot = kind.slot(name)
    return kind.generic and slot is not None and slot.type is SlotType.CHOICE


def _strongest(values: Mapping[str, tuple[Tells, Span]]) -> tuple[str, ...]:
    """Of several values of one slot the ones that tell most by themselves."""
    order = list(Tells)
    best = min(order.index(tells) for tells, _ in values.values())
    return tuple(name for name, (tells, _) in values.items() if order.index(tells) == best)


def _add_free_words(
    item: Weighed, slots: dict[str, tuple[str, ...]], heard: Heard, ear: Ear
) -> None:
    """Words that nothing else explains are the speaker's own, where the kind has room for them."""
    name = ear.asking.listed.get(item.kind.name)
    slot = None if name is None else item.kind.slot(name)
    if slot is None or slot.type is not SlotType.WORDS or not _takes_free_words(slot):
        return
    free = unexplained(heard, frozenset(item.used))
    if free and slot.name not in slots:
        slots[slot.name] = (" ".join(heard.words[at] for at in free),)
        item.used.update(free)


def _takes_free_words(slot: Slot) -> bool:
    return slot.object_of_verb or bool(slot.before)


def unexplained(heard: Heard, used: frozenset[int]) -> tuple[int, ...]:
    """The tokens that no name, time, cue or word of grammar explains."""
    known = set(used) | heard.named()
    for name in heard.mentions.cues:
        for span in heard.cues(name):
            known.update(range(span.first, span.last))
    for span in heard.place_kinds:
        known.update(range(span.first, span.last))
    for amount in heard.mentions.amounts:
        known.update(range(amount.first, amount.last))
    return tuple(
        at for at, word in enumerate(heard.words) if at not in known and word[:1].isalpha()
    )


def _places(
    item: Weighed,
    slots: dict[str, tuple[str, ...]],
    heard: Heard,
    ear: Ear,
    names: tuple[Name, ...],
) -> tuple[str | None, ...]:
    """Where it was; a place towards which a thing was moved becomes a slot instead."""
    towards = ear.asking.whereabouts.get(item.kind.name)
    named = [name for name in names if name.role is Role.PLACE]
    found: list[str | None] = []
    for name in named:
        if towards is not None and is_aim(item, towards, name, heard, ear, len(named)):
            slots[towards] = (name.value,)
            continue
        if _is_source(item, slots, Span(name.first, name.last)):
            continue
        found.append(name.value)
        if _is_the_thing_itself(item, name, heard, ear) and None not in found:
            found.append(None)
    if found and item.kind.name in ear.asking.everywhere and None not in found:
        found.append(None)
    return tuple(found)


def _is_source(item: Weighed, slots: dict[str, tuple[str, ...]], span: Span) -> bool:
    """Whether a place is said for what comes from it: creek water."""
    for name in slots:
        slot = item.kind.slot(name)
        if slot is not None and slot.needs_before:
            return any(at == span for _, at in item.values.get(name, {}).values())
    return False


def _is_the_thing_itself(item: Weighed, name: Name, heard: Heard, ear: Ear) -> bool:
    """The only netting of a farm is the fence: its records need not name it as a place."""
    place = ear.farm.place(name.value)
    if place is None or sum(p.kind == place.kind for p in ear.farm.places) > 1:
        return False
    said = " ".join(heard.words[name.first : name.last])
    things = expand_all(item.kind.about)
    values = expand_all(tuple(w for s in item.kind.slots for v in s.values for w in v.words))
    return said in things or said in values


def _asked(
    item: Weighed, heard: Heard, unit: Unit | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The slots asked for, and those of them that a word names."""
    kind = item.kind
    numbers: list[tuple[str, Span]] = []
    words: list[tuple[str, Span]] = []
    for name, span in sorted(item.asked.items(), key=lambda pair: pair[1].first):
        slot = kind.slot(name)
        if slot is not None:
            if _holds_number(kind, name):
                numbers.append((name, span))
            elif name not in item.values:  # what is said already is not asked for
                words.append((name, span))
    fitting = [s.name for s in kind.slots if unit is not None and unit.dimension in s.dimensions]
    if fitting and not any(name in fitting for name, _ in numbers):
        return (fitting[0],), (fitting[0],)
    counts = tuple(name for name, _ in numbers)
    if len(counts) > 1 and not _are_two(heard, numbers[0][1], numbers[-1][1]):
        # "cracked eggs" asks for the cracked ones, although eggs are counted too.
        counts = tuple(name for name in counts if name != kind.main)[:1]
    found = (*counts, *(name for name, _ in words))
    if found:
        return found, found
    return ((kind.main,) if kind.main else ()), ()


def _holds_number(kind: Kind, name: str) -> bool:
    slot = kind.slot(name)
    return slot is not None and slot.type in NUMBERS and not slot.as_said


def _are_two(heard: Heard, first: Span, second: Span) -> bool:
    """Whether two things are asked for and not one described by two words."""
    return "and" in heard.words[first.last : second.first]
