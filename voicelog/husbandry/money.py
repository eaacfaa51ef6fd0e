"""What is in stock by what was bought and used, and what comes of it in money.

Amounts of one call are in one unit, money in one currency; sums do not hang on their order.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

_DOZEN = 12
_PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What should be there by the records."""

    on_hand: float
    """Never below 0."""
    missing: float
    """By how much more was used than was counted and bought: something was not noted; else 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """What came in and what went out in a period."""

    cost: float
    sales: float
    profit: float
    """Sales less cost; below 0 for a loss."""


def stock_on_hand(counted: float, bought: Iterable[float], used: Iterable[float]) -> Stock:
    """What should be there: what was last counted, and what was bought and used since.

    Unit: that of the amounts.
    Range: 0 and up; `missing` above 0 says that something was not noted.
    Source: arithmetic, grade D.

    Args:
        counted: at the beginning; 0 where nothing was there.
        bought: since then.
        used: since then.

    Raises:
        RequestError: an amount is below 0.
    """
    coming = [at_least_zero(amount, "An amount bought") for amount in bought]
    going = [at_least_zero(amount, "An amount used") for amount in used]
    left = fsum([at_least_zero(counted, "The amount counted"), *coming, *(-a for a in going)])
    return Stock(on_hand=max(0.0, left), missing=max(0.0, -left))


def account(costs: Iterable[float], sales: Iterable[float]) -> Account:
    """What was spent, what was taken, and what is left of it.

    Unit: that of the money.
    Range: any; what stands in stock and the keeper's own hours are not in it.
    Source: arithmetic, grade D.

    Raises:
        RequestError: a cost or a sale is below 0.
    """
    cost = fsum(at_least_zero(amount, "A cost") for amount in costs)
    taken = fsum(at_least_zero(amount, "A sale") for amount in sales)
    return Account(cost=cost, sales=taken, profit=taken - cost)


def per_dozen(money: float, laid: int) -> float:
    """Money for a dozen eggs: cost, sales or profit, whatever is given.

    Unit: that of `money`, a dozen.
    Range: any; below 0 for a loss.
    Source: arithmetic, grade D.

    Raises:
        RequestError: `laid` is not above 0, or `money` no number.
    """
    sign = -1 if money < 0 else 1
    at_least_zero(abs(money), "The sum of money")
    return sign * abs(money) * _DOZEN / above_zero(laid, "The number laid")


def price_to_cover(cost: float, sold_dozens: float) -> float:
    """What a dozen must bring so that the cost is covered.

    Unit: that of `cost`, a dozen.
    Range: 0 and up.
    Source: arithmetic, grade D.

    Args:
        cost: of the period.
        sold_dozens: in it; those eaten at home or given away bring nothing.

    Raises:
        RequestError: `cost` is below 0, or `sold_dozens` not above 0.
    """
    at_least_zero(cost, "The cost")
    return cost / above_zero(sold_dozens, "The number of dozens sold")


def margin_percent(period: Account) -> float:
    """Which part of what was taken is left.

    Unit: percent.
    Range: 100 and less; below 0 for a loss.
    Source: arithmetic, grade D.

    Raises:
        RequestError: nothing was sold.
    """
    return period.profit / above_zero(period.sales, "The sum of sales") * _PERCENT


def cost_of_one(cost: float, amount: float) -> float:
    """What one pound, bag or bale has cost.

    Unit: that of `cost`, for one of what `amount` counts.
    Range: 0 and up.
    Source: arithmetic, grade D.

    Raises:
        RequestError: `cost` is below 0, or `amount` not above 0.
    """
    at_least_zero(cost, "The cost")
    return cost / above_zero(amount, "The amount")


def daily_use(used: Iterable[float], days: int) -> float:
    """What is used of a supply in a day, over a period without gaps in the notes.

    Unit: that of the amounts, a day.
    Range: 0 and up.
    Source: arithmetic, grade D.

    Raises:
        RequestError: an amount is below 0, or `days` not above 0.
    """
    if days < 1:
        raise RequestError(
            f"A period of {days} days has no daily use.",
            kept="Nothing was reckoned.",
            todo="Give a period of one day or more.",
        )
    return fsum(at_least_zero(amount, "An amount used") for amount in used) / days
