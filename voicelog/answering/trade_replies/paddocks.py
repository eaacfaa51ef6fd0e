"""How long each piece of ground has rested, which is ready, and which comes next."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from voicelog.answering.trade_replies.footing import Footing
from voicelog.husbandry import Paddock, PaddockRest, paddock_rests
from voicelog.husbandry.pasture import FLOCK_REST, GRASS_REST
from voicelog.types import Answer, Quantity, Record


def rested(footing: Footing) -> Answer:
    """How long one has rested, or each of them, the longest rested first."""
    known = _rests(footing)
    if isinstance(known, Answer):
        return known
    rests, records = known
    named = [rest for rest in rests if rest.name in footing.asked.question.places]
    shown = named or rests
    counted = [rest for rest in shown if rest.days_rested is not None]
    parts = [_each(footing, shown), *_limits(footing)]
    if not counted:
        return footing.untold(parts)
    unit = footing.declared.units["day"]
    if len(shown) == 1:
        return footing.told(counted[0].days_rested or 0, parts, records, unit=unit)
    amounts = tuple(Quantity(value=rest.days_rested or 0, unit=unit) for rest in counted)
    return footing.told(amounts, parts, records)


def ready(footing: Footing) -> Answer:
    """Which have rested as long as grass needs; an empty list says that none has."""
    known = _rests(footing)
    if isinstance(known, Answer):
        return known
    rests, records = known
    names = tuple(
        r.name for r in rests if r.days_rested is not None and r.days_rested >= GRASS_REST.least
    )
    parts = [_each(footing, rests), *_limits(footing)]
    return footing.told(names, parts, records)


def next_one(footing: Footing) -> Answer:
    """The longest rested of those where no birds are."""
    known = _rests(footing)
    if isinstance(known, Answer):
        return known
    rests, records = known
    free = [rest for rest in rests if rest.days_rested]
    parts = [_each(footing, rests), *_limits(footing)]
    if not free:
        return footing.untold(parts)
    return footing.told((free[0].name,), parts, records)


def _rests(footing: Footing) -> tuple[tuple[PaddockRest, ...], tuple[Record, ...]] | Answer:
    wanted = footing.declared.values["paddock"]
    names = [place.name for place in footing.ground.farm.places if place.kind in wanted]
    if not names:
        return footing.untold([footing.say("no_paddocks")])
    last: dict[str, date] = {}
    records: dict[str, Record] = {}
    for name, day, record in _uses(footing, names):
        if name not in last or day >= last[name]:
            last[name], records[name] = day, record
    if not last:
        return footing.untold([footing.say("no_moves")])
    paddocks = [Paddock(name=name, last_used=last.get(name)) for name in names]
    rests = paddock_rests(paddocks, footing.today)
    used = dict.fromkeys(records[rest.name].id for rest in rests if rest.name in records)
    by_id = {record.id: record for record in records.values()}
    return rests, tuple(by_id[one] for one in used)


def _uses(footing: Footing, names: list[str]) -> Iterator[tuple[str, date, Record]]:
    """Each piece of ground with the last day of a stay on it, and the move that says so.

    A stay lasts until the same thing is moved to other ground; what was not moved on is there.
    """
    stands: dict[tuple[object, object], tuple[str, Record]] = {}
    for record in reversed(footing.done("moved")):
        to = _ground_moved_to(footing, record, names)
        if to is None or not footing.is_one_of(record, "moved", "stands"):
            continue
        key = (footing.slot(record, "moved"), record.draft.place)
        before = stands.get(key)
        if before is not None and before[0] != to:
            yield before[0], footing.day_of(record), record
        stands[key] = (to, record)
    for name, record in stands.values():
        yield name, footing.today, record


def _ground_moved_to(footing: Footing, record: Record, names: list[str]) -> str | None:
    to = footing.slot(record, "moved_to")
    if not isinstance(to, str):
        return None
    return next((name for name in names if name.casefold() == to.casefold()), None)


def _each(footing: Footing, rests: tuple[PaddockRest, ...] | list[PaddockRest]) -> str:
    said = [
        footing.say("rest_unknown", place=rest.name)
        if rest.days_rested is None
        else footing.say("rest_none", place=rest.name)
        if rest.days_rested == 0
        else footing.say("rest", place=rest.name, days=rest.days_rested, short=rest.days_short)
        if rest.days_short
        else footing.say("rest_enough", place=rest.name, days=rest.days_rested)
        for rest in rests
    ]
    return footing.say("rests", rests="; ".join(said))


def _limits(footing: Footing) -> list[str]:
    return [
        footing.say("by_records"),
        footing.say("rest_rule", least=GRASS_REST.least, most=GRASS_REST.most,
                    long=FLOCK_REST.least),
        footing.sourced("from memory", "S77"),
        *footing.cautions([footing.declared.values["move_caution"][0]]),
    ]  # fmt: skip
