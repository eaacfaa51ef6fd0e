"""The days of a laying book: how many birds of laying age were alive on each, and recent rates.

A bird counts on the day it comes and on the day it is lost, always for the whole day (bookkeeping
judgement, grade M). A day nobody gathered is missing, not zero: what lies there belongs to the
next gathering.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero
from voicelog.husbandry.laying import LaidRow, LayingPeriod, hen_day_percent, laying_period

LAYS_FROM_WEEKS = 20
"""Upper end of 18 to 20 weeks (S7, B); others say 18 to 22 (S8, C), heritage breeds 20 to 28
(from memory, M)."""
RECENT_DAYS = (3, 7, 14)
"""Common practice, no source: a few days to notice, a week to judge, a fortnight to compare."""
_YEAR_DAYS = 365
_WEEK_DAYS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class BirdsLost:
    """Birds of a group that died, were sold or taken."""

    day: date
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BirdGroup:
    """Females that came together: bought, given or hatched on the farm."""

    count: int
    """Females only; of unsexed chicks the keeper says how many are."""
    came: date
    """The day they came, or hatched."""
    hatched: date | None = None
    """None: old enough to lay when they came."""
    lost: tuple[BirdsLost, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RecentRate:
    """The rate of the last days."""

    days: int
    """How many calendar days were asked for."""
    period: LayingPeriod | None
    """None where nothing was gathered in them."""


def laying_birds(
    groups: Iterable[BirdGroup], first: date, last: date, *, lays_from_weeks: float | None = None
) -> tuple[int, ...]:
    """Birds of laying age alive on each day, from groups that came and birds that were lost.

    Unit: birds, one number a day.
    Range: 0 and up.
    Source: S7, grade B, for 18 to 20 weeks to the first egg; S8, grade C, says 18 to 22. The
        last week of S7's, 20, is taken where `lays_from_weeks` is not given, so that young
        birds do not press the rate.

    Args:
        groups: with the birds each lost.
        first: first day.
        last: last day, included.
        lays_from_weeks: age in weeks from which a bird counts.

    Raises:
        RequestError: more birds were lost than came, a count is below 0, or `last` lies before
            `first`.
    """
    if last < first:
        raise RequestError(
            f"The days from {first} to {last} run backwards.",
            kept="Nothing was reckoned.",
            todo="Give the earlier day first.",
        )
    weeks = LAYS_FROM_WEEKS if lays_from_weeks is None else lays_from_weeks
    growing = timedelta(days=round(above_zero(weeks, "The age of the first egg") * _WEEK_DAYS))
    days = [first + timedelta(days=ahead) for ahead in range((last - first).days + 1)]
    listed = list(groups)
    for group in listed:
        _refuse_more_lost_than_came(group)
    return tuple(sum(_of_group(group, day, growing) for group in listed) for day in days)


def laying_days(
    alive: Sequence[float], first: date, gathered: Mapping[date, int]
) -> tuple[LaidRow, ...]:
    """One row a day for `laying_period`, `recent_rates` and `laying_drop`.

    Unit: rows of eggs and birds.
    Range: a day that `gathered` does not name has None, which is not 0.
    Source: bookkeeping judgement, grade M.

    Args:
        alive: birds of laying age, one number a day, as `laying_birds` gives them.
        first: the day of the first number.
        gathered: what each day's gatherings came to; days nobody gathered are absent.

    Raises:
        RequestError: a number is below 0, or a gathering lies outside the days.
    """
    days = [first + timedelta(days=ahead) for ahead in range(len(alive))]
    if outside := sorted(set(gathered) - set(days)):
        raise RequestError(
            f"A gathering on {outside[0]} lies outside the days reckoned.",
            kept="Nothing was reckoned.",
            todo="Give the birds of that day as well.",
        )
    return tuple(
        LaidRow(
            laid=None if day not in gathered else _whole(gathered[day]),
            hen_days=at_least_zero(birds, "The number of birds alive"),
        )
        for day, birds in zip(days, alive, strict=True)
    )


def recent_rate(rows: Sequence[LaidRow], days: int) -> RecentRate:
    """The rate of the gatherings of the last days.

    Where the first of these gatherings follows days nobody gathered, those days count with it,
    even if they lie before the days asked for: their eggs are in it.

    Unit: percent (hen-day production), in `period`.
    Range: as of `hen_day_percent`; of a few birds over three days it swings by chance, for
        thirty at 80 percent by about 4 points either way.
    Source: S1, grade A, for the formula; the missing days are bookkeeping judgement, grade M.

    Args:
        rows: one a day, the latest last.
        days: how many of the last days.

    Raises:
        RequestError: `days` is not above 0, or a number is below 0.
    """
    start = max(0, len(rows) - int(above_zero(days, "The number of days")))
    if all(row.laid is None for row in rows[start:]):
        return RecentRate(days=days, period=None)
    while start and rows[start - 1].laid is None:
        start -= 1
    window = rows[start:]
    if not sum(row.hen_days for row in window[: _after_last_gathering(window)]):
        return RecentRate(days=days, period=None)
    return RecentRate(days=days, period=laying_period(window))


def recent_rates(
    rows: Sequence[LaidRow], spans: Iterable[int] = RECENT_DAYS
) -> tuple[RecentRate, ...]:
    """The rates of the last 3, 7 and 14 days.

    Unit: percent, see `recent_rate`.
    Range: as of `recent_rate`.
    Source: S1, grade A, for the formula; the spans are common practice, no source, grade M.

    Raises:
        RequestError: a span is not above 0, or a number is below 0.
    """
    return tuple(recent_rate(rows, days) for days in spans)


def rate_of_year(laid: float, days: int = _YEAR_DAYS) -> float:
    """The mean rate of lay of a bird that lays so many in a year.

    Unit: percent.
    Range: 265 (S7, B) and 270 (S8, C) for commercial white hens, 72.6 and 74.0 percent; 150 to
        220 for heritage and dual-purpose breeds (from memory, M), 41 to 60 percent.
    Source: arithmetic on S7, grade D.

    Args:
        laid: eggs of one hen in a year.
        days: length of that year.

    Raises:
        RequestError: `laid` is below 0, or `days` not above 0.
    """
    return hen_day_percent(laid, days)


def _refuse_more_lost_than_came(group: BirdGroup) -> None:
    came = at_least_zero(group.count, "The number of birds that came")
    lost = sum(at_least_zero(loss.count, "The number of birds lost") for loss in group.lost)
    if lost > came:
        raise RequestError(
            f"Of {came:g} birds that came on {group.came}, {lost:g} are written down as lost.",
            kept="Nothing was reckoned.",
            todo="Correct the number that came, or the birds lost.",
        )


def _of_group(group: BirdGroup, day: date, growing: timedelta) -> int:
    counts_from = group.came
    if group.hatched is not None:
        counts_from = max(group.came, group.hatched + growing)
    if day < counts_from:
        return 0
    return group.count - sum(loss.count for loss in group.lost if loss.day < day)


def _whole(laid: int) -> int:
    return int(at_least_zero(laid, "The number laid"))


def _after_last_gathering(rows: Sequence[LaidRow]) -> int:
    return max(at for at, row in enumerate(rows, start=1) if row.laid is not None)
