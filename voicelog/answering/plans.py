"""Plans that are still open.

A plan is met by a later done record of the same kind that says the same of everything by which
one piece of work is told from another. What is overdue stays open.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from voicelog.answering.ground import INSTANT, Ground
from voicelog.answering.question import Question, Subject
from voicelog.answering.selecting import select
from voicelog.catalogue import SlotType
from voicelog.records.asking import slot_texts
from voicelog.records.wanted import Wanted
from voicelog.types import Interval, Record, Status, frozen_slots

_ENOUGH = 5
"""Of work done again and again the newest few are looked at."""


def open_plans(
    ground: Ground, question: Question, subject: Subject, period: Interval | None = None
) -> tuple[Record, ...]:
    """The open plans of one reading, the earliest first; with a period only those within it."""
    planned = select(ground, question, subject, statuses=(Status.PLANNED,)).find()
    wished = period or question.period
    found = [plan for plan in planned if wished is None or _meets(ground, plan, wished)]
    return _open(ground, found)


def all_open_plans(
    ground: Ground, places: tuple[str, ...], birds: tuple[str, ...], period: Interval | None
) -> tuple[Record, ...]:
    """The open plans of every kind at these places and for these birds, the earliest first."""
    wanted = Wanted(statuses=(Status.PLANNED,), as_of=ground.now)
    planned = [
        plan
        for plan in ground.store.find(wanted)
        if (period is None or _meets(ground, plan, period))
        and (not places or _touches(plan, places))
        and (not birds or set(birds) & set(plan.draft.birds))
    ]
    return _open(ground, planned)


def is_over(ground: Ground, plan: Record) -> bool:
    """Whether the time for which it was planned is past."""
    end = plan.draft.when.to
    return end is not None and end <= ground.now and plan.draft.when_said is not None


def _touches(plan: Record, places: tuple[str, ...]) -> bool:
    return plan.draft.place in places or any(v in places for v in plan.draft.slots.values())


def _open(ground: Ground, planned: list[Record]) -> tuple[Record, ...]:
    found: dict[tuple[object, ...], Record] = {}
    work: dict[tuple[object, ...], tuple[Record, ...]] = {}
    said: dict[tuple[str, str], tuple[str, ...]] = {}
    for plan in planned:  # newest first: a plan said twice is one plan, by its last word
        key = _key(ground, plan)
        if key not in work:
            work[key] = _newest_done(ground, plan, said)
        if not any(_meets_plan(ground, plan, done) for done in work[key]):
            found.setdefault((*key, plan.draft.when.from_), plan)
    return tuple(sorted(found.values(), key=lambda plan: (ground.begins(plan), plan.id)))


def _key(ground: Ground, plan: Record) -> tuple[object, ...]:
    draft = plan.draft
    slots = sorted(_identity(ground, plan).items())
    return (draft.kind, draft.place, draft.birds, *slots)


def _identity(ground: Ground, plan: Record) -> dict[str, str]:
    """What tells this piece of work from another of its kind."""
    kind = plan.draft.kind
    return {
        name: str(value)
        for name, value in plan.draft.slots.items()
        if (kind, name) in ground.asking.identity
    }


def _newest_done(
    ground: Ground, plan: Record, said: dict[tuple[str, str], tuple[str, ...]]
) -> tuple[Record, ...]:
    """The newest records of the planned work: if these do not meet the plan, no older one does."""
    draft = plan.draft
    wanted = Wanted(
        kinds=(draft.kind,),
        statuses=(Status.DONE,),
        places=() if draft.place is None else (draft.place,),
        bird=draft.birds[0] if draft.birds else None,
        when_to=ground.now + INSTANT,
        as_of=ground.now,
    )
    choices: list[Mapping[str, str]] = [{}]
    kind = ground.catalogue.kind(draft.kind)
    for name, value in _identity(ground, plan).items():
        slot = kind.slot(name)
        values = [value]
        if slot is not None and slot.type is SlotType.WORDS:
            texts = said.get((draft.kind, name))
            if texts is None:
                texts = slot_texts(ground.store, Wanted(kinds=(draft.kind,)), name)
                said[draft.kind, name] = texts
            values = [text for text in texts if _alike(text, value)]
        choices = [{**choice, name: one} for choice in choices for one in values]
    return tuple(
        record
        for choice in choices
        for record in ground.store.find(
            replace(wanted, slots=frozen_slots(dict(choice))), limit=_ENOUGH
        )
    )


def _meets_plan(ground: Ground, plan: Record, done: Record) -> bool:
    """Whether work was done after it was planned, and said so later."""
    if done.memo_said_at <= plan.memo_said_at:
        return False
    end = done.draft.when.to or ground.begins(done)
    return end >= plan.memo_said_at


def _alike(one: str, other: str) -> bool:
    first, second = set(one.casefold().split()), set(other.casefold().split())
    return first <= second or second <= first


def _meets(ground: Ground, plan: Record, period: Interval) -> bool:
    """Whether the time of a plan and a period overlap."""
    begins = ground.begins(plan)
    end = plan.draft.when.to or begins
    before = period.to is not None and begins >= period.to
    after = period.from_ is not None and (end < period.from_ or begins < end == period.from_)
    return not before and not after
