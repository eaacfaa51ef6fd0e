"""How long a supply of what birds eat lasts: what was bought less what was given since."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.answering import sentences
from voicelog.answering.trade_replies.footing import Footing, rounded, shown
from voicelog.catalogue import expand_all
from voicelog.catalogue.trade_questions import slot_of
from voicelog.errors import RequestError
from voicelog.husbandry import BuyingDay, buying_day, convert, daily_use, stock_on_hand
from voicelog.types import Answer, Quantity, Record

_DAYS_OF_USE = 7
"""Days over which the daily use is taken; fewer where less is recorded. Common practice."""
_LEAST_DAYS = 2
"""Of a single day nobody knows what is usual."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What is there of one ration, in one unit of weight."""

    on_hand: float
    per_day: float
    missing: float
    days_counted: int
    buying: BuyingDay
    bought: tuple[Record, ...]
    given: tuple[Record, ...]
    without_amount: int
    """Records of giving it that name no amount and so take nothing off."""


def days_left(footing: Footing) -> Answer:
    """How many days it lasts."""
    return _told(footing, as_date=None)


def runs_out(footing: Footing) -> Answer:
    """The first day for which there is not enough."""
    return _told(footing, as_date="runs_out")


def buy_by(footing: Footing) -> Answer:
    """The last day on which to buy more."""
    return _told(footing, as_date="buy_by")


def _told(footing: Footing, *, as_date: str | None) -> Answer:
    ration = _ration(footing)
    if isinstance(ration, Answer):
        return ration
    label = ration.replace("_", " ")
    try:
        supply = _supply(footing, ration, label)
    except RequestError as problem:
        # What one measure holds is not known: the error says which one to weigh.
        return footing.untold([footing.say("no_measure", ration=label), problem.what, problem.todo])
    if isinstance(supply, Answer):
        return supply
    unit = footing.declared.units["weight"]
    parts = [
        footing.say(
            "supply",
            ration=label,
            left=sentences.amount(Quantity(value=rounded(supply.on_hand), unit=unit)),
            each_day=sentences.amount(Quantity(value=rounded(supply.per_day), unit=unit)),
            over=supply.days_counted,
            days=shown(supply.buying.days_left),
            runs_out=sentences.day(supply.buying.runs_out),
            buy_by=sentences.day(supply.buying.buy_by),
        ),
        footing.say("by_records"),
    ]
    if supply.missing:
        parts.append(footing.say("more_used", amount=shown(supply.missing), unit=unit))
    if supply.without_amount:
        parts.append(footing.say("without_amount", records=supply.without_amount))
    records = (*supply.bought, *supply.given)
    if as_date is None:
        return footing.told(
            rounded(supply.buying.days_left), parts, records, unit=footing.declared.units["day"]
        )
    day = supply.buying.runs_out if as_date == "runs_out" else supply.buying.buy_by
    return footing.told(footing.midnight(day), parts, records)


def _supply(footing: Footing, ration: str, label: str) -> Supply | Answer:
    unit = footing.declared.units["weight"]
    bought = _bought(footing, ration)
    if not bought:
        return footing.untold([footing.say("no_supply", ration=label)])
    start = footing.ground.begins(bought[-1])
    given = [r for r in _given(footing, ration) if footing.ground.begins(r) >= start]
    weighed = [(r, _weight(footing, r, "fed", ration, unit)) for r in given]
    used = [(r, weight) for r, weight in weighed if weight is not None]
    if not used:
        return footing.untold([footing.say("no_use", ration=label)])
    came = [w for r in bought if (w := _weight(footing, r, "bought", ration, unit)) is not None]
    if not came:
        return footing.untold([footing.say("no_supply", ration=label)])
    stock = stock_on_hand(0, came, [weight for _, weight in used])
    today = footing.today
    first = max(min(footing.day_of(r) for r, _ in used), today - timedelta(days=_DAYS_OF_USE))
    days = (today - first).days
    recent = [w for r, w in used if first <= footing.day_of(r) < today]
    if days < _LEAST_DAYS or not any(recent):
        return footing.untold([footing.say("no_use", ration=label)])
    per_day = daily_use(recent, days)
    fed_today = any(footing.day_of(r) == today for r, _ in used)
    from_: date = today + timedelta(days=1) if fed_today else today
    return Supply(
        on_hand=stock.on_hand,
        per_day=per_day,
        missing=stock.missing,
        days_counted=days,
        buying=buying_day(stock.on_hand, per_day, from_),
        bought=tuple(bought),
        given=tuple(r for r, _ in used),
        without_amount=sum(weight is None for _, weight in weighed),
    )


def _ration(footing: Footing) -> str | Answer:
    """What is asked about; where it is not named, the only one that was bought."""
    named = footing.asked.rations
    if named:
        return named[0]
    slot = slot_of(footing.ground.catalogue, footing.declared.slot("eaten"))
    bought = footing.done("bought")
    found = [v.name for v in slot.values if any(_is_of(footing, r, v.name) for r in bought)]
    if len(found) == 1:
        return found[0]
    listed = sentences.listed(one.replace("_", " ") for one in found)
    name = "which_one" if found else "no_supply"
    return footing.untold([footing.say(name, ration=footing.say("any_eaten"), choices=listed)])


def _bought(footing: Footing, ration: str) -> list[Record]:
    """What was bought since it was last used up, the newest first."""
    found: list[Record] = []
    for record in footing.done("bought"):
        if not _is_of(footing, record, ration):
            continue
        if footing.is_one_of(record, "supply_action", "used_up"):
            break
        if footing.is_one_of(record, "supply_action", "bought_action"):
            found.append(record)
    return found


def _is_of(footing: Footing, record: Record, ration: str) -> bool:
    """Whether the item bought is the ration, by the words that say it."""
    item = footing.slot(record, "item")
    if not isinstance(item, str):
        return False
    declared = slot_of(footing.ground.catalogue, footing.declared.slot("eaten"))
    value = declared.value_named(ration)
    said = item.casefold().replace("_", " ")
    return said == ration.replace("_", " ") or (
        value is not None and said in expand_all(value.words)
    )


def _given(footing: Footing, ration: str) -> list[Record]:
    """Records of giving it; what names nothing is it where no other was ever given."""
    records = footing.done("fed")
    named = {footing.slot(r, "eaten") for r in records} - {None}
    return [
        r for r in records
        if footing.slot(r, "eaten") == ration
        or (footing.slot(r, "eaten") is None and named <= {ration})
    ]  # fmt: skip


def _weight(footing: Footing, record: Record, slot: str, ration: str, unit: str) -> float | None:
    """How much a record speaks of, by weight; None where it names no amount.

    Raises:
        RequestError: what its measure holds is not known.
    """
    amount = footing.slot(record, slot)
    if not isinstance(amount, Quantity):
        return None
    kind = footing.declared.slot("fed").kind
    of = (kind, ration)
    return float(convert(amount, unit, footing.ground.farm.measures, of).value)
