"""The highest and the lowest: the value, the day, the place or the bird."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date, datetime, time, timedelta

from voicelog.answering import sentences
from voicelog.answering.answers import AT_MOST, found, nothing
from voicelog.answering.ground import Ground
from voicelog.answering.number_replies import add_up, noun_of, number_in, number_slots
from voicelog.answering.question import Asked, Question, Subject
from voicelog.answering.selecting import Selection, select
from voicelog.types import Answer, Quantity, Record


def extreme(ground: Ground, question: Question, subject: Subject) -> Answer:
    """The highest or lowest of what is asked for."""
    selection = select(ground, question, subject, period=question.period)
    slots = () if question.often else number_slots(ground, subject)
    label = sentences.about(ground, question, subject, slot=slots[0] if slots else None)
    if not selection.find(1):
        return nothing(question, sentences.no_record(label))
    slot = slots[0] if slots else None
    if question.asked is Asked.PLACE:
        return _place(ground, question, subject, slot, selection, label)
    if question.asked is Asked.BIRD:
        return _bird(ground, question, selection, label)
    if slot is not None and (subject.kind, slot) in ground.asking.newest:
        return _reading(ground, question, subject, slot, selection, label)
    return _day(ground, question, subject, slot, selection, label)


def _word(question: Question) -> str:
    return "the lowest" if question.lowest else "the highest"


def _reading(
    ground: Ground, question: Question, subject: Subject, slot: str, selection: Selection,
    label: str,
) -> Answer:  # fmt: skip
    record = _extreme_record(ground, question, slot, selection)
    if record is None:
        return nothing(question, sentences.no_record(label))
    said = record.draft.slots[slot]
    noun = noun_of(ground, question, subject, slot)
    quantity = said if isinstance(said, Quantity) else Quantity(value=number_in(said), unit=noun)
    when = ground.begins(record)
    text = sentences.told(
        f"{_word(question)} of {label}",
        f"{sentences.amount(quantity)}, {sentences.moment(when, record.draft.when.precision)}",
    )
    if question.asked is Asked.DAY:
        return found(ground, question, ground.day_start(when), text, (record,))
    return found(ground, question, quantity.value, text, (record,), unit=quantity.unit or None)


def _extreme_record(
    ground: Ground, question: Question, slot: str, selection: Selection
) -> Record | None:
    ends = [end for wanted in selection.wants for end in ground.store.extremes(wanted, slot)]
    records = [end.lowest if question.lowest else end.highest for end in ends]
    if not records:
        return None
    key = {record.id: number_in(record.draft.slots[slot]) for record in records}
    choose = min if question.lowest else max
    return choose(records, key=lambda record: key[record.id])


def _day(
    ground: Ground, question: Question, subject: Subject, slot: str | None, selection: Selection,
    label: str,
) -> Answer:  # fmt: skip
    """The day with the highest or lowest sum; days without a record do not count."""
    totals = _by_day(ground, slot, selection)
    if not totals:
        return nothing(question, sentences.no_record(label))
    choose = min if question.lowest else max
    best = choose(totals.values())
    day = next(day for day in sorted(totals) if totals[day] == best)
    starts = datetime.combine(day, time(), tzinfo=ground.zone)
    ends = datetime.combine(day + timedelta(days=1), time(), tzinfo=ground.zone)
    on_day = selection.within(starts, min(ends, ground.now + timedelta(microseconds=1)))
    records = on_day.find(AT_MOST)
    unit = _unit(ground, question, subject, slot, records)
    said = sentences.amount(Quantity(value=best, unit=unit))
    text = sentences.told(f"{_word(question)} of {label}", f"{said}, {sentences.day(day)}")
    if question.asked is Asked.DAY:
        return found(ground, question, starts, text, records)
    return found(ground, question, best, text, records, unit=unit or None, from_=starts, to=ends)


def _by_day(ground: Ground, slot: str | None, selection: Selection) -> Mapping[date, int | float]:
    if slot is None:
        days = Counter(ground.begins(record).date() for record in selection.find())
        return dict(days)
    totals = selection.day_totals(slot)
    units = Counter(unit for _, unit in totals)
    usual = max(units, key=lambda unit: units[unit]) if units else None
    return {day: value for (day, unit), value in totals.items() if unit == usual}


def _unit(
    ground: Ground, question: Question, subject: Subject, slot: str | None,
    records: tuple[Record, ...],
) -> str:  # fmt: skip
    if slot is None:
        return "time"
    said = next((r.draft.slots[slot] for r in records if slot in r.draft.slots), None)
    if isinstance(said, Quantity):
        return said.unit
    return noun_of(ground, question, subject, slot)


def _place(
    ground: Ground, question: Question, subject: Subject, slot: str | None, selection: Selection,
    label: str,
) -> Answer:  # fmt: skip
    """The place with the highest or lowest sum; readings count by their extreme."""
    kinds = {place.name: place.kind for place in ground.farm.places}
    worth: dict[str, float] = {}
    for place in selection.newest_by_place():
        if place is None or question.place_kind not in (None, kinds.get(place)):
            continue
        value = _worth(ground, question, subject, slot, selection.at(place))
        if value is not None:
            worth[place] = value
    if not worth:
        return nothing(question, sentences.no_record(label))
    choose = min if question.lowest else max
    best = choose(worth.values())
    places = tuple(sorted(place for place, value in worth.items() if value == best))
    said = f"{sentences.listed(places)} with {sentences.number(best)}"
    others = [f"{p} {sentences.number(v)}" for p, v in sorted(worth.items()) if p not in places]
    told = f"{said}; {sentences.listed(others)}" if others else said
    records = selection.at(*places).find(AT_MOST)
    return found(ground, question, places,
                 sentences.told(f"{_word(question)} of {label}", told), records)  # fmt: skip


def _worth(
    ground: Ground, question: Question, subject: Subject, slot: str | None, here: Selection
) -> float | None:
    if slot is None:
        return float(here.count())
    if (subject.kind, slot) in ground.asking.newest:
        record = _extreme_record(ground, question, slot, here)
        return None if record is None else number_in(record.draft.slots[slot])
    come_to = add_up(ground, question, subject, slot, here)
    return come_to.amounts[0].value if len(come_to.amounts) == 1 else None


def _bird(ground: Ground, question: Question, selection: Selection, label: str) -> Answer:
    """The bird that most records name, or fewest."""
    records = selection.find()
    counts = Counter(bird for record in records for bird in record.draft.birds)
    if not counts:
        return nothing(question, sentences.no_record(label))
    best = (min if question.lowest else max)(counts.values())
    birds = tuple(bird for bird, count in counts.items() if count == best)
    shown = [record for record in records if set(record.draft.birds) & set(birds)]
    text = sentences.told(f"{_word(question)} of {label}", sentences.listed(birds))
    return found(ground, question, birds, text, shown)
