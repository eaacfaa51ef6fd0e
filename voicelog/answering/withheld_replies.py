"""Whether, and how long, eggs are kept back after a treatment: by the days said from the label.

The log repeats what was said; the label and a licensed vet decide, and every answer says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from voicelog.answering import sentences
from voicelog.answering.answers import found, nothing
from voicelog.answering.ground import INSTANT, Ground
from voicelog.answering.question import Asked, Question
from voicelog.husbandry import Course, days_still_held, held_through, last_day_given
from voicelog.records.wanted import Wanted
from voicelog.types import Answer, Record, Status


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hold:
    """Eggs kept back after one treatment."""

    record: Record
    """The record that said the days."""
    last: Record
    """The last record of the same treatment."""
    course: Course
    days: str
    """The slot that says the days."""

    @property
    def through(self) -> date:
        """The last day on which they are kept back."""
        return held_through(self.course)


def withheld(ground: Ground, question: Question) -> Answer:
    """Whether eggs may be used, or until when they are kept back."""
    declared = ground.asking.withheld
    kind, days, what = declared.kind, declared.days, declared.what
    caution = _caution(ground, kind)
    treatments = _treatments(ground, question, kind)
    newest = {_course_of(record, what): record for record in reversed(treatments)}
    holds = [hold for record in treatments if days in record.draft.slots
             if (hold := _hold(ground, record, newest)) is not None]  # fmt: skip
    if not holds:
        label = f"days of withdrawal, {sentences.about(ground, question, None)}"
        return nothing(question, f"{sentences.no_record(label)} {caution}")
    hold = max(holds, key=lambda item: item.through)
    until = datetime.combine(hold.through + timedelta(days=1), time(), tzinfo=ground.zone)
    over = until <= ground.now
    day = sentences.day(until - timedelta(days=1))
    text = (
        f"{sentences.kept_back(_label(ground, hold.record), declared.produce, day, over)} {caution}"
    )
    records = (hold.record,) if hold.last.id == hold.record.id else (hold.record, hold.last)
    if question.asked is Asked.NUMBER:
        left = days_still_held(hold.through, ground.now.astimezone(ground.zone).date())
        return found(ground, question, left, text, records, unit="day", to=until)
    if question.asked is Asked.DATE:
        return found(ground, question, until, text, records, to=until)
    unsaid = _without_days(hold, treatments, newest, what) if over else None
    if unsaid is not None:
        label = f"days of withdrawal, {_label(ground, unsaid)}"
        return nothing(question, f"{sentences.no_record(label)} {caution}")
    return found(ground, question, over, text, records, to=until)


def _label(ground: Ground, record: Record) -> str:
    """What was given, and to whom."""
    draft = record.draft
    whom = sentences.listed(draft.birds or (draft.flock or ground.any_birds,))
    named = draft.slots.get(ground.asking.withheld.what, ground.catalogue.kind(draft.kind).title)
    return f"{named} for {whom}"


def _without_days(
    hold: _Hold,
    treatments: tuple[Record, ...],
    newest: Mapping[tuple[object, ...], Record],
    what: str,
) -> Record | None:
    """A later treatment of which no days were said: whether it holds, only its label knows."""
    said = {_course_of(r, what) for r in treatments if hold.days in r.draft.slots}
    later = (r for key, r in newest.items() if key not in said)
    return next((r for r in later if r.memo_said_at >= hold.record.memo_said_at), None)


def _caution(ground: Ground, kind: str) -> str:
    name = ground.catalogue.kind(kind).caution
    return "" if name is None else ground.catalogue.caution(name).text


def _treatments(ground: Ground, question: Question, kind: str) -> tuple[Record, ...]:
    wanted = Wanted(
        kinds=(kind,),
        statuses=(Status.DONE,),
        bird=question.birds[0] if question.birds else None,
        when_to=ground.now + INSTANT,
        as_of=ground.now,
    )
    return ground.store.find(wanted)


def _course_of(record: Record, what: str) -> tuple[object, ...]:
    """What makes two records speak of one treatment: the birds and what they were given."""
    return (record.draft.birds, record.draft.slots.get(what))


def _hold(
    ground: Ground, record: Record, newest: Mapping[tuple[object, ...], Record]
) -> _Hold | None:
    """How long one treatment keeps eggs back: counted from its last day, recorded or foreseen."""
    declared = ground.asking.withheld
    what = declared.what
    said = record.draft.slots[declared.days]
    if not isinstance(said, int | float) or isinstance(said, bool) or said < 0:
        return None
    last = newest[_course_of(record, what)]
    course = record.draft.slots.get(declared.course)
    if not isinstance(course, int | float) or isinstance(course, bool) or course < 1:
        course = None
    first, later = ground.begins(record).date(), ground.begins(last).date()
    ends = last_day_given(first, course, [later])
    return _Hold(
        record=record,
        last=last,
        days=declared.days,
        course=Course(last_day=ends, held_days=float(said)),
    )
