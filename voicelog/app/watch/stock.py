"""What is running short: said to be, or reckoned from what was bought and given.

It is reckoned only where every amount comes down to one unit through what the farm's measures
hold, and only from a moment at which the stock was known: when it was said to be used up or low,
or before it was first bought. Units that only a units library converts (pounds beside kilograms)
are left out: the library is too slow for a list that is looked at all day.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from voicelog.app.watch.ground import Due, Ground
from voicelog.catalogue import expand, load_catalogue
from voicelog.catalogue.units import find_unit, parts_per_whole
from voicelog.errors import RequestError
from voicelog.records import UnitSum, Wanted
from voicelog.sentences import number_text
from voicelog.types import Quantity, Record, Status, frozen_slots

_INSTANT = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Item:
    """Something that is bought again and again."""

    name: str
    given: str | None
    """How it is called where it is given out; None where it is not."""
    bought: tuple[Record, ...]
    short: tuple[Record, ...]
    """Records that said it is low or used up. Both in order of time."""


def shortages_due(ground: Ground) -> Iterator[Due]:
    """What should be bought by today."""
    for item in _items(ground):
        due = _said_short(ground, item) or _reckoned(ground, item)
        if due is not None:
            yield due


def _items(ground: Ground) -> list[_Item]:
    days = ground.watching.days("stock_days")
    bought, short = ground.records("stocked", days), ground.records("short", days)
    said = ground.watching.said
    names = dict.fromkeys(said("stock_item", r.draft) for r in (*bought, *short))
    return [
        _Item(
            name=str(name),
            given=_given(ground, str(name)),
            bought=tuple(r for r in bought if said("stock_item", r.draft) == name),
            short=tuple(r for r in short if said("stock_item", r.draft) == name),
        )
        for name in names
        if name is not None
    ]


def _given(ground: Ground, item: str) -> str | None:
    """The value by which a record says that this item was given out."""
    mark = ground.watching.marks["given"][0]
    slot = load_catalogue().kind(mark.kind).slot(mark.slot or "")
    assert slot is not None
    called = item.casefold()
    return next(
        (
            value.name
            for value in slot.values
            if called == value.name or any(called in expand(words) for words in value.words)
        ),
        None,
    )


def _said_short(ground: Ground, item: _Item) -> Due | None:
    if not item.short:
        return None
    last = item.short[-1]
    if any(ground.begins(record) > ground.begins(last) for record in item.bought):
        return None
    line = ground.line("run_short")
    return Due(
        what="run_short",
        chore=line.words.format(what=item.name),
        place=None,
        birds=(),
        on=ground.day(last),
        overdue_days=0,
        because=line.because.format(day=ground.day_text(ground.day(last))),
        caution=ground.caution(line),
        evidence=(last.id,),
    )


def _reckoned(ground: Ground, item: _Item) -> Due | None:
    anchor = _anchor(ground, item)
    if anchor is None or item.given is None:
        return None
    since = [record for record in item.bought if ground.begins(record) >= anchor]
    amounts = [_amount(ground, record) for record in since]
    units = [amount.unit for amount in amounts if amount is not None]
    if not units or len(units) < len(amounts):
        return None
    days = _days_of_use(ground, anchor)
    today = _midnight(ground, ground.today)
    given = _given_out(ground, item.given, anchor, ground.now + _INSTANT)
    lately = _given_out(ground, item.given, today - timedelta(days=days), today)
    if days < ground.watching.days("use_least_days") or not lately:
        return None
    coming = [UnitSum(unit=a.unit, total=a.value, records=1) for a in amounts if a is not None]
    unit = _plain_unit(ground, units, item.given)
    parts = [_in_unit(ground, sums, unit, item.given) for sums in (coming, given, lately)]
    if unit is None or any(part is None for part in parts):
        return None
    return _told(ground, item, since, unit, [part or [] for part in parts], days)


def _told(
    ground: Ground,
    item: _Item,
    since: Sequence[Record],
    unit: str,
    parts: Sequence[list[float]],
    days: int,
) -> Due | None:
    from voicelog.husbandry import buying_day, daily_use, stock_on_hand

    bought, given, lately = parts
    lead = ground.watching.numbers["lead"]
    try:
        stock = stock_on_hand(0, bought, given)
        use = daily_use(lately, days)
        buying = buying_day(stock.on_hand, use, ground.today, round(lead.value))
    except RequestError:
        return None
    wanted_by = buying.runs_out - timedelta(days=round(lead.value))
    if stock.missing or wanted_by > ground.today:
        # More was given than was bought: something was not noted, so nothing can be told.
        return None
    line = ground.line("buy")
    return Due(
        what="buy",
        chore=line.words.format(what=item.name),
        place=None,
        birds=(),
        on=wanted_by,
        overdue_days=(ground.today - wanted_by).days,
        because=line.because.format(
            left=number_text(round(buying.days_left, 1)),
            stock=number_text(round(stock.on_hand, 1)),
            use=number_text(round(use, 1)),
            unit=unit,
            lead=number_text(lead.value),
            source=lead.source,
        ),
        caution=ground.caution(line),
        evidence=tuple(record.id for record in since),
    )


def _anchor(ground: Ground, item: _Item) -> datetime | None:
    """The last moment at which nothing was there; None where the records do not go back to one."""
    if item.short:
        return ground.begins(item.short[-1])
    if not item.bought:
        return None
    first = ground.begins(item.bought[0])
    mark = ground.watching.marks["stocked"][0]
    slot = ground.watching.marks["stock_item"][0].slot
    before = Wanted(
        kinds=(mark.kind,),
        statuses=(Status.DONE,),
        slots=frozen_slots({mark.slot or "": mark.value or "", slot or "": item.name}),
        when_to=first,
        as_of=ground.now,
    )
    return None if ground.store.find(before, limit=1) else first


def _amount(ground: Ground, record: Record) -> Quantity | None:
    said = ground.watching.said("stock_amount", record.draft)
    return said if isinstance(said, Quantity) else None


def _days_of_use(ground: Ground, anchor: datetime) -> int:
    """Whole days before today over which the daily use is taken."""
    return min(ground.watching.days("use_days"), (ground.today - anchor.date()).days)


def _given_out(ground: Ground, given: str, first: datetime, until: datetime) -> tuple[UnitSum, ...]:
    """What was given out from one moment until another."""
    mark = ground.watching.marks["given"][0]
    (amount,) = ground.watching.marks["given_amount"]
    wanted = Wanted(
        kinds=(mark.kind,),
        statuses=(Status.DONE,),
        slots=frozen_slots({mark.slot or "": given}),
        when_from=first,
        when_to=until,
        as_of=ground.now,
    )
    return ground.store.sums(wanted, amount.slot or "")


def _midnight(ground: Ground, day: date) -> datetime:
    return datetime.combine(day, time(), tzinfo=ground.zone)


def _plain_unit(ground: Ground, units: Sequence[str], given: str) -> str | None:
    """The unit to reckon in: what a measure of this holds, else the unit it was bought in."""
    for measure in ground.farm.measures:
        if measure.of is not None and set(_words(measure.of)) <= set(_words(given)):
            return measure.holds.strip().partition(" ")[2].strip() or None
    return units[0]


def _words(text: str) -> list[str]:
    return text.casefold().replace("_", " ").split()


def _in_unit(
    ground: Ground, sums: Sequence[UnitSum], unit: str | None, given: str
) -> list[float] | None:
    """The amounts in one unit; None where one of them does not come down to it quickly."""
    from voicelog.husbandry import converted

    found: list[float] = []
    held = [measure.holds.strip().partition(" ")[2].strip() for measure in ground.farm.measures]
    for sum_ in sums:
        if unit is None or sum_.unit is None:
            return None
        if any(_needs_library(one, unit) for one in (sum_.unit, *held)):
            return None
        amount = converted(sum_.total, sum_.unit, unit, ground.farm.measures, (given,))
        if amount is None:
            return None
        found.append(amount)
    return found


def _needs_library(one: str, other: str) -> bool:
    """Whether two units measure the same, but neither is a whole number of the other."""
    known, wished = find_unit(one), find_unit(other)
    if known is None or wished is None or known.dimension != wished.dimension:
        return False
    if known.name == wished.name or not (known.library and wished.library):
        return False
    nested = parts_per_whole(known.name, wished.name) or parts_per_whole(wished.name, known.name)
    return nested is None
