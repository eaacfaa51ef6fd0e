"""Values in the form that a record's fields hold, by the catalogue.

A person says "twelve" or "three pounds"; here is decided which field of a record that is, and
what stands in the field afterwards.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeAlias

from voicelog.catalogue import Kind, Slot, SlotType, load_catalogue
from voicelog.catalogue.units import find_unit, parts_per_whole
from voicelog.types import Draft, Interval, Quantity, SlotValue

NewValue: TypeAlias = SlotValue | tuple[str, ...] | Interval | None

COMMON_FIELDS = ("kind", "status", "when", "place", "flock", "birds", "by")
"""The fields beside the slots that a person may correct."""


def fit(draft: Draft, field: str | None, value: SlotValue) -> tuple[str, NewValue] | None:
    """The field of a record and the value in the form that the field holds; None: it fits none.

    Without a field it is the kind's main number; where the record does not say that one, the
    one number that it does say.
    """
    kind = load_catalogue().kind(draft.kind)
    if field is not None:
        return _in_named_field(draft, kind, field, value)
    for slot in _numbers_first(kind, draft.slots):
        fitted = as_slot(slot, value, draft.slots.get(slot.name))
        if fitted is not None:
            return slot.name, fitted
    return None


def _in_named_field(
    draft: Draft, kind: Kind, field: str, value: SlotValue
) -> tuple[str, NewValue] | None:
    if field in COMMON_FIELDS:
        return field, (str(value),) if field == "birds" else value
    slot = kind.slot(field)
    fitted = None if slot is None else as_slot(slot, value, draft.slots.get(field))
    return None if fitted is None else (field, fitted)


def _numbers_first(kind: Kind, said: Mapping[str, SlotValue]) -> list[Slot]:
    """The main slot and the numbers that were said; first the one likeliest meant."""
    numbers = [slot for slot in kind.slots if slot.name in said and is_number(slot)]
    main = kind.slot(kind.main) if kind.main else None
    if main is None or not is_number(main):
        return numbers
    return [main, *numbers] if main.name in said or len(numbers) != 1 else [*numbers, main]


def is_number(slot: Slot) -> bool:
    """Whether a slot holds a number, with or without a unit."""
    return slot.type in (SlotType.COUNT, SlotType.QUANTITY, SlotType.DAYS)


def as_slot(slot: Slot, value: SlotValue, old: SlotValue | None = None) -> SlotValue | None:
    """A value in the form that a slot holds; None where it cannot be.

    A number without a unit takes the unit that the slot had, or the one usual for it.
    """
    if slot.type is SlotType.QUANTITY:
        return _as_quantity(slot, value, old)
    if slot.type is SlotType.COUNT:
        return _as_count(value)
    if slot.type is SlotType.DAYS:
        return _as_days(value)
    if not isinstance(value, str):
        return None
    return value if slot.type is SlotType.WORDS or slot.value_named(value) else None


def _as_quantity(slot: Slot, value: SlotValue, old: SlotValue | None) -> SlotValue | None:
    if isinstance(value, Quantity):
        unit = find_unit(value.unit)
        return value if unit is None or unit.dimension in slot.dimensions else None
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value if slot.as_said and isinstance(value, str) else None
    if isinstance(old, Quantity):
        return replace(old, value=value)
    return Quantity(value=value, unit=slot.unit) if slot.unit else None


def _as_count(value: SlotValue) -> SlotValue | None:
    if isinstance(value, Quantity):
        unit = find_unit(value.unit)
        return value.value * unit.factor if unit and unit.factor else None
    return value if _is_bare(value) else None


def _as_days(value: SlotValue) -> SlotValue | None:
    if isinstance(value, Quantity):
        unit = find_unit(value.unit)
        if unit is None:
            return None
        days = 1 if unit.name == "day" else parts_per_whole("day", unit.name)
        return value.value * days if days else None
    return value if _is_bare(value) else None


def _is_bare(value: SlotValue) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
