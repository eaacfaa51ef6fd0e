"""What part of the birds lives, and whether the deaths of the last week are many."""

from __future__ import annotations

from datetime import datetime

from voicelog.answering import sentences
from voicelog.answering.trade_replies.birds import Alive, alive, flock_of
from voicelog.answering.trade_replies.footing import Footing, number_of, rounded, shown
from voicelog.farm import Flock
from voicelog.husbandry import Death, death_alarm, livability_percent
from voicelog.types import Answer, Record


def is_that_many(footing: Footing) -> Answer:
    """Whether so many were found dead that somebody is called."""
    return _told(footing, as_share=False)


def livability(footing: Footing) -> Answer:
    """What part of them is alive."""
    return _told(footing, as_share=True)


def _told(footing: Footing, *, as_share: bool) -> Answer:
    flocks = _flocks(footing)
    period = footing.asked.question.period
    since = None if period is None else period.from_
    records = [r for r in footing.done("lost", since=since) if _is_of(footing, r, flocks)]
    lost = [(r, _count(footing, r)) for r in records
            if not footing.is_one_of(r, "cause", "gone_alive")]  # fmt: skip
    lost = [(r, count) for r, count in lost if count]
    if not lost:
        return footing.untold([footing.say("no_losses")])
    birds = alive(footing, flocks)
    if birds.uncounted or not birds.groups:
        return footing.untold([footing.say("no_count_of_birds")])
    total = sum(count for _, count in lost)
    now_there = birds.on(footing.today)
    start = now_there + total
    percent = livability_percent(start, total)
    alarm = death_alarm(
        [Death(at=footing.ground.begins(r), count=n) for r, n in lost if _found_dead(footing, r)],
        footing.ground.now,
        start,
    )
    parts = [
        footing.say(
            "livability",
            lost=total,
            start=start,
            percent=shown(percent),
            since=_since(lost, footing),
        ),
        footing.say("by_records"),
        footing.say(f"alarm_{alarm.level}", day=alarm.in_a_day, week=alarm.in_a_week),
        *_others(footing, birds),
        *(advice.text for advice in alarm.advice),
        footing.sourced(
            *(figure.source for figure in alarm.reached), *(a.source for a in alarm.advice)
        )
        if alarm.advice
        else footing.sourced("S116", "from memory"),
    ]
    caution = footing.ground.catalogue.kind(footing.declared.slot("lost").kind).caution
    parts += footing.cautions([caution, *(advice.caution for advice in alarm.advice)])
    evidence = [record for record, _ in lost]
    if as_share:
        unit = footing.declared.units["percent"]
        return footing.told(rounded(percent), parts, evidence, unit=unit)
    return footing.told(alarm.level == "call", parts, evidence)


def _found_dead(footing: Footing, record: Record) -> bool:
    """Not taken by an animal, culled or gone; where nobody said how, it counts, to be safe."""
    return footing.slot(record, "cause") is None or footing.is_one_of(record, "cause", "found_dead")


def _count(footing: Footing, record: Record) -> int:
    return int(number_of(footing.slot(record, "lost")) or len(record.draft.birds))


def _flocks(footing: Footing) -> tuple[Flock, ...]:
    ground, general = footing.ground, footing.declared.values["any_class"]
    named = footing.asked.question.flocks
    classes = {ground.class_of(f) for f in named} - {None, *general}
    return tuple(f for f in ground.farm.flocks if not classes or f.class_ in classes)


def _is_of(footing: Footing, record: Record, flocks: tuple[Flock, ...]) -> bool:
    """Whether the birds lost were of these flocks; where all are asked about, they were."""
    if len(flocks) == len(footing.ground.farm.flocks):
        return True
    flock = flock_of(footing, record)
    said = record.draft.flock
    if flock is None and said is not None:
        return footing.ground.class_of(said) in {f.class_ for f in flocks}
    return flock in flocks


def _since(lost: list[tuple[Record, int]], footing: Footing) -> str:
    first: datetime = min(footing.ground.begins(record) for record, _ in lost)
    period = footing.asked.question.period
    start = first if period is None or period.from_ is None else period.from_
    return sentences.day(start.date())


def _others(footing: Footing, birds: Alive) -> list[str]:
    if not birds.unplaced:
        return []
    return [footing.say("lost_unplaced", birds=birds.unplaced)]
