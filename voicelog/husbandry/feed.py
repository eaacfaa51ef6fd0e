"""What is eaten, how long it lasts, and what comes of it.

Weights may be pounds, kilograms or grams, as long as one call keeps to one of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import accumulate
from math import floor

from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

_DOZEN = 12
_PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingDay:
    """When a supply ends, and when to buy so that it does not."""

    days_left: float
    runs_out: date
    """The first day for which there is not enough."""
    buy_by: date
    """The last day on which to buy or order; today where it is too late already."""
    late: bool
    """True where it runs out before what is bought today is there."""


def feed_per_day(birds: int, each: float) -> float:
    """What a flock eats in a day.

    Unit: that of `each`, a day.
    Range: `each` is 0.20 to 0.26 lb for laying hens (S35, A).
    Source: arithmetic on S35, grade D.

    Args:
        birds: how many eat.
        each: what one eats in a day.

    Raises:
        RequestError: a number is below 0.
    """
    at_least_zero(birds, "The number of birds")
    return birds * at_least_zero(each, "What one eats in a day")


def days_left(on_hand: float, per_day: float) -> float:
    """How long a supply lasts.

    Unit: days, with a fraction.
    Range: 0 and up; a 50 lb bag lasts thirty hens about 6.7 days at a quarter pound each.
    Source: arithmetic, grade D.

    Args:
        on_hand: what is there.
        per_day: what is eaten of it in a day, in the same unit.

    Raises:
        RequestError: `on_hand` is below 0, or `per_day` not above 0.
    """
    at_least_zero(on_hand, "What is on hand")
    return on_hand / above_zero(per_day, "What is eaten in a day")


def buying_day(on_hand: float, per_day: float, today: date, lead_days: int = 0) -> BuyingDay:
    """When a supply ends, and the last day on which to buy more.

    Unit: dates.
    Range: today or later. Complete feed keeps 4 to 8 weeks cool and dry, 2 to 3 hot or humid
        (from memory, M), so much more than that is not bought at once.
    Source: arithmetic on `days_left`, grade D.

    Args:
        on_hand: what is there.
        per_day: what is eaten of it in a day, in the same unit.
        today: the day on which it was counted, nothing yet eaten of that day's share.
        lead_days: from buying or ordering until it is there.

    Raises:
        RequestError: `on_hand` or `lead_days` is below 0, or `per_day` not above 0, or the supply
            outlasts the calendar.
    """
    days = days_left(on_hand, per_day)
    at_least_zero(lead_days, "The number of days until it is there")
    try:
        runs_out = today + timedelta(days=floor(round(days, 9)))
        buy_by = runs_out - timedelta(days=lead_days)
    except OverflowError as problem:
        raise RequestError(
            f"A supply for {days:g} days outlasts the calendar.",
            kept="Nothing was reckoned.",
            todo="Give what is on hand and what is eaten in a day in one unit.",
        ) from problem
    return BuyingDay(
        days_left=days, runs_out=runs_out, buy_by=max(today, buy_by), late=buy_by < today
    )


def feed_cost(eaten: float, cost: float, bought: float) -> float:
    """What the feed that was eaten has cost, by what was paid for a known weight of it.

    Unit: that of `cost`.
    Range: 0 and up.
    Source: arithmetic, grade D.

    Args:
        eaten: weight.
        cost: paid.
        bought: weight that was paid for, in the unit of `eaten`.

    Raises:
        RequestError: `eaten` or `cost` is below 0, or `bought` not above 0.
    """
    at_least_zero(eaten, "The weight eaten")
    at_least_zero(cost, "The cost")
    return eaten * cost / above_zero(bought, "The weight bought")


def feed_per_dozen(feed: float, laid: int) -> float:
    """Feed eaten for twelve eggs.

    Unit: that of `feed`, a dozen.
    Range: 3.3 lb (1.5 kg) and less as a commercial target (S6, A).
    Source: S6, grade A.

    Args:
        feed: eaten in the period, by every bird that eats from it.
        laid: eggs of the same period.

    Raises:
        RequestError: `feed` is below 0, or `laid` not above 0.
    """
    at_least_zero(feed, "The weight eaten")
    return feed * _DOZEN / above_zero(laid, "The number laid")


def feed_per_dozen_at(each: float, hen_day_percent: float) -> float:
    """Feed for twelve eggs, foreseen from what one hen eats in a day and how well she lays.

    Unit: that of `each`, a dozen.
    Range: 3.3 lb at 90 percent to 6 lb at 50 percent, for a quarter pound a day.
    Source: arithmetic on S6, grade D.

    Args:
        each: eaten by one hen in a day.
        hen_day_percent: hen-day production.

    Raises:
        RequestError: `each` is below 0, or `hen_day_percent` not above 0.
    """
    at_least_zero(each, "What one eats in a day")
    return each * _DOZEN * _PERCENT / above_zero(hen_day_percent, "The rate of lay")


def feed_conversion(feed: float, gained: float) -> float:
    """Feed eaten for one of weight gained; what was eaten by birds that died counts too.

    Unit: none (weight for weight).
    Range: 1.4 to 1.6 for today's meat birds at market age (S44, C), about 1.07 in their first
        week (S41, A); slower strains 2 and above (S42, B).
    Source: S44, grade C.

    Args:
        feed: eaten.
        gained: live weight at the end, or gain, in the unit of `feed`.

    Raises:
        RequestError: `feed` is below 0, or `gained` not above 0.
    """
    at_least_zero(feed, "The weight eaten")
    return feed / above_zero(gained, "The weight gained")


def running_totals(weekly: Iterable[float]) -> tuple[float, ...]:
    """What had been eaten by the end of each week.

    Unit: that of the rows.
    Range: never falls.
    Source: arithmetic; the table it is checked on is S42, grade B.

    Raises:
        RequestError: a week is below 0 or no number.
    """
    return tuple(accumulate(at_least_zero(week, "A week") for week in weekly))


def weekly_amounts(totals: Iterable[float]) -> tuple[float, ...]:
    """What was eaten in each week, from running totals: shows a misprinted week.

    Unit: that of the rows.
    Range: 0 and up.
    Source: arithmetic; the table it is checked on is S42, grade B.

    Raises:
        RequestError: the totals fall, or one is below 0 or no number.
    """
    listed = [at_least_zero(total, "A running total") for total in totals]
    before = [0.0, *listed]
    for week, (last, total) in enumerate(zip(before, listed, strict=False), start=1):
        if total < last:
            raise RequestError(
                f"The running total falls from {last:g} to {total:g} in week {week}.",
                kept="Nothing was reckoned.",
                todo="Give totals that count everything since the beginning.",
            )
    return tuple(total - last for last, total in zip(before, listed, strict=False))
