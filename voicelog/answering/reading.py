"""Reads a question: what it asks, of which records, where and when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from types import MappingProxyType

from voicelog.answering.heard import Ear, Heard
from voicelog.answering.question import Asked, Noun, Question, Sort, Subject
from voicelog.answering.sorts import asked_noun, asked_of, is_past, lies_ahead, sort_of, stands_now
from voicelog.answering.subjects import find_subjects, unexplained
from voicelog.catalogue import expand
from voicelog.catalogue.units import Unit, find_unit, singular
from voicelog.types import Interval, Precision
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Name

_AFTER_UNIT_ASKED = frozenset({"many", "much", "of", "in", "average", "total"})
_NIGHT_FROM_HOUR = 20
_EVENING_HOUR = 17
_WEEK_DAYS = 7
_OFTEN = frozenset({"often", "times", "frequently"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """A question with what it was read from."""

    question: Question
    heard: Heard
    noun: Noun | None
    names: tuple[Name, ...]
    unit: Unit | None
    unit_at: frozenset[int]
    """The tokens of the unit asked for."""
    used: frozenset[int]
    """The tokens that the clearest reading and the unit use."""


def read_question(text: str, now: datetime, ear: Ear) -> Question:
    """The question that a text asks at `now` (aware)."""
    return read(text, now, ear).question


def read(text: str, now: datetime, ear: Ear) -> Read:
    """The same with what it was read from."""
    heard = ear.hear(text, now)
    noun = asked_noun(heard)
    names = tuple(
        name
        for name in heard.mentions.names
        if (noun is None or not _inside(name, noun)) and not _is_part_of_phrase(name, heard)
    )
    unit, spelling, unit_at = _unit_asked(heard)
    subjects, used = find_subjects(heard, ear, unit, names, noun)
    sort = sort_of(heard, subjects, noun, ear.asking)
    if not subjects and sort not in _NEEDS_NO_KIND:
        subjects = _from_chores(heard, ear, noun)
    if sort is Sort.LIST and _says_too_little(heard, subjects, noun):
        subjects, sort = (), Sort.UNKNOWN
    asked = asked_of(heard, noun, sort, subjects, ear.asking)
    coming = sort is Sort.SUM and heard.has("ask_ahead") and lies_ahead(heard)
    ahead = sort in (Sort.NEXT, Sort.PLAN) or asked is Asked.PLAN or coming
    past = is_past(heard)
    maybe = sort is Sort.YES_NO and asked is not Asked.PLAN and lies_ahead(heard)
    daily = ear.catalogue.lists["ask_daily"]
    question = Question(
        text=text,
        now=now,
        sort=sort,
        subjects=tuple(r for s in subjects for r in _for_sort(s, sort, ear, names, past=past)),
        places=tuple(n.value for n in names if n.role is Role.PLACE),
        place_kind=None if noun is None else noun.place_kind,
        among=None if noun is None else noun.flock,
        flocks=tuple(dict.fromkeys(n.value for n in names if n.role is Role.FLOCK)),
        birds=tuple(n.value for n in names if n.role in (Role.BIRD, Role.BREED)),
        periods=_periods(heard, now, daily, ahead=ahead),
        unit=spelling or _item_asked(heard, ear, subjects),
        asked=asked,
        standing=(stands_now(heard) and not heard.mentions.times) or heard.has("ask_standing"),
        ahead=ahead or (sort is Sort.WHERE and heard.has("ask_ahead") and lies_ahead(heard)),
        undone=_asks_undone(heard, sort),
        coming=_periods(heard, now, daily, ahead=True) if maybe or sort is Sort.WHERE else (),
        may_be_planned=maybe,
        overdue="overdue" in heard.words,
        due="due" in heard.words,
        first=heard.has("ask_first") and not heard.has("ask_latest"),
        latest=heard.has("ask_latest"),
        each=bool({"each", "apiece"} & set(heard.words)) and not heard.has("ask_average"),
        often=any(word in _OFTEN for word in heard.words),
        lowest=heard.has("ask_lowest"),
        per_days=_WEEK_DAYS if heard.has("ask_weekly") else 1,
        held=heard.has("ask_held"),
        meat=heard.has("ask_meat"),
        left_aside=_left_aside(heard, used | unit_at),
        unknown=_unknown(heard, used | unit_at),
    )
    return Read(
        question=_with_state(question, heard, ear),
        heard=heard,
        noun=noun,
        names=names,
        unit=unit,
        unit_at=unit_at,
        used=used | unit_at,
    )


_LEAST = 1.5
"""A kind that less than this speaks for is only guessed from a common verb."""


def _says_too_little(heard: Heard, subjects: tuple[Subject, ...], noun: Noun | None) -> bool:
    """Whether only a common verb speaks for a kind, and nothing of the farm is named."""
    named = noun is not None or heard.mentions.names or heard.mentions.times
    clear = any(subject.clarity >= _LEAST or subject.named for subject in subjects)
    return not named and not clear and heard.opens("ask_what")


_NEEDS_NO_KIND = frozenset({Sort.PLAN, Sort.LEFT, Sort.WHERE, Sort.WITHHELD, Sort.EVENTS})


def _is_part_of_phrase(name: Name, heard: Heard) -> bool:
    """Whether a word that only may name a place belongs to a phrase: "run out of"."""
    if name.exact or name.role is not Role.PLACE:
        return False
    return any(
        phrase.first <= name.first
        and name.last <= phrase.last
        and phrase.length > name.last - name.first
        for phrases in heard.mentions.phrases.values()
        for phrase in phrases
    )


def _asks_undone(heard: Heard, sort: Sort) -> bool:
    """Whether it asks for what was not done; "didn't we" asks whether it was."""
    if sort in (Sort.YES_NO, Sort.COUNT, Sort.LAST, Sort.SINCE):
        return heard.has("ask_failed")
    return sort in _MAY_BE_UNDONE and heard.has("ask_undone")


_MAY_BE_UNDONE = frozenset({Sort.LIST, Sort.WHERE, Sort.EVENTS, Sort.WHO})


def _inside(name: Name, noun: Noun) -> bool:
    return noun.span.first <= name.first and name.last <= noun.span.last


def _unit_asked(heard: Heard) -> tuple[Unit | None, str | None, frozenset[int]]:
    """The unit in "how many pounds", "in gallons", as it is kept, and its tokens."""
    named = heard.named()
    for at, word in enumerate(heard.words):
        before = heard.words[at - 1] if at else ""
        if before not in _AFTER_UNIT_ASKED or at in named:
            continue
        for size in (2, 1):
            spelling = " ".join(heard.words[at : at + size])
            unit = find_unit(spelling)
            if unit is not None and not (before in ("of", "in") and word == spelling == "day"):
                return unit, singular(spelling), frozenset(range(at, at + size))
    return None, None, frozenset()


def _item_asked(heard: Heard, ear: Ear, subjects: tuple[Subject, ...]) -> str | None:
    """The thing counted in "how many eggs did we sell", where it is the item of the record."""
    if not subjects:
        return None
    kind = ear.catalogue.kind(subjects[0].kind)
    listed = ear.asking.listed.get(kind.name)
    slot = None if listed is None else kind.slot(listed)
    if slot is None or kind.name in {counted for counted, _ in ear.asking.counted}:
        return None
    at = heard.after("ask_much")
    if at is None or at >= len(heard.words):
        return None
    for value in slot.values:
        for notation in value.words:
            forms = expand(notation)
            if heard.words[at] in forms and len(forms) > 1:
                return forms[0]
    return None


def _periods(
    heard: Heard, now: datetime, lengths: tuple[str, ...], *, ahead: bool
) -> tuple[Interval, ...]:
    """The periods named, in order."""
    found = []
    for said in heard.mentions.times:
        when = said.ahead if ahead else said.past
        words = " ".join(heard.words[said.first : said.last])
        # "In one day" says how long, not when.
        if when.from_ == when.to == now or words in lengths:
            continue
        found.append(_with_evening(when))
    if len(found) == 1 and heard.has("ask_before"):
        found.extend(_before(found[0]))
    return tuple(found)


def _before(when: Interval) -> Iterator[Interval]:
    """The period of the same length before one: "and the week before"."""
    if when.from_ is None or when.to is None:
        return
    start = when.from_ - (when.to - when.from_)
    if when.precision is Precision.MONTH:
        start = (when.from_ - timedelta(days=1)).replace(day=1)
    yield replace(when, from_=start, to=when.from_)


def _with_evening(when: Interval) -> Interval:
    """A night asked for begins with its evening: what is done at dusk is done "last night"."""
    start = when.from_
    if when.precision is not Precision.PART_OF_DAY or start is None:
        return when
    if start.hour < _NIGHT_FROM_HOUR:
        return when
    return replace(when, from_=start - timedelta(hours=start.hour - _EVENING_HOUR))


def _from_chores(heard: Heard, ear: Ear, noun: Noun | None) -> tuple[Subject, ...]:
    """Where no kind is named, the chores that the farm has at the places asked about."""
    if noun is None or noun.place_kind is None or not heard.has("ask_chores"):
        return ()
    places = {place.name for place in ear.farm.places if place.kind == noun.place_kind}
    found = []
    for chore in ear.farm.chores:
        if places & set(chore.places):
            slots = {name: (str(value),) for name, value in chore.match.items()}
            found.append(Subject(kind=chore.record, slots=MappingProxyType(slots)))
    return tuple(found)


def _for_sort(
    subject: Subject, sort: Sort, ear: Ear, names: tuple[Name, ...], *, past: bool
) -> Iterator[Subject]:
    """Where a bird is now, or what stands now, does not hang on what was done to it last."""
    if sort is Sort.WHERE and any(name.role is Role.BIRD for name in names):
        yield replace(subject, slots=MappingProxyType({}))
        return
    if sort is not Sort.VALUE or past:
        yield subject
    if sort is Sort.VALUE:
        slots = {n: _whole_side(subject.kind, n, v, ear) for n, v in subject.slots.items()}
        yield replace(subject, slots=MappingProxyType(slots))


def _whole_side(kind: str, slot: str, values: tuple[str, ...], ear: Ear) -> tuple[str, ...]:
    """Every value that keeps the state of these: a hen that sits may have been set or candled."""
    state = ear.asking.state_of(kind, slot)
    if state is None:
        return values
    sides = [side for value in values if (side := state.holding(value)) is not None]
    return tuple(dict.fromkeys((*values, *(v for side in sides for v in side.values))))


def _left_aside(heard: Heard, used: frozenset[int]) -> tuple[str, ...]:
    return tuple(heard.words[at] for at in unexplained(heard, used))


_BEFORE_NAMES = frozenset({"did", "does", "has", "in", "at", "from"})


def _unknown(heard: Heard, used: frozenset[int]) -> tuple[str, ...]:
    """Words that stand where a name does: "did … lay", "from the …"."""
    starts = {heard.past_articles(at + 1) for at, w in enumerate(heard.words) if w in _BEFORE_NAMES}
    return tuple(heard.words[at] for at in unexplained(heard, used) if at in starts)


def _with_state(question: Question, heard: Heard, ear: Ear) -> Question:
    """A question whether something is on, up or in asks for the newest of a state's values."""
    if question.sort not in (Sort.YES_NO, Sort.SINCE) or not heard.has("ask_now"):
        return question
    for at, subject in enumerate(question.subjects):
        for state in ear.asking.states:
            if state.kind != subject.kind:
                continue
            said = set(subject.slots.get(state.slot, ()))
            for side in state.holds:
                by_word = any(heard.stands_as_state(word) for word in side.words)
                if (said & set(side.values)) or (not said and by_word):
                    slots = {n: v for n, v in subject.slots.items() if n != state.slot}
                    asked = replace(subject, slots=MappingProxyType(slots))
                    return replace(
                        question,
                        state=side.values,
                        subjects=(asked, *question.subjects[:at], *question.subjects[at + 1 :]),
                    )
    return question
