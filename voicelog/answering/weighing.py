"""Weighs how clearly a question speaks of each kind of record.

The weights are the whole of what is weighed when readings are compared.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from voicelog.answering.heard import AUXILIARIES, Ear, Heard
from voicelog.answering.question import Noun, Span
from voicelog.catalogue import Kind, SlotType, Tells
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
NUMBERS = (SlotType.COUNT, SlotType.QUANTITY, SlotType.DAYS)
_VAGUE = frozenset({"much", "many", "what", "how", "old", "item"})
"""Words of question that many slots share."""
_FROM_WHERE = "from where"
WHY = "why"
HOW = "how"
_TOWARDS = frozenset({"to", "into", "onto"})


@dataclass(slots=True)
class Weighed:
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


def weigh(
    kind: Kind,
    heard: Heard,
    ear: Ear,
    unit: Unit | None,
    names: tuple[Name, ...],
    noun: Noun | None,
) -> Weighed:
    item = Weighed(kind)
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
        if heard.leads_on(span):
            # "The fence on friday" speaks of the fence and does not say that it is on.
            if len(phrase.words) > 1:
                item.add(_ROLES[Role.ABOUT], Span(span.first, span.last - 1))
            continue
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


def _note(item: Weighed, sense: Sense, span: Span) -> None:
    """Keep what a word says of a slot."""
    if sense.role is Role.VALUE:
        item.values.setdefault(sense.slot, {}).setdefault(sense.value, (sense.tells, span))
    elif sense.role is Role.LABEL:
        item.asked.setdefault(sense.slot, span)


def _weigh_ask(item: Weighed, heard: Heard) -> None:
    """Words by which only a question names a slot; of overlapping ones the longest."""
    own = {
        span: sense.slot
        for span, senses in heard.ask.items()
        for sense in senses
        if sense.kind == item.kind.name and sense.slot
    }
    for span in _apart(list(own)):
        words = " ".join(heard.words[span.first : span.last])
        if words in _VAGUE and not (words == HOW and heard.asks_how):
            continue
        item.asked.setdefault(own[span], span)
        if words in (WHY, HOW):
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


def _weigh_state(item: Weighed, heard: Heard, ear: Ear) -> None:
    """A word that says a state in a question whether something stands so."""
    lasts = heard.has("ask_long") and "been" in heard.words
    if not lasts and not (heard.has("ask_now") and heard.opens("ask_whether")):
        return
    words = {w for s in ear.asking.states if s.kind == item.kind.name
             for side in s.holds for w in side.words}  # fmt: skip
    if any(heard.stands_as_state(phrase) for phrase in words):
        item.score += _STATE
        item.anchored, item.by_label = True, False


def _weigh_names(
    item: Weighed, heard: Heard, ear: Ear, names: tuple[Name, ...], noun: Noun | None
) -> None:
    kind = item.kind
    item.score += _GENERIC if kind.generic else 0
    places = [name for name in names if name.role is Role.PLACE]
    towards = ear.asking.whereabouts.get(kind.name)
    if (
        towards is not None
        and len(places) > 1
        and any(is_aim(item, towards, name, heard, ear, 1) for name in places)
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


def _weigh_unit(item: Weighed, unit: Unit | None) -> None:
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


def is_aim(item: Weighed, towards: str, name: Name, heard: Heard, ear: Ear, places: int) -> bool:
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


def is_bare(item: Weighed, names: tuple[Name, ...]) -> bool:
    """Whether only birds are named, and nothing that was done: "how many chicks are there"."""
    roles = {name.role for name in names}
    named = Role.FLOCK in roles and Role.BIRD not in roles
    return item.by_label and item.pieces < 2 and named and not item.by_verb
