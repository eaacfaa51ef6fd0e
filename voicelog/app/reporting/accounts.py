"""What was bought and sold, and what that is for each dozen."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.gatherings import Gathering
from voicelog.app.reporting.page import Fact, Section, Table
from voicelog.app.reporting.wording import amount, laid_text, money, rounded
from voicelog.husbandry import Account, account, per_dozen, price_to_cover
from voicelog.sentences import counted, value_text
from voicelog.types import Quantity, Record

_CENTS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class _Paid:
    """One line of the account."""

    item: str
    money: Quantity


def money_section(gathered: Gathered, found: tuple[Gathering, ...]) -> Section | None:
    """The account of the period; None where no price was noted."""
    spent = _paid(gathered, "spent", "spent_on")
    earned = _paid(gathered, "earned", "earned_on")
    if not spent and not earned:
        return None
    currencies = dict.fromkeys(paid.money.unit for paid in (*spent, *earned))
    laid = sum(one.laid for one in found)
    held = sum(one.laid for one in found if one.held)
    facts: list[Fact] = []
    for currency in currencies:
        of = account(_values(spent, currency), _values(earned, currency))
        facts += _account_facts(gathered, of, currency)
        facts += _dozen_facts(gathered, of, currency, laid)
    notes = [gathered.say("money_note")]
    if held and laid:
        notes.append(gathered.say("money_held", laid=laid_text(gathered, held)))
    unpriced = _unpriced(gathered)
    if unpriced:
        notes.append(gathered.say("no_price", times=counted(unpriced, gathered.say("sale"))))
    return Section(
        facts=tuple(facts), tables=(_table(gathered, spent, earned),), notes=tuple(notes)
    )


def _paid(gathered: Gathered, price: str, item: str) -> tuple[_Paid, ...]:
    found = []
    for record in gathered.of(price):
        said = gathered.slot(record, price)
        if isinstance(said, Quantity) and said.value >= 0:
            name = gathered.slot(record, item)
            title = gathered.catalogue.kind(record.draft.kind).title
            found.append(_Paid(item=value_text(name) if name else title, money=said))
    return tuple(found)


def _values(paid: Iterable[_Paid], currency: str) -> list[float]:
    return [one.money.value for one in paid if one.money.unit == currency]


def _unpriced(gathered: Gathered) -> int:
    """Sales with an amount of which no price was said."""
    return sum(
        gathered.slot(record, "earned") is None and gathered.slot(record, "earned_for") is not None
        for record in gathered.of("earned")
    )


def _account_facts(gathered: Gathered, of: Account, currency: str) -> list[Fact]:
    return [
        Fact(
            name=name,
            label=gathered.say(name),
            text=money(value, currency),
            value=round(value, _CENTS),
            unit=currency,
        )
        for name, value in (("bought", of.cost), ("sold", of.sales), ("profit", of.profit))
    ]


def _dozen_facts(gathered: Gathered, of: Account, currency: str, laid: int) -> list[Fact]:
    facts = []
    if laid:
        cost, sales, profit = (per_dozen(sum_, laid) for sum_ in (of.cost, of.sales, of.profit))
        text = gathered.say(
            "per_dozen_text",
            cost=money(cost, currency),
            sales=money(sales, currency),
            profit=money(profit, currency),
        )
        facts.append(
            Fact(
                name="profit_per_dozen",
                label=gathered.say("per_dozen"),
                text=text,
                value=round(profit, _CENTS),
                unit=f"{currency} a {_dozen(gathered)}",
            )
        )
    dozens = sum(_dozens(gathered, record) or 0.0 for record in gathered.of("earned"))
    if dozens and of.cost:
        price = price_to_cover(of.cost, dozens)
        told = amount(dozens, _dozen(gathered))
        text = gathered.say("to_cover_text", price=money(price, currency), dozens=told)
        facts.append(
            Fact(
                name="price_to_cover",
                label=gathered.say("to_cover"),
                text=text,
                value=round(price, _CENTS),
                unit=f"{currency} a {_dozen(gathered)}",
            )
        )
    return facts


def _dozen(gathered: Gathered) -> str:
    return gathered.reporting.values["dozen"][0]


def _dozens(gathered: Gathered, record: Record) -> float | None:
    """How many dozens were sold; None for a sale of something else."""
    if not gathered.says(record, "earned_on", "sold_laid"):
        return None
    return gathered.amount(record, "earned_for", _dozen(gathered))


def _table(gathered: Gathered, spent: tuple[_Paid, ...], earned: tuple[_Paid, ...]) -> Table:
    rows = []
    for key, paid in (("bought", spent), ("sold", earned)):
        sums: dict[tuple[str, str], list[float]] = {}
        for one in paid:
            sums.setdefault((one.item, one.money.unit), []).append(one.money.value)
        for (item, currency), values in sorted(sums.items(), key=lambda i: -sum(i[1])):
            times = rounded(len(values))
            rows.append((gathered.say(key), item, times, money(sum(values), currency)))
    keys = ("what", "item", "times", "total")
    return Table(
        name="account",
        title=gathered.say("money_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(rows),
    )
