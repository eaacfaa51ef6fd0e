"""Which things, who, where, and which were left out."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from voicelog.answering import sentences
from voicelog.answering.answers import AT_MOST, found, nothing
from voicelog.answering.ground import Ground
from voicelog.answering.number_replies import in_all, number_slots
from voicelog.answering.plans import open_plans
from voicelog.answering.question import Asked, Question, Subject
from voicelog.answering.selecting import Selection, select
from voicelog.catalogue import SlotType
from voicelog.records.wanted import Wanted
from voicelog.types import Answer, Interval, Precision, Quantity, Record, Status

_DAYS = {"day": 1, "week": 7, "month": 30}


def things(ground: Ground, question: Question, subject: Subject) -> Answer:
    """What or which: every value of the slot asked for, the newest first."""
    if question.asked is Asked.PLACE:
        return places(ground, question, subject)
    slot = _listed_slot(ground, subject)
    selection = select(ground, question, subject, period=question.period)
    label = sentences.about(ground, question, subject)
    if slot is None:
        return nothing(question, sentences.no_record(label))
    records = [r for r in _standing(ground, question, subject, selection) if slot in r.draft.slots]
    if question.latest and records:
        records = [record for record in records if record.memo_id == records[0].memo_id]
    names = tuple(dict.fromkeys(_shown(record.draft.slots[slot]) for record in records))
    names = tuple(name for name in names if name not in ground.asking.nameless) or names
    if not names and not subject.named and number_slots(ground, subject):
        return in_all(ground, question, subject)
    if not names:
        return nothing(question, sentences.no_record(label))
    said = sentences.listed(name.replace("_", " ") for name in names)
    return found(ground, question, names, sentences.told(label, said), records,
                 rests_on=len(records))  # fmt: skip


def _listed_slot(ground: Ground, subject: Subject) -> str | None:
    kind = ground.catalogue.kind(subject.kind)
    for name in subject.named:
        slot = kind.slot(name)
        if slot is not None and (slot.type in (SlotType.CHOICE, SlotType.WORDS) or slot.as_said):
            return name
    listed = ground.asking.listed.get(subject.kind)
    if listed in subject.slots:
        # What was asked for is said already: "what did we do about the latch".
        others = (s.name for s in kind.slots
                  if s.type is SlotType.CHOICE and s.name not in subject.slots)  # fmt: skip
        return next(others, listed)
    return listed


def _shown(value: object) -> str:
    return sentences.amount(value) if isinstance(value, Quantity) else str(value)


def _standing(
    ground: Ground, question: Question, subject: Subject, selection: Selection
) -> list[Record]:
    """The records that still hold: what was low and has been bought since is low no more."""
    records = list(selection.find())
    state = next((s for s in ground.asking.states if s.kind == subject.kind), None)
    listed = ground.asking.listed.get(subject.kind)
    if state is None or question.period is not None or listed is None:
        return records
    sides = {state.holding(value) for value in subject.slots.get(state.slot, ())}
    if len(sides) != 1 or None in sides or state.holds[0] not in sides:
        return records
    opposite = tuple(v for side in state.holds if side not in sides for v in side.values)
    later = select(ground, question, subject,
                   slots={**subject.slots, state.slot: opposite}).find()  # fmt: skip
    ended = {str(r.draft.slots.get(listed)): ground.begins(r) for r in reversed(later)}
    return [
        r
        for r in records
        if (end := ended.get(str(r.draft.slots.get(listed)))) is None or end < ground.begins(r)
    ]


def places(ground: Ground, question: Question, subject: Subject) -> Answer:
    """At which places it was done, the newest first."""
    selection = select(ground, question, subject, period=question.period)
    kinds = {place.name: place.kind for place in ground.farm.places}
    newest = [
        (place, record)
        for place, record in selection.newest_by_place().items()
        if place is not None and question.place_kind in (None, kinds.get(place))
    ]
    newest.sort(key=lambda pair: ground.begins(pair[1]), reverse=True)
    label = sentences.about(ground, question, subject)
    if not newest and subject.kind in ground.asking.whereabouts:
        return _moved_to(ground, question, subject, selection, label)
    if not newest:
        return nothing(question, sentences.no_record(label))
    if question.latest:
        newest = newest[:1]
    names = tuple(place for place, _ in newest)
    text = sentences.told(label, sentences.listed(names))
    return found(ground, question, names, text, [record for _, record in newest])


def _moved_to(
    ground: Ground, question: Question, subject: Subject, selection: Selection, label: str
) -> Answer:
    """To which places things were moved, the newest first."""
    slot = ground.asking.whereabouts[subject.kind]
    kinds = {place.name: place.kind for place in ground.farm.places}
    records = [r for r in selection.find() if kinds.get(str(r.draft.slots.get(slot))) ==
               question.place_kind]  # fmt: skip
    records = records[:1] if question.latest else records
    if not records:
        return nothing(question, sentences.no_record(label))
    names = tuple(dict.fromkeys(str(record.draft.slots[slot]) for record in records))
    return found(ground, question, names, sentences.told(label, sentences.listed(names)), records)


def who(ground: Ground, question: Question, subject: Subject) -> Answer:
    """Which birds; or who did it, where that is asked and was said."""
    selection = select(ground, question, subject, period=question.period)
    label = sentences.about(ground, question, subject)
    if question.asked is Asked.PERSON:
        records = [record for record in selection.find(AT_MOST) if record.draft.by]
        people = tuple(dict.fromkeys(str(record.draft.by) for record in records))
        if not people:
            return nothing(question, sentences.no_record(f"who did it: {label}"))
        text = sentences.told(label, sentences.listed(people))
        return found(ground, question, people, text, records)
    records = [record for record in selection.find() if record.draft.birds]
    if question.standing:
        records = [record for record in records if _still(ground, question, subject, record)]
    birds = tuple(dict.fromkeys(bird for record in records for bird in record.draft.birds))
    if not birds:
        return nothing(question, sentences.no_record(label))
    text = sentences.told(label, sentences.listed(birds))
    return found(ground, question, birds, text, records, rests_on=len(records))


def _still(ground: Ground, question: Question, subject: Subject, record: Record) -> bool:
    """Whether no later record of the bird says the opposite of the state asked about."""
    for slot, values in subject.slots.items():
        state = ground.asking.state_of(subject.kind, slot)
        side = None if state is None else state.holding(values[0])
        if state is None or side is None:
            continue
        held = tuple(value for one in state.holds for value in one.values)
        of_bird = replace(question, birds=record.draft.birds[:1], flocks=())
        slots = {**subject.slots, slot: held}
        newest = select(ground, of_bird, subject, slots=slots).newest()
        return newest is None or newest.draft.slots.get(slot) in side.values
    return True


def missing(ground: Ground, question: Question, subject: Subject) -> Answer:
    """The places or birds of the farm that no done record names in the period."""
    period = question.period or _usual_period(ground, question, subject)
    done = select(ground, question, subject, period=period)
    skipped = select(ground, question, subject, period=period, statuses=(Status.NOT_DONE,))
    label = sentences.about(ground, question, subject, period=period)
    if question.asked is Asked.BIRD:
        universe = _birds(ground, question)
        named = {bird for record in done.find() for bird in record.draft.birds}
    else:
        universe = _places(ground, question)
        named = {place for place in done.newest_by_place() if place is not None}
        if _everywhere(ground, subject, done):
            named = set(universe)
    left = tuple(name for name in universe if name not in named)
    not_done = [r for r in skipped.find(AT_MOST) if not left or _names(r) & {*left, None}]
    records = [*not_done, *done.find(AT_MOST)]
    text = sentences.told(f"no record of {label}", sentences.listed(left))
    if not left:
        text = sentences.told(label, "none is missing")
    return found(ground, question, left, text, records)


def _names(record: Record) -> set[str | None]:
    return {record.draft.place, *record.draft.birds}


def _everywhere(ground: Ground, subject: Subject, done: Selection) -> bool:
    if subject.kind not in ground.asking.everywhere:
        return False
    return bool(done.at(None).find(1))


def _places(ground: Ground, question: Question) -> tuple[str, ...]:
    named = set(question.places)
    return tuple(
        place.name
        for place in ground.farm.places
        if place.kind == question.place_kind and (not named or place.name in named)
    )


def _birds(ground: Ground, question: Question) -> tuple[str, ...]:
    named = question.flocks if question.among is None else (question.among,)
    classes = {ground.class_of(flock) for flock in named} - {"other", None}
    flocks = {flock.name: flock.class_ for flock in ground.farm.flocks}
    return tuple(
        bird.name
        for bird in ground.farm.birds
        if not classes or flocks.get(bird.flock or "") in classes
    )


def _usual_period(ground: Ground, question: Question, subject: Subject) -> Interval | None:
    """Without a period: as long as the farm's chore for it lasts; a day where it has none."""
    if question.asked is Asked.BIRD:
        return None
    days = chore_days(ground, subject) or 1
    start = ground.day_start(ground.now) - timedelta(days=days - 1)
    return Interval(from_=start, to=None, precision=Precision.DAY)


def chore_days(ground: Ground, subject: Subject) -> int | None:
    """How many days the farm's chore for this work lasts; None where it has none."""
    for chore in ground.farm.chores:
        if chore.record != subject.kind:
            continue
        said = {name: str(value) for name, value in chore.match.items()}
        if all(said.get(name) in (None, *values) for name, values in subject.slots.items()) and all(
            name in subject.slots or name == "subject" for name in said
        ):
            return chore.every.count * _DAYS[chore.every.unit]
    return None


def where(ground: Ground, question: Question, subject: Subject | None) -> Answer:
    """Where a thing stands now, where a bird was seen last, or where something was found."""
    if question.ahead and subject is not None:
        planned = _planned_place(ground, question, subject)
        if planned is not None:
            return planned
    here = question.birds or question.standing or (question.places and not question.periods)
    if subject is None or here or subject.kind in ground.asking.whereabouts:
        answer = whereabouts(ground, question, subject)
        if answer.value is not None or subject is None:
            return answer
    return places(ground, question, subject)


def _planned_place(ground: Ground, question: Question, subject: Subject) -> Answer | None:
    """Where a thing is to be moved, by the plan that comes first."""
    coming = question.coming[0] if question.coming else None
    for kind, slot in ground.asking.whereabouts.items():
        thing = Subject(
            kind=kind, slots=_thing(ground, question, subject, kind), places=question.places
        )
        for plan in open_plans(ground, replace(question, periods=()), thing, coming):
            if slot in plan.draft.slots:
                place = str(plan.draft.slots[slot])
                label = sentences.about(ground, question, subject)
                text = sentences.told(f"planned, {label}", place)
                return found(ground, question, (place,), text, (plan,))
    return None


def whereabouts(ground: Ground, question: Question, subject: Subject | None) -> Answer:
    """Where a thing or bird is: by the newest record that moved it or saw it."""
    label = sentences.about(ground, question, subject)
    for record, place in _traces(ground, question, subject):
        when = sentences.moment(ground.begins(record), record.draft.when.precision)
        text = sentences.told(label, f"{place}, {when}")
        return found(ground, question, (place,), text, (record,))
    home = _home(ground, question)
    if home is not None:
        text = sentences.told(label, f"{home}, by the farm file; there is no record")
        return found(ground, question, (home,), text, ())
    return nothing(question, sentences.no_record(label))


def _traces(
    ground: Ground, question: Question, subject: Subject | None
) -> list[tuple[Record, str]]:
    found_at: list[tuple[Record, str]] = []
    for kind, slot in ground.asking.whereabouts.items():
        found_at.extend(_moved(ground, question, subject, kind, slot))
    for bird in question.birds:
        kinds = (subject.kind,) if subject is not None else ()
        seen = Wanted(kinds=kinds, statuses=(Status.DONE,), bird=bird, as_of=ground.now,
                      when_to=ground.now + timedelta(microseconds=1))  # fmt: skip
        found_at.extend(
            (record, record.draft.place)
            for record in ground.store.find(seen, limit=AT_MOST * 4)
            if record.draft.place is not None
        )
    found_at.sort(key=lambda pair: (ground.begins(pair[0]), pair[0].id), reverse=True)
    return found_at


def _moved(
    ground: Ground, question: Question, subject: Subject | None, kind: str, slot: str
) -> list[tuple[Record, str]]:
    """The moves of the thing asked about that say where it went."""
    if question.birds:
        return []
    slots = _thing(ground, question, subject, kind)
    if not slots and not question.places and not question.flocks:
        return []
    mover = Subject(kind=kind, slots=slots, places=question.places)
    moves = select(ground, question, mover, period=question.period).find(AT_MOST * 4)
    return [(m, str(m.draft.slots[slot])) for m in moves if slot in m.draft.slots]


def _thing(
    ground: Ground, question: Question, subject: Subject | None, kind: str
) -> dict[str, tuple[str, ...]]:
    """What was moved: as the reading says, or as its kind is called among things to move."""
    listed = ground.asking.listed[kind]
    if subject is not None and subject.kind == kind:
        named = subject.slots.get(listed)
        return {} if named is None else {listed: named}
    slot = ground.catalogue.kind(kind).slot(listed)
    things = () if slot is None else tuple(value.name for value in slot.values)
    if subject is not None and subject.kind in things and not question.places:
        return {listed: (subject.kind,)}
    return {}


def _home(ground: Ground, question: Question) -> str | None:
    """Where the farm file says that a bird or flock lives."""
    flocks = {flock.name: flock.place for flock in ground.farm.flocks}
    for bird in ground.farm.birds:
        if bird.name in question.birds and bird.flock in flocks:
            return flocks[bird.flock]
    return next((flocks[flock] for flock in question.flocks if flocks.get(flock)), None)
