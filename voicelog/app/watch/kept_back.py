"""Until when eggs are kept back after treatments, by the days that were said from the label.

Only days that were said count; none is guessed. The label and a licensed vet decide.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.app.watch.ground import Due, Ground
from voicelog.catalogue import load_catalogue
from voicelog.catalogue.asking import load_asking
from voicelog.errors import RequestError
from voicelog.records import Wanted
from voicelog.sentences import number_text
from voicelog.types import Draft, Record, Status

_MEAT_WORDS = "ask_meat"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """Eggs kept back after one treatment."""

    record: Record
    """That said the days."""
    given: tuple[Record, ...]
    """All records of the same treatment, the oldest first."""
    what: str
    last_day: date
    """The last day on which it was given, recorded or foreseen."""
    days: float
    through: date
    """The last day on which eggs are kept back."""

    @property
    def evidence(self) -> tuple[int, ...]:
        """Ids of the records it rests on, the one that said the days first."""
        return tuple(dict.fromkeys((self.record.id, *(record.id for record in self.given))))


def holds(ground: Ground) -> tuple[Hold, ...]:
    """The holds that treatments put on eggs; those that are over are among them.

    Raises:
        RequestError: days run past the end of the calendar.
    """
    declared = load_asking().withheld
    wanted = Wanted(
        kinds=(declared.kind,),
        statuses=(Status.DONE,),
        when_from=ground.now - timedelta(days=ground.watching.days("held_days")),
        when_to=ground.now + timedelta(microseconds=1),
        as_of=ground.now,
    )
    given = ground.store.find(wanted, newest_first=False)
    made = (_longest(ground, course) for course in _courses(given, declared.what))
    return tuple(hold for hold in made if hold is not None)


def concerns(ground: Ground, hold: Hold, draft: Draft) -> bool:
    """Whether what a record gathered or sold may be of the birds treated; where open, it may."""
    treated = hold.record.draft
    classes = {ground.class_of(flock) for flock in ground.flocks_of(treated)}
    if classes and classes <= set(ground.watching.classes["lays_nothing"]):
        return False
    mine, theirs = set(ground.homes_of(draft)), set(ground.homes_of(treated))
    homes = {flock.place for flock in ground.farm.flocks}
    # Boxes and baskets are no home: what lies there may be anybody's.
    return not (mine and theirs and mine <= homes and theirs <= homes) or bool(mine & theirs)


def holds_ending(ground: Ground) -> Iterator[Due]:
    """Holds of which today is the first day after; none of birds that another still holds."""
    try:
        listed = holds(ground)
    except RequestError:
        return
    yesterday = ground.today - timedelta(days=1)
    running = [hold for hold in listed if hold.through >= ground.today]
    for hold in listed:
        draft = hold.record.draft
        if hold.through != yesterday or any(concerns(ground, other, draft) for other in running):
            continue
        line = ground.line("hold_ends")
        yield Due(
            what="hold_ends",
            chore=line.words,
            place=draft.place,
            birds=draft.birds or ((draft.flock,) if draft.flock else ()),
            on=ground.today,
            overdue_days=0,
            because=told(ground, line.because, hold),
            caution=ground.caution(line),
            evidence=hold.evidence,
        )


def told(ground: Ground, words: str, hold: Hold) -> str:
    """Words about a hold, filled in."""
    return words.format(
        what=hold.what,
        whom=ground.whom(hold.record.draft),
        day=ground.day_text(hold.last_day),
        days=number_text(hold.days),
        until=ground.day_text(hold.through + timedelta(days=1)),
    )


def _courses(given: Iterable[Record], what: str) -> list[list[Record]]:
    """Records of one treatment together; one that names none joins its birds' own."""
    found: dict[tuple[object, ...], list[Record]] = {}
    for record in given:
        draft = record.draft
        whose = draft.birds or (draft.flock, draft.place)
        found.setdefault((whose, draft.slots.get(what)), []).append(record)
    for key in [key for key in found if key[1] is None]:
        same = next((k for k in found if k[0] == key[0] and k[1] is not None), None)
        if same is not None:
            found[same] += found.pop(key)
    return list(found.values())


def _longest(ground: Ground, course: Sequence[Record]) -> Hold | None:
    """The longest hold of one treatment; None where no days for eggs were said."""
    made = [hold for record in course if (hold := _hold(ground, record, course)) is not None]
    return max(made, key=lambda hold: hold.through, default=None)


def _hold(ground: Ground, record: Record, course: Sequence[Record]) -> Hold | None:
    from voicelog.husbandry import Course, held_through, last_day_given

    declared = load_asking().withheld
    days = _number(record, declared.days)
    if days is None or _of_meat_alone(record):
        return None
    given_for = _number(record, declared.course)
    if given_for is not None and given_for < 1:
        given_for = None
    given = sorted(course, key=ground.begins)
    last = last_day_given(ground.day(record), given_for, [ground.day(given[-1])])
    named = next((r.draft.slots[declared.what] for r in given if declared.what in r.draft.slots),
                 load_catalogue().kind(declared.kind).title)  # fmt: skip
    return Hold(
        record=record,
        given=tuple(given),
        what=str(named),
        last_day=last,
        days=days,
        through=held_through(Course(last_day=last, held_days=days)),
    )


def _number(record: Record, slot: str) -> float | None:
    said = record.draft.slots.get(slot)
    right = isinstance(said, int | float) and not isinstance(said, bool) and said >= 0
    return float(said) if right and isinstance(said, int | float) else None


def _of_meat_alone(record: Record) -> bool:
    """Whether the days were said for meat and not for eggs: one never stands for the other."""
    words = set(record.draft.text.casefold().replace(",", " ").split())
    meat = set(load_catalogue().lists.get(_MEAT_WORDS, ()))
    produce = load_asking().withheld.produce
    return bool(words & meat) and not words & {produce, produce.removesuffix("s")}
