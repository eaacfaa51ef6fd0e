"""When it was last done, when it is next planned, and how long ago it was."""

from __future__ import annotations

from voicelog.answering import sentences
from voicelog.answering.answers import AT_MOST, found, nothing
from voicelog.answering.ground import Ground
from voicelog.answering.plans import is_over, open_plans
from voicelog.answering.question import Question, Subject
from voicelog.answering.selecting import Selection, select
from voicelog.answering.states import holding
from voicelog.routine import day_plan
from voicelog.types import Answer, Record


def last(ground: Ground, question: Question, subject: Subject) -> Answer:
    """When it was done: the newest time, or the first."""
    records = _records(ground, question, subject)
    label = sentences.about(ground, question, subject)
    if not records:
        return nothing(question, sentences.no_record(label))
    record = records[0]
    when = ground.begins(record)
    said = sentences.moment(when, record.draft.when.precision)
    days = (ground.day_start(ground.now) - ground.day_start(when)).days
    text = sentences.told(label, f"{said}, {sentences.ago(days)}" if days else said)
    return found(ground, question, when, text, records)


def since(ground: Ground, question: Question, subject: Subject) -> Answer:
    """How many calendar days ago it was done."""
    records: tuple[Record, ...]
    if question.state:
        held = holding(ground, question, subject)
        records = (held,) if held is not None and _is_held(held, question) else ()
    else:
        records = _records(ground, question, subject)
    label = sentences.about(ground, question, subject)
    if not records:
        return nothing(question, sentences.no_record(label))
    when = ground.begins(records[0])
    days = (ground.now.astimezone(ground.zone).date() - when.date()).days
    said = sentences.moment(when, records[0].draft.when.precision)
    noun = sentences.plural("day", days)
    text = sentences.told(label, f"{days} {noun} ago, {said}")
    return found(ground, question, days, text, records, unit="day", from_=when)


def upcoming(ground: Ground, question: Question, subject: Subject) -> Answer:
    """When it is planned: the plan that comes first, or else the one overdue."""
    plans = open_plans(ground, question, subject)
    label = sentences.about(ground, question, subject)
    if not plans and question.due:
        return _due(ground, question, subject, label)
    if not plans:
        return nothing(question, f"There is no record of a plan: {label}.")
    ahead = [plan for plan in plans if not is_over(ground, plan)]
    plan = ahead[0] if ahead else plans[-1]
    when = ground.begins(plan)
    said = sentences.moment(when, plan.draft.when.precision)
    late = "" if ahead else ", overdue"
    text = sentences.told(f"planned, {label}", f"{said}{late}")
    others = [other for other in plans if other.id != plan.id]
    return found(ground, question, when, text, (plan, *others))


def _due(ground: Ground, question: Question, subject: Subject, label: str) -> Answer:
    """When the farm's chore for it is due again."""
    plan = day_plan(ground.farm.chores, ground.store, ground.now, flocks=ground.farm.flocks)
    tasks = [
        task
        for task in (*plan.left, *plan.skipped, *plan.done, *plan.not_due)
        if task.record == subject.kind
        and (not subject.places or task.place in subject.places)
        and all(str(task.match.get(n, v[0])) in v for n, v in subject.slots.items())
        and task.due is not None
    ]
    if not tasks:
        return nothing(question, f"There is no record of a plan: {label}.")
    task = min(tasks, key=lambda task: task.due or ground.now)
    when = task.due or ground.now
    text = sentences.told(f"due, {label}", sentences.day(when))
    shown = task.by_record
    records = () if shown is None else (ground.store.record(shown, as_of=ground.now),)
    return found(ground, question, when, text, records)


def _records(ground: Ground, question: Question, subject: Subject) -> tuple[Record, ...]:
    selection: Selection = select(ground, question, subject, period=question.period)
    return selection.find(1 if question.first else AT_MOST, newest_first=not question.first)


def _is_held(record: Record, question: Question) -> bool:
    return any(value in question.state for value in record.draft.slots.values())
