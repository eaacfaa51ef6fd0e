"""What is due of young birds by their age: a change of feed, more room, out of the warmth.

A step that a record can show done is shown until one does, or until it is long past; one that no
record can show is shown on its first days only.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from voicelog.app.watch.ground import Due, Ground
from voicelog.catalogue.units import find_unit, parts_per_whole
from voicelog.records import Wanted
from voicelog.types import Draft, Quantity, Record, SlotValue, Status, frozen_slots

if TYPE_CHECKING:
    from voicelog.husbandry import DatedStep

_SAME_DAYS = 3
"""Days apart within which two records of a hatch speak of the same one."""
_EARLY_DAYS = 14
"""How long before its first day a step may have been taken."""
_DAY = "day"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Brood:
    flock: str | None
    place: str | None
    class_: str
    """Of which the steps are."""
    hatched: date
    evidence: tuple[int, ...]


def rearing_due(ground: Ground) -> Iterator[Due]:
    """What is due today of all young birds whose day of hatching is known."""
    broods = _broods(ground)
    if not broods:
        return
    from voicelog.husbandry import rearing_steps

    for brood in broods:
        for step in rearing_steps(brood.hatched, brood.class_):
            if _is_shown(ground, step) and not _is_met(ground, brood, step, broods):
                yield _told(ground, brood, step)


def _broods(ground: Ground) -> list[_Brood]:
    found: list[_Brood] = []
    for brood in (*_of_farm(ground), *_of_records(ground)):
        at = next((at for at, other in enumerate(found) if _is_same(brood, other)), None)
        if at is None:
            found.append(brood)
        else:
            found[at] = _joined(found[at], brood)
    return found


def _of_farm(ground: Ground) -> Iterator[_Brood]:
    for flock in ground.farm.flocks:
        class_ = _class_of_steps(ground, flock.class_)
        if class_ is not None and flock.hatched is not None and _is_young(ground, flock.hatched):
            yield _Brood(
                flock=flock.name,
                place=flock.place,
                class_=class_,
                hatched=flock.hatched,
                evidence=(),
            )


def _of_records(ground: Ground) -> Iterator[_Brood]:
    watching = ground.watching
    days = watching.days("rearing_days")
    seen: set[int] = set()
    for record in (*ground.records("hatched", days), *ground.records("came", days)):
        hatched = _hatched(ground, record)
        named = ground.class_of(record.draft.flock)
        young = watching.classes["young"][0]
        here = watching.says("hatched", record.draft)
        class_ = _class_of_steps(ground, young if here and named is None else named)
        # A hen that hatched young ones is no young one herself.
        if here and class_ is None:
            class_ = young
        if record.id in seen or hatched is None or class_ is None:
            continue
        seen.add(record.id)
        if _is_young(ground, hatched):
            yield _Brood(
                flock=record.draft.flock,
                place=record.draft.place,
                class_=class_,
                hatched=hatched,
                evidence=(record.id,),
            )


def _hatched(ground: Ground, record: Record) -> date | None:
    """The day on which they hatched; None where neither it nor their age was said."""
    if ground.watching.says("hatched", record.draft):
        return ground.day(record)
    days = _days(ground.watching.said("age", record.draft))
    if days is None:
        return None
    try:
        return ground.day(record) - timedelta(days=days)
    except OverflowError:
        return None


def _days(age: SlotValue | None) -> int | None:
    if not isinstance(age, Quantity):
        return None
    unit = find_unit(age.unit)
    parts = 1 if unit and unit.name == _DAY else parts_per_whole(_DAY, unit.name if unit else "")
    return None if parts is None or age.value < 0 else round(age.value * parts)


def _class_of_steps(ground: Ground, class_: str | None) -> str | None:
    """The class whose steps of rearing a class takes; None where it takes none."""
    from voicelog.catalogue.stated import load_stated

    if class_ in ground.watching.classes["reared_as_young"]:
        return ground.watching.classes["young"][0]
    return class_ if class_ and load_stated("rearing").advice_of(class_) else None


def _is_young(ground: Ground, hatched: date) -> bool:
    return 0 <= (ground.today - hatched).days <= ground.watching.days("rearing_days")


def _is_same(one: _Brood, other: _Brood) -> bool:
    flocks = {one.flock, other.flock} - {None}
    return (
        one.class_ == other.class_
        and len(flocks) < 2
        and abs((one.hatched - other.hatched).days) <= _SAME_DAYS
    )


def _joined(one: _Brood, other: _Brood) -> _Brood:
    return _Brood(
        flock=one.flock or other.flock,
        place=one.place or other.place,
        class_=one.class_,
        hatched=one.hatched,
        evidence=(*one.evidence, *other.evidence),
    )


def _is_shown(ground: Ground, step: DatedStep) -> bool:
    watching, today = ground.watching, ground.today
    if step.advice.met_by is None:
        return 0 <= (today - step.from_).days < watching.days("step_shown")
    return step.from_ <= today <= step.to + timedelta(days=watching.days("step_lapses"))


def _is_met(ground: Ground, brood: _Brood, step: DatedStep, broods: Sequence[_Brood]) -> bool:
    """Whether a record shows a step taken; one that names no birds and no place may be any."""
    mark = step.advice.met_by
    if mark is None:
        return False
    begin = datetime.combine(step.from_ - timedelta(days=_EARLY_DAYS), time(), tzinfo=ground.zone)
    slots = {mark.slot: mark.value} if mark.slot and mark.value else None
    wanted = Wanted(
        kinds=(mark.kind,),
        statuses=(Status.DONE,),
        slots=frozen_slots(slots),
        flocks=(brood.flock, None),
        when_from=begin,
        when_to=ground.now + timedelta(microseconds=1),
        as_of=ground.now,
    )
    alone = len(broods) == 1
    return any(_is_about(brood, r.draft, alone=alone) for r in ground.store.find(wanted))


def _is_about(brood: _Brood, draft: Draft, *, alone: bool) -> bool:
    if draft.flock is not None:
        return draft.flock == brood.flock
    return alone if draft.place is None else draft.place == brood.place


def _told(ground: Ground, brood: _Brood, step: DatedStep) -> Due:
    from voicelog.husbandry import publications

    line = ground.line("step")
    advice = step.advice
    caution = None
    if advice.caution is not None:
        from voicelog.catalogue import load_catalogue

        caution = load_catalogue().caution(advice.caution).text
    young = brood.flock or ground.any_birds
    return Due(
        what="step",
        chore=line.words.format(text=advice.text),
        place=brood.place,
        birds=(young,),
        on=step.from_,
        overdue_days=max(0, (ground.today - step.to).days),
        because=line.because.format(
            whom=young,
            day=ground.day_text(brood.hatched),
            age=(ground.today - brood.hatched).days,
            first=advice.first_day,
            last=advice.last_day,
            source="; ".join(publications(advice.source)),
        ),
        caution=caution,
        evidence=brood.evidence,
    )
