"""What a dozen cost, and whether anything was earned: by what was bought and sold."""

from __future__ import annotations

from datetime import datetime, timedelta

from voicelog.answering import sentences
from voicelog.answering.ground import INSTANT
from voicelog.answering.trade_replies.footing import Footing, number_of, rounded, shown
from voicelog.husbandry import account, converted, per_dozen
from voicelog.types import Answer, Interval, Precision, Quantity, Record

_CENTS = 2


def dozen_cost(footing: Footing) -> Answer:
    """What was spent in a period for every dozen laid in it."""
    period = _period(footing)
    during = sentences.during(period, footing.ground.now)
    costs, spent = _money(footing, "cost", period)
    laid = [(r, number_of(footing.slot(r, "laid"))) for r in _within(footing, "laid", period)]
    gathered = [(r, count) for r, count in laid if count is not None]
    number = int(sum(count for _, count in gathered))
    if not costs:
        return footing.untold([footing.say("no_costs", during=during)])
    if not number:
        return footing.untold([footing.say("none_laid", during=during)])
    each = per_dozen(spent, number)
    currency = footing.ground.farm.currency
    parts = [
        footing.say(
            "dozen_cost",
            each=_amount(each, currency),
            spent=_amount(spent, currency),
            laid=number,
            during=during,
        ),
        footing.say("by_records"),
        footing.say("cost_rule"),
    ]
    return footing.told(
        rounded(each, _CENTS),
        parts,
        (*costs, *(record for record, _ in gathered)),
        unit=currency,
        from_=period.from_,
        to=period.to,
    )


def earned(footing: Footing) -> Answer:
    """Whether more was taken than spent, or the other way round where loss is asked for."""
    period = _period(footing)
    during = sentences.during(period, footing.ground.now)
    currency = footing.ground.farm.currency
    costs, spent = _money(footing, "cost", period)
    sales, taken = _money(footing, "sold_for", period)
    if not costs and not sales:
        return footing.untold([footing.say("no_money", during=during)])
    if not costs:
        return footing.untold(
            [footing.say("no_costs", during=during),
             footing.say("only_sales", amount=_amount(taken, currency))])  # fmt: skip
    if not sales:
        return footing.untold(
            [footing.say("no_sales", during=during),
             footing.say("only_costs", amount=_amount(spent, currency))])  # fmt: skip
    sums = account([spent], [taken])
    name = "profit" if sums.profit > 0 else "loss" if sums.profit < 0 else "even"
    parts = [
        footing.say(
            name,
            amount=_amount(abs(sums.profit), currency),
            sales=_amount(sums.sales, currency),
            cost=_amount(sums.cost, currency),
            during=during,
        ),
        footing.say("by_records"),
        footing.say("cost_rule"),
    ]
    value = sums.profit < 0 if footing.asked.has("lost_money") else sums.profit > 0
    return footing.told(value, parts, (*sales, *costs), from_=period.from_, to=period.to)


def _period(footing: Footing) -> Interval:
    """The period named; else this month until now."""
    named = footing.asked.question.period
    if named is not None:
        return named
    start: datetime = footing.midnight(footing.today.replace(day=1))
    end = footing.midnight((start.date() + timedelta(days=32)).replace(day=1))
    return Interval(from_=start, to=end, precision=Precision.MONTH)


def _within(footing: Footing, slot: str, period: Interval) -> tuple[Record, ...]:
    end = footing.ground.now + INSTANT if period.to is None else period.to
    return footing.done(slot, since=period.from_, until=end)


def _money(footing: Footing, slot: str, period: Interval) -> tuple[list[Record], float]:
    """Records that name a sum of money, and what they come to in the farm's currency."""
    currency = footing.ground.farm.currency
    found, total = [], 0.0
    for record in _within(footing, slot, period):
        said = footing.slot(record, slot)
        if not isinstance(said, Quantity):
            continue
        value = converted(said.value, said.unit, currency)
        if value is not None:
            found.append(record)
            total += value
    return found, total


def _amount(value: float, currency: str) -> str:
    return f"{shown(value, _CENTS)} {sentences.plural(currency, rounded(value, _CENTS))}"
