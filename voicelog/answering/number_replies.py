"""How many, how much, how often, and how many a day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from math import ceil

from voicelog.answering import sentences
from voicelog.answering.amounts import Total, tidy, total
from voicelog.answering.answers import AT_MOST, found, nothing
from voicelog.answering.ground import Ground
from voicelog.answering.plans import open_plans
from voicelog.answering.question import Question, Subject
from voicelog.answering.selecting import Selection, select
from voicelog.catalogue import Slot, SlotType
from voicelog.types import Answer, Quantity, Record

_DECIMALS = 4
"""Averages are rounded to this many."""
TIMES = "time"
DAY = "day"
_NUMBERS = (SlotType.COUNT, SlotType.QUANTITY, SlotType.DAYS)


def noun_of(ground: Ground, question: Question, subject: Subject, slot: str) -> str:
    """One thing of what a bare number of the slot counts: the flock's word for a bird of it."""
    declared = ground.catalogue.kind(subject.kind).slot(slot)
    if declared is not None and declared.type is SlotType.DAYS:
        return "day"
    noun = ground.asking.counted.get((subject.kind, slot), "")
    of_birds = subject.kind in ground.asking.of_birds
    if not noun or not of_birds or declared is None or len(question.flocks) != 1:
        return noun
    own = ground.one_of_class(question.flocks[0])
    return own if own is not None and noun == ground.one_of_class(ground.any_birds) else noun


def number_slots(ground: Ground, subject: Subject) -> tuple[str, ...]:
    """The slots asked for that hold numbers; else the main one of the kind."""
    kind = ground.catalogue.kind(subject.kind)
    asked = [kind.slot(name) for name in subject.asked]
    slots = [slot for slot in asked if slot is not None and _holds_number(slot)]
    main = kind.slot(kind.main) if kind.main else None
    if not slots and main is not None and _holds_number(main):
        slots = [main]
    return tuple(slot.name for slot in slots)


def _holds_number(slot: Slot) -> bool:
    return slot.type in _NUMBERS and not slot.as_said


def add_up(
    ground: Ground, question: Question, subject: Subject, slot: str, selection: Selection
) -> Total:
    """What a slot comes to; birds that were named or told of without a number count too."""
    noun = noun_of(ground, question, subject, slot)
    come_to = total(ground, selection, subject, slot, question.unit, noun)
    if not _counts_birds(ground, subject, slot):
        return come_to
    uncounted = [r for r in selection.find() if slot not in r.draft.slots]
    if not uncounted:
        return come_to
    birds = sum(max(1, len(record.draft.birds)) for record in uncounted)
    known = sum(amount.value for amount in come_to.amounts)
    return Total(
        amounts=(Quantity(value=tidy(known + birds), unit=noun),),
        records=come_to.records + len(uncounted),
    )


def comes_to(
    ground: Ground, question: Question, subject: Subject, slot: str, selection: Selection
) -> Total:
    """What a slot adds up to; of what does not add up, such as readings, the newest value."""
    if (subject.kind, slot) not in ground.asking.newest:
        return add_up(ground, question, subject, slot, selection)
    numbered = (r for r in _with_number(selection, (slot,)) if slot in r.draft.slots)
    newest = next(numbered, None)
    if newest is None:
        return Total(amounts=(), records=0)
    return Total(amounts=(_amount_in(ground, question, subject, slot, newest),), records=1)


def _amount_in(
    ground: Ground, question: Question, subject: Subject, slot: str, record: Record
) -> Quantity:
    said = record.draft.slots[slot]
    noun = noun_of(ground, question, subject, slot)
    return said if isinstance(said, Quantity) else Quantity(value=number_in(said), unit=noun)


def _counts_birds(ground: Ground, subject: Subject, slot: str) -> bool:
    counted = ground.asking.counted.get((subject.kind, slot))
    a_bird = ground.one_of_class(ground.any_birds)
    return subject.kind in ground.asking.of_birds and counted == a_bird


def in_all(ground: Ground, question: Question, subject: Subject) -> Answer:
    """How many or how much in all; several slots asked for give one amount each."""
    slots = number_slots(ground, subject)
    if not slots:
        return times(ground, question, subject)
    if question.ahead:
        return _foreseen(ground, question, subject, slots[0])
    parts = _parts(question, subject)
    if len(parts) > 1:
        return _each(ground, question, parts)
    selection = select(ground, question, subject, period=question.period)
    label = sentences.about(ground, question, subject, slot=slots[0])
    sums = [comes_to(ground, question, subject, slot, selection) for slot in slots]
    come_to = tuple(quantity for part in sums for quantity in part.amounts)
    if not come_to:
        return nothing(question, sentences.no_record(label))
    value, unit = as_value(come_to)
    records = _with_number(selection, slots)
    return found(
        ground, question, value, sentences.told(label, sentences.amounts(come_to)), records,
        unit=unit, rests_on=max(part.records for part in sums),
    )  # fmt: skip


def _parts(question: Question, subject: Subject) -> list[tuple[Question, Subject]]:
    """What is asked for apart: several periods, or each of several places."""
    if len(question.periods) > 1:
        return [(replace(question, periods=(one,)), subject) for one in question.periods]
    places = [place for place in subject.places if place is not None]
    if question.each and len(places) > 1:
        return [(question, replace(subject, places=(place,))) for place in places]
    return []


def _each(ground: Ground, question: Question, parts: list[tuple[Question, Subject]]) -> Answer:
    """One amount for each part."""
    answers = [in_all(ground, replace(one, each=False), subject) for one, subject in parts]
    return side_by_side(ground, question, answers)


def side_by_side(ground: Ground, question: Question, answers: Sequence[Answer]) -> Answer:
    """The amounts of several answers in one; none where one of them has no record."""
    amounts = []
    for answer in answers:
        if not isinstance(answer.value, int | float):
            return nothing(question, answer.text)
        amounts.append(Quantity(value=answer.value, unit=answer.unit or ""))
    text = " ".join(answer.text for answer in answers)
    shown = [ground.store.record(one.record) for answer in answers for one in answer.evidence]
    records = sorted(shown, key=lambda r: (ground.begins(r), r.id), reverse=True)
    return found(ground, question, tuple(amounts), text, records)


def _foreseen(ground: Ground, question: Question, subject: Subject, slot: str) -> Answer:
    """What the open plans come to."""
    plans = [p for p in open_plans(ground, question, subject) if slot in p.draft.slots]
    label = sentences.about(ground, question, subject, slot=slot)
    said = [plan.draft.slots[slot] for plan in plans]
    noun = noun_of(ground, question, subject, slot)
    found_units: dict[str, float] = {}
    for one in said:
        quantity = one if isinstance(one, Quantity) else Quantity(value=number_in(one), unit=noun)
        found_units[quantity.unit] = found_units.get(quantity.unit, 0) + quantity.value
    if not found_units:
        return nothing(question, f"There is no record of a plan: {label}.")
    come_to = tuple(Quantity(value=tidy(v), unit=unit) for unit, v in found_units.items())
    value, unit = as_value(come_to)
    text = sentences.told(f"planned, {label}", sentences.amounts(come_to))
    return found(ground, question, value, text, plans, unit=unit)


def number_in(value: object) -> int | float:
    """The number that a slot's value holds; 0 for words."""
    if isinstance(value, Quantity):
        return value.value
    return value if isinstance(value, int | float) else 0


def as_value(
    quantities: tuple[Quantity, ...],
) -> tuple[int | float | tuple[Quantity, ...], str | None]:
    """One amount as a number and its unit, several as they are."""
    if len(quantities) == 1:
        return quantities[0].value, quantities[0].unit or None
    return quantities, None


def _with_number(selection: Selection, slots: tuple[str, ...]) -> tuple[Record, ...]:
    """The newest records that have a number in one of the slots; else the newest."""
    newest = selection.find(AT_MOST * 4)
    numbered = tuple(r for r in newest if any(slot in r.draft.slots for slot in slots))
    if not numbered and len(newest) == AT_MOST * 4:
        numbered = tuple(r for r in selection.find() if any(s in r.draft.slots for s in slots))
    return numbered[:AT_MOST] or newest[:AT_MOST]


def newest_value(ground: Ground, question: Question, subject: Subject) -> Answer:
    """What the newest record says that has the slot asked for."""
    slots = number_slots(ground, subject)
    selection = select(ground, question, subject, period=question.period)
    label = sentences.about(ground, question, subject, slot=slots[0] if slots else None)
    records = _with_number(selection, slots[:1])
    numbered = [record for record in records if slots and slots[0] in record.draft.slots]
    if not numbered:
        return nothing(question, sentences.no_record(label))
    record = numbered[-1] if question.first else numbered[0]
    quantity = _amount_in(ground, question, subject, slots[0], record)
    when = sentences.moment(ground.begins(record), record.draft.when.precision)
    text = sentences.told(label, f"{sentences.amount(quantity)}, {when}")
    return found(ground, question, quantity.value, text, (record,), unit=quantity.unit or None)


def times(ground: Ground, question: Question, subject: Subject) -> Answer:
    """How many times it was done."""
    selection = select(ground, question, subject, period=question.period)
    count = selection.count()
    label = sentences.about(ground, question, subject)
    if not count:
        return nothing(question, sentences.no_record(label))
    quantity = Quantity(value=count, unit=TIMES)
    if question.unit == DAY:
        days = {ground.begins(record).date() for record in selection.find()}
        quantity = Quantity(value=len(days), unit=DAY)
    return found(
        ground, question, quantity.value, sentences.told(label, sentences.amount(quantity)),
        selection.find(AT_MOST), unit=quantity.unit, rests_on=count,
    )  # fmt: skip


def average(ground: Ground, question: Question, subject: Subject) -> Answer:
    """The average a day over the period's calendar days; of readings, the average reading."""
    slots = number_slots(ground, subject)
    selection = select(ground, question, subject, period=question.period)
    label = sentences.about(ground, question, subject, slot=slots[0] if slots else None)
    records = selection.find(AT_MOST)
    if not records:
        return nothing(question, sentences.no_record(label))
    reading = bool(slots) and (subject.kind, slots[0]) in ground.asking.newest
    if slots:
        come_to = add_up(ground, question, subject, slots[0], selection)
    else:
        count = selection.count()
        come_to = Total(amounts=(Quantity(value=count, unit=TIMES),), records=count)
    if len(come_to.amounts) != 1:
        return nothing(question, sentences.no_record(label))
    parts = come_to.records if reading else days_of(ground, question, selection)
    per = 1 if reading else question.per_days
    mean = tidy(round(come_to.amounts[0].value / parts * per, _DECIMALS))
    quantity = Quantity(value=mean, unit=come_to.amounts[0].unit)
    over = f"{come_to.records} readings" if reading else f"{parts} days"
    said = f"{sentences.amount(quantity)} on average over {over}"
    return found(
        ground, question, mean, sentences.told(label, said), _with_number(selection, slots)
        if slots else records, unit=quantity.unit or None, rests_on=come_to.records,
    )  # fmt: skip


def days_of(ground: Ground, question: Question, selection: Selection) -> int:
    """The calendar days of the period, cut off at now; without one, since the first record."""
    period = question.period
    start = None if period is None else period.from_
    if start is None:
        oldest = selection.find(1, newest_first=False)
        start = ground.day_start(ground.begins(oldest[0]) if oldest else ground.now)
    until = None if period is None else period.to
    end = ground.now if until is None else min(until, ground.now)
    first, last = (at.astimezone(ground.zone).replace(tzinfo=None) for at in (start, end))
    return max(1, ceil((last - first) / timedelta(days=1)))
