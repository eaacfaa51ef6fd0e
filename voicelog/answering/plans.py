"""Plans that are still open.

A plan is met by a later done record of the same kind that says the same of everything by which
one piece of work is told from another. What is overdue stays open.
"""

from __future__ import annotations

from voicelog.answering.ground import Ground
from voicelog.answering.question import Question, Subject
from voicelog.answering.selecting import select
from voicelog.catalogue import SlotType
from voicelog.records.wanted import Wanted
from voicelog.types import Interval, Record, Status


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


def _touches(plan: Record, places: tuple[str, ...]) -> bool:
    return plan.draft.place in places or any(v in places for v in plan.draft.slots.values())


def _open(ground: Ground, planned: list[Record]) -> tuple[Record, ...]:
    found: dict[tuple[object, ...], Record] = {}
    for plan in planned:  # newest first: a plan said twice is one plan, by its last word
        key = _key(ground, plan)
        if key not in found and not _is_met(ground, plan):
            found[key] = plan
    return tuple(sorted(found.values(), key=lambda plan: (ground.begins(plan), plan.id)))


def _key(ground: Ground, plan: Record) -> tuple[object, ...]:
    draft = plan.draft
    slots = sorted(_identity(ground, plan).items())
    return (draft.kind, draft.place, draft.flock, draft.birds, draft.when.from_, *slots)


def _identity(ground: Ground, plan: Record) -> dict[str, str]:
    """What tells this piece of work from another of its kind."""
    kind = plan.draft.kind
    return {
        name: str(value)
        for name, value in plan.draft.slots.items()
        if (kind, name) in ground.asking.identity
    }


def _is_met(ground: Ground, plan: Record) -> bool:
    draft = plan.draft
    done = ground.store.find(
        Wanted(
            kinds=(draft.kind,),
            statuses=(Status.DONE,),
            places=() if draft.place is None else (draft.place,),
            bird=draft.birds[0] if draft.birds else None,
            when_from=ground.day_start(plan.memo_said_at),
            as_of=ground.now,
        )
    )
    return any(_meets_plan(ground, plan, record) for record in done)


def _meets_plan(ground: Ground, plan: Record, done: Record) -> bool:
    if done.memo_said_at <= plan.memo_said_at:
        return False
    end = done.draft.when.to or ground.begins(done)
    if end < plan.memo_said_at:
        return False
    slots = done.draft.slots
    kind = ground.catalogue.kind(plan.draft.kind)
    for name, value in _identity(ground, plan).items():
        slot = kind.slot(name)
        said = slots.get(name)
        if said is None:
            return False
        if slot is not None and slot.type is SlotType.WORDS:
            if not _alike(str(said), value):
                return False
        elif str(said) != value:
            return False
    return True


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
