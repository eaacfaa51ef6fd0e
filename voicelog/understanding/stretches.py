"""Cuts a memo into stretches, each one event of one kind, by the best sum of readings.

People do not speak in sentences; "let the pullets out gave them a scoop and filled their drinker"
has no mark and one "and". So every place where something new may begin is a joint, and of all ways
to cut at joints the one is taken whose stretches fit kinds of record best.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from voicelog.types import Quantity
from voicelog.understanding.filling import Reader
from voicelog.understanding.lexicon import Role, Sense
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.reading import JOINING, SHARE, Reading

_MOST_JOINTS = 8
"""How many joints a stretch may hold, so that time grows with the length of the memo only."""
_MOST_CROSSED = 1.3
"""Where going on costs more than this, something new has begun."""
_NEW_EVENT = 1.0
"""What each event costs: fewer events are the better reading."""
_FOLLOWING = 0.45
"""What a stretch costs that goes on with the kind before it ("nine from coop c")."""
_SAME_KIND = 0.3
"""What it is worth to stay with the kind before."""
_SAME_AGAIN = 1.5
"""What "same for" is worth to a stretch that goes on."""
_IN_LIST = 0.5
"""What it costs besides to cut a list of names."""
_SHORT_GAP = 1
"""So few words between those of a phrase belong to it: "turned it on"."""
_OPENING_SLOTS = frozenset({"action", "sign", "condition"})
"""Slots whose words can begin something new, as a verb does."""
_STOPS = frozenset(".;!?")


@dataclass(frozen=True, slots=True)
class Joint:
    """A token before which something new may begin."""

    at: int
    cut: float
    """What it costs to begin a new event here."""
    cross: float
    """What it costs to go on across it."""
    marked: bool = False
    """True at a mark or a joining word; a time or a place alone begins nothing new."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of the memo and how it was read; None where nothing was understood."""

    first: int
    last: int
    reading: Reading | None
    follows: bool = False
    """True where it goes on with the kind of the stretch before."""


@dataclass(frozen=True, slots=True)
class _Path:
    score: float
    latest: Reading | None
    """The latest event, which a following stretch may go on with."""
    stretch: Stretch | None = None
    before: _Path | None = None

    def stretches(self) -> list[Stretch]:
        """All stretches, in order."""
        found: list[Stretch] = []
        path: _Path | None = self
        while path is not None and path.stretch is not None:
            found.append(path.stretch)
            path = path.before
        return found[::-1]


def cut_into_stretches(
    mentions: Mentions, reader: Reader, first: int, last: int, before: Reading | None = None
) -> list[Stretch]:
    """The best cut of the tokens from `first` to `last` (exclusive).

    `before` is the reading of the event that the sentence before ended with.
    """
    joints = list(_joints(mentions, first, last))
    ends = [*(joint.at for joint in joints[1:]), last]
    best: list[dict[str, _Path]] = [{"": _Path(0.0, before)}, *({} for _ in joints)]
    for end in range(1, len(joints) + 1):
        crossed = 0.0
        for begin in range(end - 1, max(-1, end - 1 - _MOST_JOINTS), -1):
            if crossed > _MOST_CROSSED:
                break
            span = (joints[begin].at, ends[end - 1])
            for path in best[begin].values():
                cut = joints[begin].cut if path.stretch else 0.0
                marked = joints[begin].marked or path.stretch is None
                for score, stretch, latest in _options(reader, span, path, marked):
                    total = path.score + score - crossed - cut
                    name = latest.kind.name if latest else ""
                    if name not in best[end] or total > best[end][name].score:
                        best[end][name] = _Path(total, latest, stretch, path)
            crossed += joints[begin].cross
    return max(best[-1].values(), key=lambda path: path.score).stretches()


def ways_to_read(
    mentions: Mentions,
    reader: Reader,
    stretch: Stretch,
    told: tuple[int, int],
    latest: Reading | None,
) -> list[tuple[float, Stretch]]:
    """The ways that were weighed for a stretch, with what each is worth, the best first.

    Costs of the cuts around it are left out; they may let a way win that is not the best alone.

    Args:
        mentions: the memo.
        reader: its reader.
        stretch: one of those that it was cut into.
        told: the range of tokens that was cut.
        latest: how the event before it was read.
    """
    marked = stretch.first == told[0] or any(
        joint.marked for joint in _joints(mentions, *told) if joint.at == stretch.first
    )
    path = _Path(0.0, latest)
    found = _options(reader, (stretch.first, stretch.last), path, marked)
    return sorted(((score, way) for score, way, _ in found), key=lambda found: -found[0])


def _options(
    reader: Reader, span: tuple[int, int], path: _Path, marked: bool
) -> Iterator[tuple[float, Stretch, Reading | None]]:
    """The ways to read one stretch after a path."""
    first, last = span
    for worth, reading in reader.standing(first, last):
        if _only_counts_on(reading, path.latest):
            continue
        score = worth - _NEW_EVENT
        if _only_lists_on(reading, path.latest):
            score -= SHARE
        if path.latest is not None and path.latest.kind is reading.kind:
            score += _SAME_KIND
        yield score, Stretch(first, last, reading), reading
    if path.latest is not None:
        kind = path.latest.kind
        reading = reader.read(kind, first, last)
        again = reader.says_again(first, last)
        new = reading.stands and not _only_counts_on(reading, path.latest)
        if not new and _goes_on(reading, path.latest, marked, again):
            own = reading.follow_score if _lends_unit(path.latest) else reading.score
            score = own + reader.strangers(kind, first, last) - _FOLLOWING
            score += _SAME_AGAIN * again - SHARE * _repeated(reading, path.latest)
            yield score, Stretch(first, last, reading, follows=True), reading
    yield reader.silence(first, last), Stretch(first, last, None), path.latest


def _only_lists_on(reading: Reading, latest: Reading | None) -> bool:
    """Whether things without a verb belong to the doing before: "buy grit and straw"."""
    return (
        latest is not None
        and latest.kind.takes_list
        and latest.kind is not reading.kind
        and not (reading.own_verb or reading.places or reading.told_by_unit)
    )


def _only_counts_on(reading: Reading, latest: Reading | None) -> bool:
    """Whether a number at a place goes on with what was said before it."""
    return (
        latest is not None
        and reading.by_count
        and (latest.kind is reading.kind or not reading.own_verb)
    )


def _lends_unit(latest: Reading) -> bool:
    """Whether the event before has a quantity whose unit a bare number can share."""
    said = latest.slots.get(latest.kind.main or "")
    return said is not None and isinstance(said.value, Quantity)


def _repeated(reading: Reading, latest: Reading) -> int:
    """How many values only repeat those of the event before."""
    return sum(
        1
        for name, said in reading.slots.items()
        if isinstance(said.value, str)
        and name in latest.slots
        and latest.slots[name].value == said.value
    )


def _goes_on(reading: Reading, latest: Reading, marked: bool, again: bool) -> bool:
    """Whether a stretch says something new of the kind before: a number, a value, other birds."""
    if again and (reading.birds or reading.flocks or reading.places):
        return True
    numbers = any(not isinstance(said.value, str) for said in reading.slots.values())
    if numbers:
        return True
    new = any(
        name not in latest.slots or latest.slots[name].value != said.value
        for name, said in reading.slots.items()
    )
    birds = [] if reading.kind.names_none else [*reading.birds, *reading.flocks]
    names = [name.value for name in (*reading.places, *birds)]
    old = {name.value for name in (*latest.places, *latest.birds, *latest.flocks)}
    return marked and (new or any(name not in old for name in names))


def _joints(mentions: Mentions, first: int, last: int) -> Iterator[Joint]:
    """Where something new may begin, from `first` on, which always is one."""
    weights: dict[int, tuple[float, float, bool]] = {}
    subject = _Backward(mentions, first, "before_verb", "not_done", "planned", "boundary")
    leading = _Backward(mentions, first, "leading")
    listed = _inside_lists(mentions) | mentions.dropped
    inside = _inside_phrases(mentions)

    def note(at: int, cut: float, cross: float, marked: bool = False) -> None:
        if first < at < last and at not in inside:
            if at in listed:
                cut, cross = cut + _IN_LIST, 0.0
            old = weights.get(at, (9.0, 0.0, False))
            weights[at] = (min(cut, old[0]), max(cross, old[1]), marked or old[2])

    tokens = mentions.tokens
    for at in range(first, last):
        mark = tokens[at].lower
        if at in mentions.dropped:
            continue
        if mark in _STOPS:
            note(at + 1, 0.0, 2.2, marked=True)
        elif mark in (",", ":", "-", "–", "—", "(", ")"):
            note(at + 1, 0.05, 0.6, marked=True)
    undone = {begin for begin, _ in mentions.cues.get("not_done", ())}
    for begin, _ in mentions.cues.get("boundary", ()):
        note(begin, 0.05, 0.7 if begin in undone else 0.35, marked=True)  # "except the cocks"
    for begin, _ in mentions.cues.get("same_again", ()):
        note(begin, 0.05, 0.35, marked=True)
    for phrases in mentions.phrases.values():
        for phrase in phrases:
            if any(_opens(sense) for sense in phrase.senses):
                note(subject.over(phrase.first), 0.25, 0.1, marked=True)
            elif _subject_thing(mentions, phrase):
                note(phrase.first - 1, 0.45, 0.0)
    for begin, _ in mentions.cues.get("subjects", ()):
        note(subject.over(begin), 0.25, 0.0)
    for amount in mentions.amounts:
        note(subject.over(amount.first), 0.35, 0.0)
    for begin, _ in mentions.cues.get("negative_count", ()):
        note(subject.over(begin), 0.35, 0.0)
    for time in mentions.times:
        note(leading.over(time.first), 0.4, 0.0)
        note(time.last, 0.4, 0.0)
    counted = {amount.last for amount in mentions.amounts}
    named = {name.last for name in mentions.names}
    counted -= {amount.last for amount in mentions.amounts if amount.first in named}
    for name in mentions.names:
        begin = leading.over(name.first)
        if begin not in counted and name.first not in counted:
            note(begin, 0.45, 0.0)
    yield Joint(first, 0.0, 0.0)
    for at in sorted(weights):
        yield Joint(at, *weights[at])


def _subject_thing(mentions: Mentions, phrase: Phrase) -> bool:
    """Whether a thing may begin a clause: "changed the water the feeder's still full"."""
    at = phrase.first - 1
    if at < 1 or mentions.tokens[at].lower != "the" or mentions.covers("leading", at - 1):
        return False
    return any(sense.role is Role.ABOUT for sense in phrase.senses)


def _inside_phrases(mentions: Mentions) -> frozenset[int]:
    """Tokens inside a phrase, a name, an amount or a time, where nothing new can begin."""
    found: set[int] = set()
    for items in (mentions.names, mentions.amounts, mentions.times):
        for item in items:
            found.update(range(item.first + 1, item.last))
    for phrases in mentions.phrases.values():
        for phrase in phrases:
            if phrase.last - phrase.first - phrase.length <= _SHORT_GAP:
                found.update(range(phrase.first + 1, phrase.last))
    return frozenset(found)


def _inside_lists(mentions: Mentions) -> frozenset[int]:
    """Tokens between names of one sort that only a comma or "and" parts: "coops a, b and c"."""
    found: set[int] = set()
    for one, other in zip(mentions.names, mentions.names[1:], strict=False):
        between = {token.lower for token in mentions.tokens[one.last : other.first]}
        if (one.role, one.sort) == (other.role, other.sort) and between <= JOINING:
            found.update(range(one.last, other.first + 1))
    return frozenset(found)


def _opens(sense: Sense) -> bool:
    """Whether a word can be the first of something new."""
    return sense.role in (Role.VERB, Role.SAYS, Role.STRONG_VERB) or sense.slot in _OPENING_SLOTS


class _Backward:
    """Finds where a clause begins that a verb, a number or a name stands in."""

    def __init__(self, mentions: Mentions, first: int, *lists: str) -> None:
        self._first = first
        self._begins: dict[int, int] = {}
        for name in lists:
            for begin, end in mentions.cues.get(name, ()):
                self._begins[end] = min(begin, self._begins.get(end, begin))

    def over(self, at: int) -> int:
        """The first token of the words of the lists that lead up to a token without a gap."""
        while self._begins.get(at, -1) >= self._first:
            at = self._begins[at]
        return at
