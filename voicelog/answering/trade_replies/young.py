"""How old the young birds are, and what comes next for them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.answering import sentences
from voicelog.answering.trade_replies.footing import Footing
from voicelog.husbandry import DatedStep, converted, rearing_steps, week_of_life
from voicelog.types import Answer, Quantity, Record

_SHOWN = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class _Brood:
    """Young birds that hatched on one day."""

    name: str
    class_: str
    hatched: date
    record: Record | None
    """The record that says so; None where the farm file does."""


def age(footing: Footing) -> Answer:
    """How many days old the youngest of them are."""
    broods = _broods(footing)
    if not broods:
        return footing.untold([footing.say("no_young")])
    parts = [
        footing.say(
            "age",
            name=one.name,
            days=(footing.today - one.hatched).days,
            week=week_of_life(one.hatched, footing.today),
            hatched=sentences.day(one.hatched),
            by=footing.say("by_farm_file" if one.record is None else "by_record"),
        )
        for one in broods
    ]
    days = (footing.today - broods[0].hatched).days
    records = [one.record for one in broods if one.record is not None]
    unit = footing.declared.units["day"]
    return footing.told(days, parts, records, unit=unit, from_=footing.midnight(broods[0].hatched))


def next_steps(footing: Footing) -> Answer:
    """When the next thing is due for the youngest, and what is due now."""
    broods = _broods(footing)
    if not broods:
        return footing.untold([footing.say("no_young")])
    brood = broods[0]
    steps = rearing_steps(brood.hatched, brood.class_)
    today = footing.today
    now = [step for step in steps if step.from_ <= today <= step.to]
    ahead = [step for step in steps if step.from_ > today]
    parts = [
        footing.say("age_short", name=brood.name, days=(today - brood.hatched).days,
                    week=week_of_life(brood.hatched, today))
    ]  # fmt: skip
    parts += [_step(footing, "step_now", step) for step in now]
    coming = [step for step in ahead if step.from_ == ahead[0].from_] if ahead else []
    shown = [*coming, *[step for step in ahead if step not in coming]][: max(_SHOWN, len(coming))]
    parts += [_step(footing, "step_next", step) for step in shown]
    told = [*now, *shown]
    records = [] if brood.record is None else [brood.record]
    if not told:
        return footing.untold([*parts, footing.say("no_steps")])
    parts.append(footing.sourced(*(step.advice.source for step in told)))
    parts += footing.cautions(step.advice.caution for step in told)
    if not ahead:
        return footing.untold([*parts, footing.say("no_steps")])
    return footing.told(footing.midnight(ahead[0].from_), parts, records,
                        from_=footing.midnight(ahead[0].from_),
                        to=footing.midnight(ahead[0].to + timedelta(days=1)))  # fmt: skip


def _step(footing: Footing, name: str, step: DatedStep) -> str:
    return footing.say(
        name, from_=sentences.day(step.from_), to=sentences.day(step.to), text=step.advice.text
    )


def _broods(footing: Footing) -> list[_Brood]:
    """Flocks of young birds whose hatching is known, the youngest first."""
    young = footing.declared.values["young"]
    farm = footing.ground.farm
    named = set(footing.asked.question.flocks)
    flocks = [f for f in farm.flocks if f.class_ in young
              and (f.name in named or not named & {g.name for g in farm.flocks})]  # fmt: skip
    found = [
        _Brood(name=f.name, class_=f.class_, hatched=f.hatched, record=None)
        for f in flocks
        if f.hatched is not None and f.hatched <= footing.today
    ]
    if not found:
        name = flocks[0].name if flocks else footing.say("young")
        found = [
            _Brood(name=name, class_=young[0], hatched=day, record=record)
            for record, day in (*_hatchings(footing), *_arrivals(footing, young))
            if day <= footing.today
        ]
        found = [max(found, key=lambda one: one.hatched)] if found else []
    return sorted(found, key=lambda one: one.hatched, reverse=True)


def _hatchings(footing: Footing) -> list[tuple[Record, date]]:
    return [
        (record, footing.day_of(record))
        for record in footing.done("sat")
        if footing.is_one_of(record, "sat", "hatched_action")
    ]


def _arrivals(footing: Footing, young: tuple[str, ...]) -> list[tuple[Record, date]]:
    """Young birds that came: hatched that day, or so old as was said."""
    found = []
    for record in footing.done("came"):
        flock = record.draft.flock
        if flock is None or footing.ground.class_of(flock) not in young:
            continue
        day = footing.day_of(record)
        said = footing.slot(record, "came_age")
        if footing.is_one_of(record, "came_how", "hatched_how"):
            found.append((record, day))
        elif isinstance(said, Quantity):
            days = converted(said.value, said.unit, footing.declared.units["day"])
            if days is not None:
                found.append((record, day - timedelta(days=round(days))))
    return found
