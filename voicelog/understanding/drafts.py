"""Turns events into draft records: the time on the calendar, certainty, doubts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from difflib import get_close_matches

from voicelog.catalogue import Slot, SlotType
from voicelog.farm import Farm
from voicelog.text.number_words import BELOW_HUNDRED
from voicelog.text.times import cut_off
from voicelog.types import (
    Draft,
    Interval,
    Precision,
    Quantity,
    SlotValue,
    Status,
    frozen_slots,
)
from voicelog.understanding.event import Event
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions, Name, TimeSaid
from voicelog.understanding.reading import ENOUGH

_AFTER_IN = frozenset({"a", "an", "half", "about"})
"""Words before which "in" is part of the time: in an hour."""
_SUREST = 0.98
DOUBTED = 0.15
"""How much each doubt takes from the certainty."""


def draft_of(event: Event, mentions: Mentions, farm: Farm, now: datetime) -> Draft:
    """The record that an event means."""
    status = _status(event, now)
    doubts = [*event.doubts, *(doubt.text for doubt in doubts_of(event, farm))]
    places = [place for place in event.places if not _never_there(event, place, farm)]
    if not (event.kind.per_place or event.kind.flock_subject):
        places = [place for place in places if place.known]
    place = places[0] if places else None
    flock = event.flocks[0] if event.flocks else None
    return Draft(
        kind=event.kind.name,
        status=status,
        when=when_of(event.time, status, now),
        when_said=when_words(event.time, mentions),
        place=place.value if place else None,
        flock=flock.value if flock else None,
        birds=tuple(_bird(name) for name in event.birds),
        slots=frozen_slots(
            {name: _with_counted(event, said.value) for name, said in event.slots.items()}
        ),
        text=words_of(event.spans, mentions),
        certainty=_certainty(event, len(doubts)),
        doubts=tuple(doubts),
    )  # fmt: skip


def remark_of(first: int, last: int, mentions: Mentions, now: datetime, kind: str) -> Draft:
    """Words that were kept and not understood as anything else."""
    inside = mentions.names_in(first, last)
    places = [name.value for name in inside if name.role is Role.PLACE and name.exact]
    flocks = [name.value for name in inside if name.role is Role.FLOCK]
    times = mentions.times_in(first, last)
    time = times[0] if times else None
    status = Status.PLANNED if time is not None and _lies_ahead(time, now) else Status.DONE
    return Draft(
        kind=kind,
        status=status,
        when=when_of(time, status, now),
        when_said=when_words(time, mentions),
        place=places[0] if places else None,
        flock=flocks[0] if flocks else None,
        birds=tuple(name.value for name in inside if name.role is Role.BIRD),
        slots=frozen_slots(),
        text=mentions.words(first, last),
        certainty=0.5,
    )


def _never_there(event: Event, name: Name, farm: Farm) -> bool:
    place = farm.place(name.value)
    return place is not None and place.kind in event.kind.not_at


def _with_counted(event: Event, value: SlotValue) -> SlotValue:
    """A number of things that have no measure is counted in the thing: two bulbs, 2 bulb."""
    if not isinstance(value, Quantity) or value.unit:
        return value
    things = (
        event.slots[slot.name]
        for slot in event.kind.slots
        if slot.type is SlotType.WORDS and slot.name in event.slots
    )
    item = next((said.value for said in things if said.last > said.first), "")
    word = str(item).split()[-1] if item else "piece"
    return Quantity(value=value.value, unit=word[:-1] if word.endswith("s") else word)


def _bird(name: Name) -> str:
    """A bird by its name; a breed as it is written in books."""
    return name.value.title() if name.role is Role.BREED else name.value


def _status(event: Event, now: datetime) -> Status:
    """A thing that lies ahead is planned, whatever its verb."""
    time = event.time
    if event.status is Status.DONE and time is not None:
        if _lies_ahead(time, now):
            return Status.PLANNED
        ahead = time.ahead.from_
        if ahead is not None and ahead > now:
            whole_days = time.ahead.precision not in (Precision.MINUTE, Precision.HOUR)
            if event.reading.plain_order or (event.reading.going_on and whole_days):
                return Status.PLANNED
    return event.status


def _lies_ahead(time: TimeSaid, now: datetime) -> bool:
    """Whether a time is still to come, however it is read."""
    return time.past.from_ is not None and time.past.from_ > now


def when_of(time: TimeSaid | None, status: Status, now: datetime) -> Interval:
    """When it was, or will be; the memo's own time where nothing was said."""
    if time is None:
        return Interval(from_=now, to=now, precision=Precision.MINUTE)
    if status is Status.PLANNED:
        return time.ahead
    return cut_off(time.past, now)


def when_words(time: TimeSaid | None, mentions: Mentions) -> str | None:
    """The words that said the time, without the preposition that only leads up to it."""
    if time is None:
        return None
    first = time.first
    if mentions.tokens[first].lower in ("at", "on", "in") and time.last - first > 1:
        following = mentions.tokens[first + 1].lower
        ahead = mentions.tokens[first].lower == "in" and (
            following in _AFTER_IN or not following.isalpha() or following in BELOW_HUNDRED
        )
        if not ahead:
            first += 1
    return mentions.words(first, time.last)


def words_of(spans: list[tuple[int, int]], mentions: Mentions) -> str:
    """The words of the memo that said it."""
    return " … ".join(mentions.words(first, last) for first, last in _joined(sorted(set(spans))))


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    joined: list[tuple[int, int]] = []
    for first, last in spans:
        if joined and joined[-1][1] >= first:
            joined[-1] = (joined[-1][0], max(last, joined[-1][1]))
        else:
            joined.append((first, last))
    return joined


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A doubt with what raised it."""

    text: str
    """A whole sentence: what should be asked."""
    field: str
    """The slot or common field in doubt."""
    rule: str
    """The catalogue's key that raised it; empty where the words themselves did."""


def doubts_of(event: Event, farm: Farm) -> list[Doubt]:
    """What of an event should be asked, apart from what was doubted while it was read."""
    doubts: list[Doubt] = []
    kind = event.kind

    def note(field: str, text: str, rule: str = "") -> None:
        doubts.append(Doubt(text=text, field=field, rule=rule))

    for slot in kind.slots:
        said = event.slots.get(slot.name)
        if said is None:
            if slot.name in kind.needs and event.status is Status.DONE:
                asked = f"the {slot.title} was not said; what is it?"
                note(slot.name, f"{_capital(kind.title)}: {asked}", "needs")
            continue
        for rule, text in _value_doubts(slot, said.value, farm):
            note(slot.name, text, rule)
        if said.approximate:
            note(slot.name, f"{_capital(slot.title)}: is {_shown(said.value)} near enough?")
        if said.bare:
            note(slot.name, _unit_doubt(slot, said.value), "unit")
    for place in event.places:
        if not place.known:
            note("place", _place_doubt(place.value, farm))
    return doubts


def _place_doubt(said: str, farm: Farm) -> str:
    names = [place.name for place in farm.places]
    lettered = len(said.split()[-1]) == 1  # "coop z" is as near to one letter as to another
    near = [] if lettered else get_close_matches(said, names, n=1, cutoff=0.75)
    asked = f"is it {near[0]}?" if near else "which one is it?"
    return f"The farm file has no place {said!r}; {asked}"


def _unit_doubt(slot: Slot, value: SlotValue) -> str:
    if isinstance(value, Quantity) and not value.unit:
        return f"{_capital(slot.title)}: {value.value:g} of what?"
    return f"{_capital(slot.title)}: is {_shown(value)} the unit meant?"


def _value_doubts(slot: Slot, value: SlotValue, farm: Farm) -> list[tuple[str, str]]:
    """The catalogue's keys that a value goes against, each with its doubt."""
    number = value.value if isinstance(value, Quantity) else value
    if isinstance(number, str | bool):
        return []
    if (slot.low is not None and number < slot.low) or (
        slot.high is not None and number > slot.high
    ):
        doubt = f"{_capital(slot.title)}: {_shown(value)} is hard to believe; is it right?"
        return [("low, high", doubt)]
    birds = sum(flock.count or 0 for flock in farm.flocks)
    if slot.at_most_birds and birds and number > birds:
        more = f"more than the {birds} birds of the farm"
        return [
            ("at_most_birds", f"{_capital(slot.title)}: {_shown(value)} is {more}; is it right?")
        ]
    return []


def _certainty(event: Event, doubts: int) -> float:
    beyond = max(0.0, event.reading.score - ENOUGH)
    sure = 0.8 + 0.18 * min(1.0, beyond / 3)
    return round(max(0.05, min(_SUREST, sure) - DOUBTED * doubts), 2)


def _shown(value: SlotValue) -> str:
    if isinstance(value, Quantity):
        return f"{value.value:g} {value.unit}"
    return str(value)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
