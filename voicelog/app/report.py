"""Sums of a day, a week, a month or a season over everything the catalogue declares."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from voicelog.app.notebook import Notebook
from voicelog.app.period import first_day
from voicelog.app.rate_of_lay import RateOfLay, rate_form, rate_of_lay
from voicelog.catalogue import Kind, Slot, SlotType, load_catalogue
from voicelog.catalogue.laying import load_laying
from voicelog.errors import RequestError
from voicelog.records import Wanted
from voicelog.review.values import is_number
from voicelog.types import Quantity, Record, Status

_MONEY = "money"
"""The dimension of units that are paid with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotDays:
    """What one slot adds up to in one unit, or between what it lies where nothing adds up."""

    slot: str
    title: str
    unit: str | None
    total: int | float | None
    """None for what does not add up, such as temperatures."""
    lowest: int | float
    highest: int | float
    """Of single records."""
    days: tuple[tuple[date, int | float], ...]
    """Totals a day; empty for what does not add up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceCount:
    """How many records have one value of a slot."""

    slot: str
    title: str
    value: str
    records: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KindReport:
    """One kind of record over the period."""

    kind: str
    title: str
    records: int
    slots: tuple[SlotDays, ...]
    choices: tuple[ChoiceCount, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """What one kind's slot adds up to in one currency."""

    kind: str
    slot: str
    unit: str
    total: int | float


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """A chore at one place and the days of the period on which it was left."""

    record: str
    chore: str
    place: str | None
    days: tuple[date, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One period; only done records count."""

    period: str
    first: date
    last: date
    """Inclusive."""
    kinds: tuple[KindReport, ...]
    money: tuple[Money, ...]
    rate: RateOfLay | None
    """None where it cannot be told, or other kinds of record are asked for."""
    missing: tuple[Missing, ...]
    """Days before the last one only: the last day is not over."""


def report_of(notebook: Notebook, period: str, now: datetime, only: tuple[str, ...] = ()) -> Report:
    """The report of the calendar day, week, month or season of `now`, cut off at `now`.

    Raises:
        RequestError: one of `only` is no kind of record.
    """
    catalogue = load_catalogue()
    of_kinds(only)
    first = first_day(period, now.date())
    kinds = tuple(
        found
        for kind in catalogue.kinds
        if not only or kind.name in only
        if (found := _kind_report(notebook, kind, first, now)).records
    )
    return Report(
        period=period,
        first=first,
        last=now.date(),
        kinds=kinds,
        money=_money(kinds),
        rate=_rate(notebook, first, now, only),
        missing=tuple(
            gap for gap in _missing(notebook, first, now) if not only or gap.record in only
        ),
    )


def of_kinds(only: tuple[str, ...]) -> tuple[str, ...]:
    """The kinds of record asked for, as they were given.

    Raises:
        RequestError: one of them is no kind of record.
    """
    catalogue = load_catalogue()
    for name in only:
        if not catalogue.has_kind(name):
            raise RequestError(
                f"There is no kind of record {name!r}.",
                todo=f"Kinds are {', '.join(kind.name for kind in catalogue.kinds)}.",
            )
    return only


def _rate(
    notebook: Notebook, first: date, now: datetime, only: tuple[str, ...]
) -> RateOfLay | None:
    asked = not only or load_laying().kind in only
    return rate_of_lay(notebook, first, now) if asked else None


def _kind_report(notebook: Notebook, kind: Kind, first: date, now: datetime) -> KindReport:
    wanted = Wanted(
        kinds=(kind.name,),
        statuses=(Status.DONE,),
        when_from=datetime.combine(first, time(), tzinfo=now.tzinfo),
        when_to=now + timedelta(microseconds=1),
        as_of=now,
    )
    return KindReport(
        kind=kind.name,
        title=kind.title,
        records=notebook.reading.count(wanted),
        slots=tuple(
            found
            for slot in kind.slots
            if is_number(slot)
            for found in _slot_days(notebook, wanted, slot)
        ),
        choices=tuple(_choices(notebook, wanted, kind)),
    )


def _slot_days(notebook: Notebook, wanted: Wanted, slot: Slot) -> list[SlotDays]:
    store = notebook.reading
    zone = ZoneInfo(notebook.setting.farm.timezone)
    totals = store.day_totals(wanted, slot.name, zone) if slot.adds_up else ()
    sums = {sum_.unit: sum_.total for sum_ in store.sums(wanted, slot.name)} if slot.adds_up else {}
    return [
        SlotDays(
            slot=slot.name,
            title=slot.title,
            unit=ends.unit,
            total=sums.get(ends.unit),
            lowest=_number(ends.lowest, slot),
            highest=_number(ends.highest, slot),
            days=tuple((t.day, t.total) for t in totals if t.unit == ends.unit),
        )
        for ends in store.extremes(wanted, slot.name)
    ]


def _number(record: Record, slot: Slot) -> int | float:
    value = record.draft.slots[slot.name]
    number = value.value if isinstance(value, Quantity) else value
    assert isinstance(number, int | float)
    return number


def _choices(notebook: Notebook, wanted: Wanted, kind: Kind) -> list[ChoiceCount]:
    slots = [slot for slot in kind.slots if slot.type is SlotType.CHOICE]
    if not slots:
        return []
    records = notebook.reading.find(wanted, newest_first=False)
    found: list[ChoiceCount] = []
    for slot in slots:
        said = Counter(str(r.draft.slots[slot.name]) for r in records if slot.name in r.draft.slots)
        found.extend(
            ChoiceCount(slot=slot.name, title=slot.title, value=value, records=count)
            for value, count in said.most_common()
        )
    return found


def _money(kinds: tuple[KindReport, ...]) -> tuple[Money, ...]:
    catalogue = load_catalogue()
    return tuple(
        Money(kind=kind.title, slot=slot.title, unit=slot.unit, total=slot.total)
        for kind in kinds
        for slot in kind.slots
        if slot.unit and slot.total is not None
        if _is_money(catalogue.kind(kind.kind).slot(slot.slot))
    )


def _is_money(slot: Slot | None) -> bool:
    return slot is not None and _MONEY in slot.dimensions


def _missing(notebook: Notebook, first: date, now: datetime) -> list[Missing]:
    days: dict[tuple[str, str, str | None], list[date]] = {}
    for plan in notebook.past_plans(first, now):
        for task in plan.left:
            days.setdefault((task.record, task.chore, task.place), []).append(plan.date)
    return [
        Missing(record=record, chore=chore, place=place, days=tuple(on))
        for (record, chore, place), on in days.items()
    ]


def report_form(report: Report) -> dict[str, Any]:
    """A report as JSON has it."""
    return {
        "period": report.period,
        "from": report.first.isoformat(),
        "to": report.last.isoformat(),
        "kinds": [
            {
                "kind": kind.kind,
                "records": kind.records,
                "slots": [
                    {
                        "slot": slot.slot,
                        "unit": slot.unit,
                        "total": slot.total,
                        "lowest": slot.lowest,
                        "highest": slot.highest,
                        "days": [{"day": d.isoformat(), "total": t} for d, t in slot.days],
                    }
                    for slot in kind.slots
                ],
                "choices": [
                    {"slot": c.slot, "value": c.value, "records": c.records} for c in kind.choices
                ],
            }
            for kind in report.kinds
        ],
        "money": [
            {"kind": m.kind, "slot": m.slot, "unit": m.unit, "total": m.total} for m in report.money
        ],
        "laying": rate_form(report.rate),
        "missing": [
            {
                "record": gap.record,
                "chore": gap.chore,
                "place": gap.place,
                "days": [day.isoformat() for day in gap.days],
            }
            for gap in report.missing
        ],
    }
