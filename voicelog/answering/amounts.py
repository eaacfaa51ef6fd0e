"""Adds amounts up: what a slot comes to, in the unit asked for or the one said most.

Amounts in different units are converted only where they must be, by the sums of the trade and
the farm's own measures (what its scoop holds).
"""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.answering.ground import Ground
from voicelog.answering.question import Subject
from voicelog.answering.selecting import Selection
from voicelog.catalogue import SlotType
from voicelog.husbandry import converted
from voicelog.records.wanted import UnitSum
from voicelog.types import Quantity

_DIGITS = 6
"""Sums are rounded to this many decimals: conversion leaves errors far below."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """What a slot comes to."""

    amounts: tuple[Quantity, ...]
    """One amount; several where the units do not convert; empty where nothing is recorded."""
    records: int


def total(
    ground: Ground, selection: Selection, subject: Subject, slot: str, unit: str | None, noun: str
) -> Total:
    """What a slot of the records comes to.

    Args:
        ground: what the answer stands on.
        selection: the records.
        subject: the reading they were selected by.
        slot: the slot that is added up.
        unit: the unit asked for; None leaves it to the records.
        noun: one thing of what a bare number counts; empty where it counts nothing.
    """
    parts = _by_stuff(ground, selection, subject, slot)
    records = sum(part.records for _, part in parts)
    if not parts:
        return Total(amounts=(), records=0)
    wish = unit or _usual(parts) or noun
    sure: dict[str, float] = {}
    for stuff, part in parts:
        value = convert(ground, part.total, part.unit or noun, wish, stuff)
        key = wish if value is not None else part.unit or noun
        sure[key] = sure.get(key, 0) + (part.total if value is None else value)
    return Total(
        amounts=tuple(Quantity(value=tidy(value), unit=key) for key, value in sure.items()),
        records=records,
    )


def tidy(value: float) -> int | float:
    """A number without the dust of conversion, whole where it is."""
    rounded = round(value, _DIGITS)
    return int(rounded) if float(rounded).is_integer() else rounded


def convert(
    ground: Ground, value: float, unit: str, wish: str, stuff: tuple[str, ...]
) -> float | None:
    """A value in another unit; None where it does not convert.

    Args:
        ground: for the farm's measures.
        value: how much.
        unit: the unit it is in; any word that is no unit counts single things.
        wish: the unit wanted.
        stuff: words for what is measured, since a scoop of one feed holds more than of another.
    """
    return converted(value, unit, wish, ground.farm.measures, stuff)


def _usual(parts: list[tuple[tuple[str, ...], UnitSum]]) -> str | None:
    """The unit that most records say; None where most say a bare number."""
    records: dict[str | None, int] = {}
    for _, part in parts:
        records[part.unit] = records.get(part.unit, 0) + part.records
    return max(records, key=lambda unit: (records[unit], unit or ""))


def _by_stuff(
    ground: Ground, selection: Selection, subject: Subject, slot: str
) -> list[tuple[tuple[str, ...], UnitSum]]:
    """The sums of each unit, apart for each thing measured where measures differ by it."""
    kind = ground.catalogue.kind(subject.kind)
    common = (kind.name, *(v for values in subject.slots.values() for v in values))
    sums = selection.sums(slot)
    listed = ground.asking.listed.get(kind.name)
    declared = kind.slot(slot)
    needed = len(sums) > 0 and declared is not None and declared.type is SlotType.QUANTITY
    if not needed or listed is None or listed == slot or not ground.farm.measures:
        return [(common, part) for part in sums]
    rest = {part.unit: part for part in sums}
    found: list[tuple[tuple[str, ...], UnitSum]] = []
    for text in selection.texts(listed):
        for part in selection.having(listed, text).sums(slot):
            found.append(((*common, text), part))
            known = rest[part.unit]
            rest[part.unit] = UnitSum(
                unit=part.unit,
                total=known.total - part.total,
                records=known.records - part.records,
            )
    found.extend((common, part) for part in rest.values() if part.records)
    return found
