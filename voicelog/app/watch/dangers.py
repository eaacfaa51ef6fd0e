"""Deaths that call for a vet or the agency, eggs that are kept back, a line that is down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

from voicelog.app.watch.ground import Ground
from voicelog.app.watch.kept_back import concerns, holds, told
from voicelog.catalogue import load_catalogue
from voicelog.records import Wanted
from voicelog.sentences import number_text
from voicelog.types import Quantity, Record, SlotValue, Status

_WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Warned:
    """What a memo warns of."""

    what: str
    """Its name in the catalogue."""
    text: str
    """One line: what is wrong, and what to do."""
    caution: str | None
    """The words of the caution that goes with it."""
    gravity: int
    evidence: tuple[int, ...]
    """Ids of the records it rests on, the one of this memo first."""


def warned(
    ground: Ground,
    what: str,
    filled: Mapping[str, object],
    evidence: tuple[int, ...],
    caution: str | None = None,
) -> Warned:
    """A warning in the catalogue's words; `caution` names another than the line's own."""
    line = ground.line(what)
    text = f"{line.words} {line.because}".format(**filled)
    words = ground.caution(line)
    if caution is not None:
        words = load_catalogue().caution(caution).text
    return Warned(
        what=what,
        text=text,
        caution=words,
        gravity=line.gravity,
        evidence=tuple(dict.fromkeys(evidence)),
    )


def deaths_warned(ground: Ground, record: Record) -> Warned | None:
    """A death that is the second in a day, or one too many in a week, by the small-flock counts.

    Birds taken by an animal, sold or culled do not count; deaths of no known cause do.
    """
    if not _died(ground, record):
        return None
    from voicelog.husbandry import Death, death_alarm

    (kind,) = ground.watching.kinds("died")
    at = ground.begins(record)
    wanted = Wanted(
        kinds=(kind,),
        statuses=(Status.DONE,),
        when_from=at - _WEEK,
        when_to=at + timedelta(microseconds=1),
        as_of=ground.now,
    )
    dead = [other for other in ground.store.find(wanted) if _died(ground, other)]
    deaths = [Death(at=ground.begins(one), count=_count(ground, one)) for one in dead]
    birds = sum(flock.count or 0 for flock in ground.farm.flocks)
    alarm = death_alarm(deaths, at, max(1, birds))
    if alarm.level != "call":
        return None
    others = tuple(one.id for one in dead if one.id != record.id)
    filled = {"day": alarm.in_a_day, "week": alarm.in_a_week, "advice": alarm.advice[0].text}
    return warned(ground, "deaths", filled, (record.id, *others), alarm.advice[0].caution)


def _died(ground: Ground, record: Record) -> bool:
    if record.draft.kind not in ground.watching.kinds("died"):
        return False
    cause = ground.watching.said("lost_cause", record.draft)
    return cause is None or ground.watching.says("died", record.draft)


def _count(ground: Ground, record: Record) -> int:
    said = ground.watching.said("lost_count", record.draft)
    if isinstance(said, int | float) and not isinstance(said, bool):
        return max(0, round(said))
    return max(1, len(record.draft.birds))


def eggs_warned(ground: Ground, record: Record) -> Warned | None:
    """What was gathered or sold while a treatment keeps it back, by the days that were said."""
    if not ground.watching.says("produce", record.draft):
        return None
    day = ground.day(record)
    running = [
        hold
        for hold in holds(ground)
        if ground.day(hold.given[0]) <= day <= hold.through and concerns(ground, hold, record.draft)
    ]
    if not running:
        return None
    hold = max(running, key=lambda one: one.through)
    line = ground.line("kept_back")
    return Warned(
        what="kept_back",
        text=told(ground, f"{line.words} {line.because}", hold),
        caution=ground.caution(line),
        gravity=line.gravity,
        evidence=(record.id, *hold.evidence),
    )


def line_warned(ground: Ground, record: Record) -> Warned | None:
    """A reading under what netting needs."""
    kilovolts = _kilovolts(ground, ground.watching.said("reading", record.draft))
    if kilovolts is None:
        return None
    from voicelog.husbandry import fence_level, publications

    level = fence_level(kilovolts)
    if level.level not in ("down", "low"):
        return None
    floor = max(level.floors, key=lambda figure: figure.high)
    advice = level.advice[0]
    filled = {
        "reading": number_text(round(kilovolts, 3)),
        "least": number_text(floor.high),
        "source": "; ".join(publications(floor.source)),
        "advice": advice.text,
    }
    return warned(ground, level.level, filled, (record.id,), advice.caution)


def _kilovolts(ground: Ground, said: SlotValue | None) -> float | None:
    mark = ground.watching.marks["reading"][0]
    slot = load_catalogue().kind(mark.kind).slot(mark.slot or "")
    if slot is None or slot.unit is None or not isinstance(said, Quantity):
        return None
    from voicelog.husbandry import converted

    return converted(said.value, said.unit, slot.unit)
