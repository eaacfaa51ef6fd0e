"""The first minus the second: two places, two periods, two flocks or two things."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from voicelog.answering import sentences
from voicelog.answering.amounts import Total, convert, tidy
from voicelog.answering.answers import AT_MOST, found, nothing
from voicelog.answering.ground import Ground
from voicelog.answering.number_replies import TIMES, comes_to, number_slots
from voicelog.answering.question import Question, Subject
from voicelog.answering.selecting import Selection, select
from voicelog.types import Answer, Quantity, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    question: Question
    subject: Subject
    name: str


def compare(ground: Ground, question: Question, subject: Subject) -> Answer:
    """The difference of two sums, or of two newest readings; the sentence tells both."""
    sides = list(_sides(question, subject))
    slots = number_slots(ground, subject)
    label = sentences.about(ground, question, subject, slot=slots[0] if slots else None)
    if len(sides) != 2:
        return nothing(question, sentences.no_record(f"two things to compare: {label}"))
    selections = [
        select(ground, side.question, side.subject, period=side.question.period) for side in sides
    ]
    totals = [
        _total(ground, side, slots, selection)
        for side, selection in zip(sides, selections, strict=True)
    ]
    for side, come_to in zip(sides, totals, strict=True):
        if len(come_to.amounts) != 1:
            return nothing(question, sentences.no_record(f"{label}, {side.name}"))
    first, second = (come_to.amounts[0] for come_to in totals)
    less = convert(ground, second.value, second.unit, first.unit, _stuff(sides[1].subject))
    if less is None:
        return nothing(question, sentences.no_record(f"{label} in units that compare"))
    value = tidy(first.value - less)
    said = sentences.listed(
        f"{side.name} {sentences.amount(come_to.amounts[0])}"
        for side, come_to in zip(sides, totals, strict=True)
    )
    difference = sentences.amount(Quantity(value=value, unit=first.unit))
    records = _newest(ground, selections)
    text = sentences.told(label, f"{said}, so {difference}")
    return found(
        ground, question, value, text, records,
        unit=first.unit or None, rests_on=sum(total.records for total in totals),
    )  # fmt: skip


def _stuff(subject: Subject) -> tuple[str, ...]:
    return (subject.kind, *(v for values in subject.slots.values() for v in values))


def _newest(ground: Ground, selections: list[Selection]) -> list[Record]:
    """The newest records, as many of either side."""
    half = AT_MOST // len(selections)
    records = [record for selection in selections for record in selection.find(half)]
    return sorted(records, key=lambda r: (ground.begins(r), r.id), reverse=True)


def _total(ground: Ground, side: _Side, slots: tuple[str, ...], selection: Selection) -> Total:
    if slots:
        return comes_to(ground, side.question, side.subject, slots[0], selection)
    count = selection.count()
    amounts = (Quantity(value=count, unit=TIMES),) if count else ()
    return Total(amounts=amounts, records=count)


def _sides(question: Question, subject: Subject) -> Iterator[_Side]:
    """What is told apart, in the order said."""
    now = question.now
    places = tuple(place for place in subject.places if place is not None)
    if len(question.periods) > 1:
        for period in question.periods[:2]:
            name = sentences.during(period, now)
            yield _Side(question=replace(question, periods=(period,)), subject=subject, name=name)
    elif len(places) > 1:
        for place in places[:2]:
            yield _Side(question=question, subject=replace(subject, places=(place,)), name=place)
    elif len(question.flocks) > 1:
        for flock in question.flocks[:2]:
            one = replace(question, flocks=(flock,))
            yield _Side(question=one, subject=subject, name=flock)
    else:
        yield from _by_slot(question, subject)


def _by_slot(question: Question, subject: Subject) -> Iterator[_Side]:
    for name, values in subject.slots.items():
        if len(values) > 1:
            for value in values[:2]:
                one = replace(subject, slots={**subject.slots, name: (value,)})
                yield _Side(question=question, subject=one, name=value.replace("_", " "))
            return
    for slot in subject.asked[:2] if len(subject.asked) > 1 else ():
        yield _Side(question=question, subject=replace(subject, asked=(slot,)), name=slot)
