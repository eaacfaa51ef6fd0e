"""The step of heat that a temperature of the air reaches."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, time, timedelta

from voicelog.app.watch.dangers import Warned, warned
from voicelog.app.watch.ground import Ground
from voicelog.catalogue.standards import load_standards
from voicelog.catalogue.units import find_unit
from voicelog.records import Wanted
from voicelog.sentences import number_text
from voicelog.types import Quantity, Record, SlotValue, Status

_FAHRENHEIT = "fahrenheit"
_WARNED = ("acted_for", "emergency")
"""Lines by their gravity: birds are acted for, and the last step of all."""


def heat_warned(ground: Ground, record: Record) -> Warned | None:
    """Heat at which birds are acted for: by the air, by a jump over yesterday, or as they pant."""
    today = _fahrenheit(ground, ground.watching.said("air", record.draft))
    if today is None:
        return None
    from voicelog.husbandry import heat_step

    day = ground.day(record)
    begin = datetime.combine(day, time(), tzinfo=ground.zone)
    (air,) = ground.watching.kinds("air")
    (signs,) = ground.watching.kinds("out_of_breath")
    before = _between(ground, air, begin - timedelta(days=1), begin)
    known = [_fahrenheit(ground, ground.watching.said("air", r.draft)) for r in before]
    yesterday = max((degrees for degrees in known if degrees is not None), default=None)
    seen = _between(ground, signs, begin, begin + timedelta(days=1))
    panting = [other for other in seen if ground.watching.says("out_of_breath", other.draft)]
    step = heat_step(today, yesterday, panting=bool(panting))
    listed = load_standards().heat
    least = ground.watching.numbers["warned_from_f"].value
    names = [one.name for one in listed if one.from_f >= least]
    if step is None or step.name not in names:
        return None
    filled = {
        "degrees": number_text(round(today, 1)),
        "step": step.name,
        "do": " ".join(step.do),
    }
    evidence = {"temperature": (), "jump": _ids(before), "sign": _ids(panting)}[step.because]
    what = _WARNED[step.name == listed[-1].name]
    return warned(ground, what, filled, (record.id, *evidence), step.caution)


def _between(ground: Ground, kind: str, first: datetime, until: datetime) -> tuple[Record, ...]:
    wanted = Wanted(
        kinds=(kind,), statuses=(Status.DONE,), when_from=first, when_to=until, as_of=ground.now
    )
    return ground.store.find(wanted)


def _ids(records: Iterable[Record]) -> tuple[int, ...]:
    return tuple(record.id for record in records)


def _fahrenheit(ground: Ground, said: SlotValue | None) -> float | None:
    """Degrees Fahrenheit; None where plain degrees may be of either scale."""
    if not isinstance(said, Quantity):
        return None
    unit = find_unit(said.unit)
    if unit is None:
        return None
    if unit.library is None:
        sure = ground.watching.numbers["surely_fahrenheit"].value
        return said.value if said.value >= sure else None
    from voicelog.husbandry import converted

    return converted(said.value, said.unit, _FAHRENHEIT)
