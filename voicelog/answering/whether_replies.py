"""Whether it was done, and whether a thing stands so.

True and false only by a record: false where it was said not to be done, or where the newest
record says the opposite. Else there is no record, and the answer is neither.
"""

from __future__ import annotations

from voicelog.answering import sentences
from voicelog.answering.answers import found, nothing
from voicelog.answering.ground import Ground
from voicelog.answering.list_replies import chore_days
from voicelog.answering.plans import open_plans
from voicelog.answering.question import Asked, Question, Subject
from voicelog.answering.selecting import DONE, select
from voicelog.answering.states import holding
from voicelog.types import Answer, Interval, Precision, Record, Status


def whether(ground: Ground, question: Question, subject: Subject) -> Answer:
    """Whether it was done, is so, or is planned."""
    if question.state:
        return _state(ground, question, subject)
    if question.asked is Asked.PLAN:
        plans = open_plans(ground, question, subject)
        label = sentences.about(ground, question, subject)
        if not plans:
            return nothing(question, f"There is no record of a plan: {label}.")
        return _told(ground, question, True, f"planned, {label}", plans)
    period = question.period or _today(ground, subject)
    label = sentences.about(ground, question, subject, period=period)
    done = select(ground, question, subject, period=period).find(20)
    if done:
        return _told(ground, question, True, label, done)
    if question.undone:
        return _after_all(ground, question, subject, period, label)
    skipped = _not_done(ground, question, subject, period)
    if skipped:
        return _told(ground, question, False, label, skipped)
    opposite = _opposite(ground, question, subject, period)
    if opposite is not None:
        return _told(ground, question, False, label, (opposite,))
    if question.may_be_planned:
        coming = question.coming[0] if question.coming else None
        plans = open_plans(ground, question, subject, coming)
        if plans:
            return _told(ground, question, True, f"planned, {label}", plans)
    return nothing(question, sentences.no_record(label))


def _after_all(
    ground: Ground, question: Question, subject: Subject, period: Interval | None, label: str
) -> Answer:
    """Whether it was forgotten: no, where it was done."""
    done = select(ground, question, subject, period=period, statuses=DONE).find(20)
    if done:
        return _told(ground, question, False, f"not done, {label}", done)
    return nothing(question, sentences.no_record(label))


def _not_done(
    ground: Ground, question: Question, subject: Subject, period: Interval | None
) -> tuple[Record, ...]:
    """Records that say it was not done; they often leave out how it was not done."""
    records = select(
        ground, question, subject, period=period, statuses=(Status.NOT_DONE,), slots={}
    ).find()
    return tuple(r for r in records if _says_this(ground, subject, r))


def _says_this(ground: Ground, subject: Subject, record: Record) -> bool:
    for name, values in subject.slots.items():
        said = record.draft.slots.get(name)
        if said is None and _is_chore_of_its_own(ground, subject, name, values):
            return False
        if said is not None and str(said).casefold() not in {v.casefold() for v in values}:
            return False
    return True


def _is_chore_of_its_own(
    ground: Ground, subject: Subject, name: str, values: tuple[str, ...]
) -> bool:
    """Whether the farm tells this work from the rest of its kind."""
    return any(
        chore.record == subject.kind and str(chore.match.get(name)) in values
        for chore in ground.farm.chores
    )


def _told(
    ground: Ground, question: Question, value: bool, label: str, records: tuple[Record, ...]
) -> Answer:
    when = sentences.moment(ground.begins(records[0]), records[0].draft.when.precision)
    said = f"yes, {when}" if value else f"no, {when}"
    return found(ground, question, value, sentences.told(label, said), records)


def _state(ground: Ground, question: Question, subject: Subject) -> Answer:
    record = holding(ground, question, subject, question.period)
    label = sentences.about(ground, question, subject)
    if record is None:
        return nothing(question, sentences.no_record(label))
    value = any(said in question.state for said in record.draft.slots.values())
    return _told(ground, question, value, label, (record,))


def _opposite(
    ground: Ground, question: Question, subject: Subject, period: Interval | None
) -> Record | None:
    """A record of the opposite state within the period asked about."""
    if period is None:
        return None
    for slot, values in subject.slots.items():
        state = ground.asking.state_of(subject.kind, slot)
        sides = {state.holding(value) for value in values} if state is not None else set()
        if state is None or len(sides) != 1:
            continue
        others = tuple(v for side in state.holds if side not in sides for v in side.values)
        slots = {**subject.slots, slot: others}
        return select(ground, question, subject, period=period, slots=slots).newest()
    return None


def _today(ground: Ground, subject: Subject) -> Interval | None:
    """Today, for work that the farm does every day; else the time is left open."""
    if chore_days(ground, subject) != 1:
        return None
    return Interval(from_=ground.day_start(ground.now), to=None, precision=Precision.DAY)
