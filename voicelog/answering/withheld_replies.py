"""Whether, and how long, eggs are kept back after a treatment: by the days said from the label.

The log repeats what was said; the label and a licensed vet decide, and every answer says so.
"""

from __future__ import annotations

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

    @property
    def through(self) -> date:
        """The last day on which they are kept back."""
        return held_through(self.course)


def withheld(ground: Ground, question: Question) -> Answer:
    """Whether eggs may be used, until when not, or which birds or places are held back."""
    declared = ground.asking.withheld
    caution = _caution(ground, declared.kind)
    treatments = _treatments(ground, question, declared.kind)
    if not treatments:
        title = ground.catalogue.kind(declared.kind).title
        label = ", ".join((title, *(w for w in [sentences.about(ground, question, None)] if w)))
        return nothing(question, f"{sentences.no_record(label)} {caution}".strip())
    courses = _courses(treatments, declared.what)
    holds, unsaid = [], []
    for course in courses:
        hold = _longest(ground, course)
        if hold is None:
            unsaid.append(course[0])
        else:
            holds.append(hold)
    running = [hold for hold in holds if _until(ground, hold) > ground.now]
    latest = [max(holds, key=lambda hold: hold.through)] if holds else []
    parts = [_told(ground, hold) for hold in running or latest]
    parts += [sentences.days_unsaid(_label(ground, record)) for record in unsaid]
    text = " ".join(dict.fromkeys((*parts, caution))).strip()
    if question.asked in (Asked.BIRD, Asked.PLACE):
        return _names_held(ground, question, running, unsaid, text)
    if unsaid and not (running and question.asked is Asked.WHETHER):
        return nothing(question, text)
    hold = max(running or latest, key=lambda item: item.through)
    until = _until(ground, hold)
    records = (hold.record,) if hold.last.id == hold.record.id else (hold.record, hold.last)
    if question.asked is Asked.NUMBER:
        left = days_still_held(hold.through, ground.now.astimezone(ground.zone).date())
        return found(ground, question, left, text, records, unit="day", to=until)
    if question.asked is Asked.DATE:
        return found(ground, question, until, text, records, to=until)
    if question.meat and not running and not all(_says_meat(ground, h.record) for h in holds):
        # The days said may be the label's for eggs: they free no meat.
        return nothing(question, text)
    return found(ground, question, bool(running) is question.held, text, records, to=until)


def _names_held(
    ground: Ground, question: Question, running: list[_Hold], unsaid: list[Record], text: str
) -> Answer:
    """Which birds or places are held back; none only where the days of all were said."""
    by_place = question.asked is Asked.PLACE
    names = tuple(dict.fromkeys(
        name for hold in running
        for name in (_at(ground, hold.record) if by_place else _whom(ground, hold.record))
    ))  # fmt: skip
    if not names and (unsaid or running):
        return nothing(question, text)
    return found(ground, question, names, text, [hold.record for hold in running])


def _says_meat(ground: Ground, record: Record) -> bool:
    return not set(ground.catalogue.lists["ask_meat"]).isdisjoint(
        record.draft.text.casefold().split()
    )


def _until(ground: Ground, hold: _Hold) -> datetime:
    return datetime.combine(hold.through + timedelta(days=1), time(), tzinfo=ground.zone)


def _told(ground: Ground, hold: _Hold) -> str:
    over = _until(ground, hold) <= ground.now
    produce = ground.asking.withheld.produce
    return sentences.kept_back(
        _label(ground, hold.record), produce, sentences.day(hold.through), over
    )


def _whom(ground: Ground, record: Record) -> tuple[str, ...]:
    """Whom it was given to, as closely as was said."""
    draft = record.draft
    return draft.birds or (draft.flock or draft.place or ground.any_birds,)


def _at(ground: Ground, record: Record) -> tuple[str, ...]:
    """The place that was said, or where the birds live."""
    if record.draft.place is not None:
        return (record.draft.place,)
    flocks = {flock.name: flock.place for flock in ground.farm.flocks}
    named = [b.flock for b in ground.farm.birds if b.name in record.draft.birds]
    homes = (flocks.get(name or "") for name in (*named, record.draft.flock))
    return tuple(home for home in homes if home is not None)


def _label(ground: Ground, record: Record) -> str:
    """What was given, to whom and where."""
    draft = record.draft
    whom = sentences.listed(draft.birds or (draft.flock or ground.any_birds,))
    named = draft.slots.get(ground.asking.withheld.what, ground.catalogue.kind(draft.kind).title)
    where = f", {draft.place}" if draft.place is not None else ""
    return f"{named} for {whom}{where}"


def _courses(treatments: tuple[Record, ...], what: str) -> list[list[Record]]:
    """Records of one treatment together, the newest first; one that names none joins its birds'."""
    found_: dict[tuple[object, ...], list[Record]] = {}
    for record in treatments:
        found_.setdefault(_course_of(record, what), []).append(record)
    for key in [key for key in found_ if key[-1] is None]:
        same = next((k for k in found_ if k[:-1] == key[:-1] and k[-1] is not None), None)
        if same is not None:
            found_[same] = sorted(
                (*found_[same], *found_.pop(key)), key=lambda r: r.memo_said_at, reverse=True
            )
    return list(found_.values())


def _longest(ground: Ground, course: list[Record]) -> _Hold | None:
    """The longest hold of one treatment; None where no days were said."""
    holds = [hold for record in course if (hold := _hold(ground, record, course)) is not None]
    return max(holds, key=lambda hold: hold.through, default=None)


def _caution(ground: Ground, kind: str) -> str:
    name = ground.catalogue.kind(kind).caution
    return "" if name is None else ground.catalogue.caution(name).text


def _treatments(ground: Ground, question: Question, kind: str) -> tuple[Record, ...]:
    wanted = Wanted(
        kinds=(kind,),
        statuses=(Status.DONE,),
        when_to=ground.now + INSTANT,
        as_of=ground.now,
    )
    return tuple(r for r in ground.store.find(wanted) if _may_concern(ground, question, r))


def _may_concern(ground: Ground, question: Question, record: Record) -> bool:
    """Whether it may have been given to what is asked about; where that is open, it may."""
    draft = record.draft
    if question.birds and draft.birds:
        return bool(set(question.birds) & set(draft.birds))
    flocks = (*question.flocks, *((question.among,) if question.among else ()))
    asked_flocks = {*flocks, *_flocks_of(ground, question.birds)}
    given_flocks = {*((draft.flock,) if draft.flock else ()), *_flocks_of(ground, draft.birds)}
    classes = {ground.class_of(f) for f in asked_flocks} - {None, "other"}
    given = {ground.class_of(f) for f in given_flocks} - {None, "other"}
    if classes and given and not classes & given:
        return False
    places = set(question.places)
    at = set(_at(ground, record))
    return not (places and at) or bool(places & at)


def _flocks_of(ground: Ground, birds: tuple[str, ...]) -> set[str]:
    return {b.flock for b in ground.farm.birds if b.name in birds and b.flock is not None}


def _course_of(record: Record, what: str) -> tuple[object, ...]:
    """What makes two records speak of one treatment: the birds and what they were given."""
    draft = record.draft
    whose = (draft.birds,) if draft.birds else (draft.flock, draft.place)
    return (*whose, draft.slots.get(what))


def _hold(ground: Ground, record: Record, records: list[Record]) -> _Hold | None:
    """How long one treatment keeps eggs back: counted from its last day, recorded or foreseen."""
    declared = ground.asking.withheld
    said = record.draft.slots.get(declared.days)
    if not isinstance(said, int | float) or isinstance(said, bool) or said < 0:
        return None
    last = max(records, key=ground.begins)
    course = record.draft.slots.get(declared.course)
    if not isinstance(course, int | float) or isinstance(course, bool) or course < 1:
        course = None
    first, later = ground.begins(record).date(), ground.begins(last).date()
    ends = last_day_given(first, course, [later])
    return _Hold(record=record, last=last, course=Course(last_day=ends, held_days=float(said)))
