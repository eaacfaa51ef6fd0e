"""Which kind of record a question is about, what its slots must say, and which are asked for.

Every kind is weighed by the words that speak for it; kinds that come out alike stay side by
side, and the first that has a record answers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from voicelog.answering.heard import AUXILIARIES, Ear, Heard
from voicelog.answering.question import Noun, Span, Subject
from voicelog.catalogue import Kind, Slot, SlotType, Tells, expand_all
from voicelog.catalogue.units import Unit
from voicelog.understanding.lexicon import Role, Sense
from voicelog.understanding.mentions import Name

_ROLES = {
    Role.SAYS: 3.0,
    Role.STRONG_VERB: 2.5,
    Role.ABOUT: 2.0,
    Role.VERB: 1.0,
}
_VALUES = {Tells.ALONE: 3.0, Tells.HELPS: 2.0, Tells.ONLY_FILLS: 1.0}
_LABELS = {Tells.ALONE: 2.0, Tells.HELPS: 1.0, Tells.ONLY_FILLS: 1.0}
_GRAMMAR_VERB = 0.2
"""A verb that is also a word of grammar: get, give, come."""
_RARE = 2
"""A verb that at most so many kinds share can speak for a kind where nothing else does."""
_ASKED = 1.5
_MONEY = 3.0
"""Words that ask for money say the kind: nothing else is paid for or earned."""
_AIM = 2.5
"""A place towards which another is moved."""
_GENERIC = 0.25
"""Of kinds that a lone word fits alike, the general one."""
_GENERAL = 3.0
_LONGER = 0.2
"""For each further word of a phrase: the longer phrase is the surer one."""
_ANCHOR = 1.5
"""At least one word must speak for a kind this clearly."""
_BIRD = 1.0
_PLACE = 0.5
_CHORE = 0.3
_COUNTED = 1.5
"""Further weight of a thing that "how many" is followed by, where the kind counts it."""
_STATE = 1.5
"""The word of a state in "is the … on"."""
_UNIT = 1.5
_ALIKE = 0.5
"""Readings that lie this close are as good as each other."""
_NUMBERS = (SlotType.COUNT, SlotType.QUANTITY, SlotType.DAYS)
_VAGUE = frozenset({"much", "many", "what", "how", "old", "item"})
"""Words of question that many slots share."""
_FROM_WHERE = "from where"
WHY = "why"
_HOW = "how"
_TOWARDS = frozenset({"to", "into", "onto"})


@dataclass(slots=True)
class _Weighed:
    """One kind with what speaks for it."""

    kind: Kind
    score: float = 0.0
    anchored: bool = False
    by_verb: bool = False
    pieces: int = 0
    """How many words or phrases speak for the kind."""
    by_label: bool = True
    """True where none of them is more than a label of something counted."""
    values: dict[str, dict[str, tuple[Tells, Span]]] = field(default_factory=dict)
    asked: dict[str, Span] = field(default_factory=dict)
    used: set[int] = field(default_factory=set)
    by_common_verb: set[str] = field(default_factory=set)
    """Slots whose value was said by a word that is also just a verb of the kind: "see"."""

    def add(self, weight: float, span: Span) -> None:
        self.score += weight + _LONGER * (span.last - span.first - 1)
        self.anchored = self.anchored or weight >= _ANCHOR
        self.pieces += weight > _GRAMMAR_VERB
        self.used.update(range(span.first, span.last))


def find_subjects(
    heard: Heard, ear: Ear, unit: Unit | None, names: tuple[Name, ...], noun: Noun | None
) -> tuple[tuple[Subject, ...], frozenset[int]]:
    """The readings of a question, the clearest first, and the tokens the clearest uses."""
    kinds = [kind for kind in ear.catalogue.kinds if kind.slots]
    weighed = [_weigh(kind, heard, ear, unit, names, noun) for kind in kinds]
    # Where nothing speaks clearly, a verb of its own will do: "which … laid the most".
    found = [item for item in weighed if item.anchored and not _is_bare(item, names)]
    found = found or [item for item in weighed if item.by_verb]
    found.sort(key=lambda item: -item.score)
    best = [item for item in found if item.score >= found[0].score - _ALIKE]
    subjects = tuple(
        subject for item in best for subject in _subjects(item, heard, ear, unit, names)
    )
    return subjects, frozenset(best[0].used) if best else frozenset()


def _is_bare(item: _Weighed, names: tuple[Name, ...]) -> bool:
    """Whether only birds are named, and nothing that was done: "how many chicks are there"."""
    roles = {name.role for name in names}
    named = Role.FLOCK in roles and Role.BIRD not in roles
    return item.by_label and item.pieces < 2 and named and not item.by_verb


def _weigh(
    kind: Kind,
    heard: Heard,
    ear: Ear,
    unit: Unit | None,
    names: tuple[Name, ...],
    noun: Noun | None,
) -> _Weighed:
    item = _Weighed(kind)
    named = frozenset() if noun is None else frozenset(range(noun.span.first, noun.span.last))
    counted = _counted_at(heard)
    naming = not heard.opens("ask_when", "ask_whether")
    general = [span for span, senses in heard.ask.items()
               if any(s.kind == kind.name and not s.slot for s in senses)]  # fmt: skip
    for span in _apart(general):
        item.add(_GENERAL, span)
        item.by_label = False
    grammar = _grammar(heard)
    for phrase in heard.mentions.phrases.get(kind.name, ()):
        span = Span(phrase.first, phrase.last)
        if not item.used.isdisjoint(phrase.words) or not named.isdisjoint(phrase.words):
            continue
        weight = max(_weight(sense) for sense in phrase.senses)
        asks = {heard.asks_slot(span, kind.name, sense.slot) for sense in phrase.senses}
        if phrase.first in counted and any(_is_counted(kind, s) for s in phrase.senses):
            weight += _COUNTED
        elif naming and True in asks:
            weight = max(weight, _ASKED)
        if grammar.issuperset(phrase.words) and all(_faint(s) for s in phrase.senses):
            weight = min(weight, _GRAMMAR_VERB)
        if any(sense.role is Role.VERB for sense in phrase.senses):
            if heard.words[span.first] in AUXILIARIES:
                continue
            item.by_verb = item.by_verb or kinds_at(heard, span) <= _RARE
        item.add(weight - _LONGER * (span.last - span.first - len(phrase.words)), span)
        item.by_label &= all(sense.role is Role.LABEL for sense in phrase.senses)
        verb = any(sense.role is Role.VERB for sense in phrase.senses)
        for sense in phrase.senses:
            _note(item, sense, span)
            if verb and sense.role is Role.VALUE:
                item.by_common_verb.add(sense.slot)
    _weigh_ask(item, heard)
    _weigh_names(item, heard, ear, names, noun)
    _weigh_state(item, heard, ear)
    _weigh_unit(item, unit)
    return item


def kinds_at(heard: Heard, span: Span) -> int:
    """How many kinds have a phrase at this place."""
    phrases = heard.mentions.phrases
    return sum(any(p.first == span.first for p in own) for own in phrases.values())


def _faint(sense: Sense) -> bool:
    return sense.role in (Role.VERB, Role.LABEL)


def _weight(sense: Sense) -> float:
    if sense.role is Role.VALUE:
        return _VALUES[sense.tells]
    if sense.role is Role.LABEL:
        return _LABELS[sense.tells]
    return _ROLES.get(sense.role, 0.0)


def _grammar(heard: Heard) -> frozenset[int]:
    """The tokens that are words of grammar."""
    return frozenset(at for s in heard.cues("grammar") for at in range(s.first, s.last))


def _note(item: _Weighed, sense: Sense, span: Span) -> None:
    """Keep what a word says of a slot."""
    if sense.role is Role.VALUE:
        item.values.setdefault(sense.slot, {}).setdefault(sense.value, (sense.tells, span))
    elif sense.role is Role.LABEL:
        item.asked.setdefault(sense.slot, span)


def _weigh_ask(item: _Weighed, heard: Heard) -> None:
    """Words by which only a question names a slot; of overlapping ones the longest."""
    own = {
        span: sense.slot
        for span, senses in heard.ask.items()
        for sense in senses
        if sense.kind == item.kind.name and sense.slot
    }
    for span in _apart(list(own)):
        words = " ".join(heard.words[span.first : span.last])
        if words in _VAGUE and not (words == _HOW and heard.asks_how):
            continue
        item.asked.setdefault(own[span], span)
        if words in (WHY, _HOW):
            continue
        slot = item.kind.slot(own[span])
        if slot is not None and "money" in slot.dimensions:
            item.add(_MONEY, span)
            item.by_label = False
        elif item.used.isdisjoint(range(span.first, span.last)):
            item.add(_ASKED, span)
            item.by_label = False
    if heard.opens("ask_where") and "from" in heard.words:
        for slot in item.kind.slots:
            if _FROM_WHERE in slot.ask:
                item.asked[slot.name] = Span(0, 1)


def _counted_at(heard: Heard) -> frozenset[int]:
    """The tokens that "how many" and the like are followed by."""
    return frozenset(heard.past_articles(s.last) for s in heard.cues("ask_much", "ask_average"))


def _is_counted(kind: Kind, sense: Sense) -> bool:
    name = kind.main if sense.role is Role.ABOUT else sense.slot
    slot = kind.slot(name) if name and sense.role in (Role.LABEL, Role.ABOUT) else None
    return slot is not None and slot.type is SlotType.COUNT


def _weigh_state(item: _Weighed, heard: Heard, ear: Ear) -> None:
    """A word that says a state in a question whether something stands so."""
    if not (heard.has("ask_now") and heard.opens("ask_whether")):
        return
    words = {w for s in ear.asking.states if s.kind == item.kind.name
             for side in s.holds for w in side.words}  # fmt: skip
    if any(heard.stands_as_state(phrase) for phrase in words):
        item.score += _STATE
        item.anchored, item.by_label = True, False


def _weigh_names(
    item: _Weighed, heard: Heard, ear: Ear, names: tuple[Name, ...], noun: Noun | None
) -> None:
    kind = item.kind
    item.score += _GENERIC if kind.generic else 0
    places = [name for name in names if name.role is Role.PLACE]
    towards = ear.asking.whereabouts.get(kind.name)
    if towards is not None and len(places) > 1 and any(
        _is_aim(item, towards, name, heard, ear, 1) for name in places
    ):
        item.score += _AIM
        item.anchored, item.by_label = True, False
    if noun is not None and noun.place_kind is not None:
        asked = {place.name for place in ear.farm.places if place.kind == noun.place_kind}
        item.score += _PLACE if kind.per_place else 0
        item.score += _CHORE if _is_chore_at(kind, ear, asked) else 0
    for name in names:
        if name.role in (Role.BIRD, Role.BREED):
            item.score += _BIRD if kind.flock_subject else -_BIRD
        elif name.role is Role.PLACE:
            item.score += _PLACE if kind.per_place else 0
            item.score += _CHORE if _is_chore_at(kind, ear, {name.value}) else 0


def _is_chore_at(kind: Kind, ear: Ear, places: set[str]) -> bool:
    return any(c.record == kind.name and places & set(c.places) for c in ear.farm.chores)


def _weigh_unit(item: _Weighed, unit: Unit | None) -> None:
    if unit is not None and unit.dimension != "time":
        fits = any(unit.dimension in slot.dimensions for slot in item.kind.slots)
        item.score += _UNIT if fits else -_UNIT


def _apart(spans: list[Span]) -> list[Span]:
    """Spans that do not overlap, the longest first."""
    taken: set[int] = set()
    kept = []
    for span in sorted(spans, key=lambda s: (s.first - s.last, s.first)):
        if taken.isdisjoint(range(span.first, span.last)):
            taken.update(range(span.first, span.last))
            kept.append(span)
    return sorted(kept, key=lambda s: s.first)


def _subjects(
    item: _Weighed, heard: Heard, ear: Ear, unit: Unit | None, names: tuple[Name, ...]
) -> Iterator[Subject]:
    """The reading of a kind; after it, a wider one where a value is only a common verb."""
    subject = _subject(item, heard, ear, unit, names)
    yield subject
    wider = {n: v for n, v in subject.slots.items() if n not in item.by_common_verb}
    if len(wider) not in (0, len(subject.slots)):
        yield replace(subject, slots=MappingProxyType(wider))


def _subject(
    item: _Weighed, heard: Heard, ear: Ear, unit: Unit | None, names: tuple[Name, ...]
) -> Subject:
    degrees = {span for span in item.asked.values() if span.first and
               heard.words[span.first - 1] == _HOW}  # fmt: skip
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
    item: _Weighed, slots: dict[str, tuple[str, ...]], heard: Heard, ear: Ear
) -> None:
    """Words that nothing else explains are the speaker's own, where the kind has a slot for them."""
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
    item: _Weighed,
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
        if towards is not None and _is_aim(item, towards, name, heard, ear, len(named)):
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


def _is_aim(
    item: _Weighed, towards: str, name: Name, heard: Heard, ear: Ear, places: int
) -> bool:
    """Whether a place is where a thing was moved to."""
    at = name.first - 1
    if at > 0 and heard.words[at] == "the":
        at -= 1
    before = heard.words[at] if at >= 0 else ""
    slot = item.kind.slot(towards)
    place = ear.farm.place(name.value)
    if slot is None or place is None or place.kind not in slot.place_kinds:
        return False
    return before in _TOWARDS or (before in slot.before and places > 1)


def _is_source(item: _Weighed, slots: dict[str, tuple[str, ...]], span: Span) -> bool:
    """Whether a place is said for what comes from it: creek water."""
    for name in slots:
        slot = item.kind.slot(name)
        if slot is not None and slot.needs_before:
            return any(at == span for _, at in item.values.get(name, {}).values())
    return False


def _is_the_thing_itself(item: _Weighed, name: Name, heard: Heard, ear: Ear) -> bool:
    """The only netting of a farm is the fence: its records need not name it as a place."""
    place = ear.farm.place(name.value)
    if place is None or sum(p.kind == place.kind for p in ear.farm.places) > 1:
        return False
    said = " ".join(heard.words[name.first : name.last])
    things = expand_all(item.kind.about)
    values = expand_all(tuple(w for s in item.kind.slots for v in s.values for w in v.words))
    return said in things or said in values


def _asked(
    item: _Weighed, heard: Heard, unit: Unit | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The slots asked for, and those of them that a word names."""
    kind = item.kind
    numbers, words = [], []
    for name, span in sorted(item.asked.items(), key=lambda pair: pair[1].first):
        slot = kind.slot(name)
        if slot is not None:
            (numbers if _holds_number(kind, name) else words).append((name, span))
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
    return slot is not None and slot.type in _NUMBERS and not slot.as_said


def _are_two(heard: Heard, first: Span, second: Span) -> bool:
    """Whether two things are asked for and not one described by two words."""
    return "and" in heard.words[first.last : second.first]
