"""What is planned, and what is left to do today."""

from __future__ import annotations

from voicelog.answering import sentences
from voicelog.answering.answers import found, nothing
from voicelog.answering.ground import INSTANT, Ground
from voicelog.answering.plans import all_open_plans, is_over, open_plans
from voicelog.answering.question import Question, Subject
from voicelog.catalogue import SlotType
from voicelog.records.wanted import Wanted
from voicelog.routine import day_plan, summary
from voicelog.types import Answer, Record, Status, Task


def planned(ground: Ground, question: Question) -> Answer:
    """The open plans: the things of one kind, or the kinds where none is named."""
    if question.subjects and _names_a_kind(question):
        for subject in question.subjects:
            plans = open_plans(ground, question, subject)
            if plans:
                return _things(ground, question, subject, plans)
        label = sentences.about(ground, question, question.subjects[0])
        text = sentences.told(f"planned, {label}", "nothing is recorded")
        return found(ground, question, (), text, ())
    plans = all_open_plans(ground, question.places, question.birds, question.period)
    if question.overdue:
        plans = tuple(plan for plan in plans if is_over(ground, plan))
    kinds = tuple(dict.fromkeys(plan.draft.kind for plan in plans))
    said = sentences.listed(_plan_words(ground, plan) for plan in plans)
    label = sentences.about(ground, question, None)
    text = sentences.told(f"planned, {label}", said if plans else "nothing is recorded")
    return found(ground, question, kinds, text, plans)


def events(ground: Ground, question: Question) -> Answer:
    """What was recorded at a time, a place or of a bird, of whatever kind: the kinds."""
    period = question.period
    until = ground.now + INSTANT
    to = until if period is None or period.to is None else min(period.to, until)
    wanted = Wanted(
        statuses=(Status.NOT_DONE,) if question.undone else (Status.DONE,),
        places=question.places,
        flocks=question.flocks,
        bird=question.birds[0] if question.birds else None,
        when_from=None if period is None else period.from_,
        when_to=to,
        as_of=ground.now,
    )
    records = ground.store.find(wanted, limit=_AT_MOST)
    label = sentences.about(ground, question, None)
    if not records:
        return nothing(question, sentences.no_record(label))
    kinds = tuple(dict.fromkeys(record.draft.kind for record in records))
    said = sentences.listed(dict.fromkeys(record.draft.text for record in records))
    undone = "not done, " if question.undone else ""
    text = sentences.told(f"{undone}{label}", said)
    return found(ground, question, kinds, text, records)


_AT_MOST = 100


def _names_a_kind(question: Question) -> bool:
    """A place alone may speak for a kind; only words of its own ask for that kind."""
    return bool(question.subjects)


def _things(
    ground: Ground, question: Question, subject: Subject, plans: tuple[Record, ...]
) -> Answer:
    """The things planned; where the kind lists none, or they are not said, the kind."""
    listed = ground.asking.listed.get(subject.kind)
    slot = None if listed is None else ground.catalogue.kind(subject.kind).slot(listed)
    names: tuple[str, ...] = ()
    if slot is not None and slot.type is SlotType.WORDS and slot.name not in subject.slots:
        names = tuple(
            dict.fromkeys(
                str(plan.draft.slots[slot.name]) for plan in plans if slot.name in plan.draft.slots
            )
        )
    names = names or (subject.kind,)
    label = sentences.about(ground, question, subject)
    said = sentences.listed(_plan_words(ground, plan) for plan in plans)
    return found(ground, question, names, sentences.told(f"planned, {label}", said), plans)


def _plan_words(ground: Ground, plan: Record) -> str:
    draft = plan.draft
    words = [ground.catalogue.kind(draft.kind).title]
    words.extend(str(v).replace("_", " ") for v in draft.slots.values() if isinstance(v, str))
    words.extend(name for name in (draft.place, *draft.birds) if name)
    if draft.when_said is not None:
        words.append(sentences.moment(ground.begins(plan), draft.when.precision))
    return " ".join(words)


def left(ground: Ground, question: Question) -> Answer:
    """What is left to do today, by the farm's chores."""
    plan = day_plan(ground.farm.chores, ground.store, ground.now, flocks=ground.farm.flocks)
    tasks = [task for task in plan.left if not question.places or task.place in question.places]
    names = tuple(_task_words(task) for task in tasks)
    shown = [task.by_record for task in (*plan.skipped, *plan.done) if task.by_record is not None]
    records = [ground.store.record(record, as_of=ground.now) for record in shown[:20]]
    text = summary(plan)
    if question.places:
        text = sentences.told(f"left, {sentences.listed(question.places)}", sentences.listed(names))
    return found(ground, question, names, text, records)


def _task_words(task: Task) -> str:
    return task.chore if task.place is None else f"{task.chore}, {task.place}"
