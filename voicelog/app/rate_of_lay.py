"""How well the flocks laid in a period, by the number of birds that the farm file gives.

Losses since the farm file was written are not taken off: which flock lost a bird is often not
said, so the keeper sets the count right there, and the report says what it stands on.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from voicelog.app.notebook import Notebook
from voicelog.catalogue.laying import Laying, load_laying
from voicelog.farm import Farm
from voicelog.husbandry import LaidRow, LayingPeriod, laying_period
from voicelog.records import Wanted
from voicelog.types import Status


@dataclass(frozen=True, slots=True, kw_only=True)
class RateOfLay:
    """What was laid in a period for every hundred days of a living bird."""

    laying: Laying
    """What it is called and stands on."""
    period: LayingPeriod


def rate_of_lay(notebook: Notebook, first: date, now: datetime) -> RateOfLay | None:
    """The rate of the days from `first` until now; None where it cannot be told.

    It cannot where the farm file lacks the number of a laying flock, or nothing was gathered.
    Days before the first gathering ever recorded do not count.
    """
    farm, laying = notebook.setting.farm, load_laying()
    days = [first + timedelta(days=ahead) for ahead in range((now.date() - first).days + 1)]
    alive = [_alive(farm, laying, day) for day in days]
    zone = ZoneInfo(farm.timezone)
    begin = datetime.combine(first, time(), tzinfo=zone)
    wanted = Wanted(
        kinds=(laying.kind,),
        statuses=(Status.DONE,),
        when_from=begin,
        when_to=now + timedelta(microseconds=1),
        as_of=now,
    )
    laid: dict[date, int] = {}
    for total in notebook.reading.day_totals(wanted, laying.slot, zone):
        laid[total.day] = laid.get(total.day, 0) + round(total.total)
    if not laid or None in alive:
        return None
    before = Wanted(kinds=wanted.kinds, statuses=wanted.statuses, when_to=begin, as_of=now)
    if not notebook.reading.count(before):
        days = [day for day in days if day >= min(laid)]
    counted = dict(zip(days, alive[-len(days) :], strict=True))
    rows = [LaidRow(laid=laid.get(day), hen_days=birds or 0) for day, birds in counted.items()]
    if not sum(row.hen_days for row in rows[: days.index(max(laid)) + 1]):
        return None
    return RateOfLay(laying=laying, period=laying_period(rows))


def _alive(farm: Farm, laying: Laying, day: date) -> int | None:
    """Laying birds on a day; None where the number of a flock is not written down."""
    flocks = [flock for flock in farm.flocks if flock.class_ == laying.class_]
    there = [flock.count for flock in flocks if flock.since is None or flock.since <= day]
    return None if None in there else sum(count for count in there if count is not None)


def rate_form(rate: RateOfLay | None) -> dict[str, Any] | None:
    """A rate as JSON has it."""
    if rate is None:
        return None
    return {
        "title": rate.laying.title,
        "percent": round(rate.period.percent, 2),
        "laid": rate.period.laid,
        "bird_days": rate.period.hen_days,
        "days_not_covered": rate.period.uncovered,
        "basis": rate.laying.basis,
    }
