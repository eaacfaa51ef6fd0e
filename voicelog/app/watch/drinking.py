"""Whether a flock drinks less than in the days before.

A day is judged when as much of it is written down as of most days before; where that never comes,
it is judged by the first note of the day after. So no morning looks dry because the evening's
round is still to come.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from statistics import median_low

from voicelog.app.watch.dangers import Warned, warned
from voicelog.app.watch.ground import Ground
from voicelog.records import Wanted
from voicelog.sentences import amount_text, number_text
from voicelog.types import Quantity, Record, Status

_DAYS = 7
"""Days compared with, as the sum of the trade has it."""


def drinking_warned(ground: Ground, record: Record) -> Warned | None:
    """A fall by a fifth or more against the seven days before, at the same place."""
    said = ground.watching.said("drunk", record.draft)
    if not isinstance(said, Quantity):
        return None
    day = ground.day(record)
    by_day = _by_day(ground, record, day)
    judged = _judged(record, day, by_day)
    if judged is None:
        return None
    from voicelog.husbandry import publications, water_change

    amounts = {on: _amount(ground, records, said.unit) for on, records in by_day.items()}
    before = [amounts[on] for on in sorted(amounts) if judged - _week() <= on < judged]
    today = amounts[judged]
    if today is None or any(amount is None for amount in before):
        return None
    change = water_change(today, [amount for amount in before if amount is not None])
    if change is None or not change.warned:
        return None
    filled = {
        "percent": number_text(round(-change.change_percent)),
        "today": number_text(round(today, 1)),
        "mean": number_text(round(change.mean_before, 1)),
        "unit": amount_text(2, said.unit).partition(" ")[2],
        "day": ground.day_text(judged),
        "source": "; ".join(publications(ground.watching.numbers["drunk_fall"].source)),
    }
    others = tuple(other.id for other in by_day[judged])
    return warned(ground, "drunk_less", filled, (record.id, *others))


def _week() -> timedelta:
    return timedelta(days=_DAYS)


def _by_day(ground: Ground, record: Record, day: date) -> Mapping[date, Sequence[Record]]:
    """Records with an amount at the same place, of the eight days before and of the day itself."""
    first = datetime.combine(day - _week() - timedelta(days=1), time(), tzinfo=ground.zone)
    last = datetime.combine(day + timedelta(days=1), time(), tzinfo=ground.zone)
    wanted = Wanted(
        kinds=(record.draft.kind,),
        statuses=(Status.DONE,),
        places=(record.draft.place,),
        when_from=first,
        when_to=last,
        as_of=ground.now,
    )
    found: dict[date, list[Record]] = defaultdict(list)
    for other in ground.store.find(wanted, newest_first=False):
        if ground.watching.said("drunk", other.draft) is not None:
            found[ground.day(other)].append(other)
    return found


def _judged(record: Record, day: date, by_day: Mapping[date, Sequence[Record]]) -> date | None:
    """The day that this record makes whole; None where it makes none."""
    usual = [len(records) for on, records in by_day.items() if day - _week() <= on < day]
    if not usual:
        return None
    here = by_day.get(day, ())
    if record.id == here[-1].id and len(here) == median_low(usual):
        return day
    yesterday = day - timedelta(days=1)
    earlier = [len(records) for on, records in by_day.items() if on < yesterday]
    short = yesterday in by_day and earlier and len(by_day[yesterday]) < median_low(earlier)
    return yesterday if short and record.id == here[0].id else None


def _amount(ground: Ground, records: Sequence[Record], unit: str) -> float | None:
    """What the records come to in one unit; None where one does not convert."""
    from voicelog.husbandry import converted

    found = 0.0
    for record in records:
        said = ground.watching.said("drunk", record.draft)
        assert isinstance(said, Quantity)
        stuff = (record.draft.kind,)
        amount = converted(said.value, said.unit, unit, ground.farm.measures, stuff)
        if amount is None:
            return None
        found += amount
    return found
