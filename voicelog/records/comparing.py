"""When two names or values are the same, and when a record is of those wanted.

The questions in SQL and this room's neighbours in Python compare by the same rules, given here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from voicelog.records.moments import begins
from voicelog.records.wanted import Wanted
from voicelog.types import Quantity, Record, SlotValue


def folded(name: str) -> str:
    """A name or text as it is compared: no letter case, single spaces."""
    return " ".join(name.casefold().split())


def slot_columns(value: SlotValue) -> tuple[float | None, str | None, str | None]:
    """The `number`, `text` and `unit` of a slot's value; the first two say whether it is equal.

    A quantity has all three, its unit folded in `text`; a number has only the first.
    """
    if isinstance(value, Quantity):
        return _number(value.value), folded(value.unit), value.unit
    if isinstance(value, bool):
        return None, str(value).casefold(), None
    if isinstance(value, str):
        return None, folded(value), None
    return _number(value), None, None


def fits(wanted: Wanted, record: Record) -> bool:
    """Whether a record, as it stood at `wanted.as_of`, is one of those wanted."""
    draft = record.draft
    begun = begins(draft.when, record.memo_said_at)
    return (
        (wanted.include_withdrawn or not record.withdrawn)
        and (wanted.as_of is None or record.memo_said_at <= wanted.as_of)
        and (not wanted.kinds or draft.kind in wanted.kinds)
        and (not wanted.statuses or draft.status in wanted.statuses)
        and (wanted.when_from is None or begun >= wanted.when_from)
        and (wanted.when_to is None or begun < wanted.when_to)
        and (not wanted.places or _among(draft.place, wanted.places))
        and (not wanted.flocks or _among(draft.flock, wanted.flocks))
        and not (draft.flock is not None and _among(draft.flock, wanted.other_than_flocks))
        and (wanted.bird is None or _among(wanted.bird, draft.birds))
        and all(_equal(draft.slots.get(name), value) for name, value in wanted.slots.items())
        and all(word in folded(draft.text) for word in folded(wanted.text or "").split())
    )


def _among(name: str | None, names: Sequence[str | None]) -> bool:
    if name is None:
        return None in names
    return folded(name) in {folded(other) for other in names if other is not None}


def _equal(said: SlotValue | None, asked: SlotValue) -> bool:
    return said is not None and slot_columns(said)[:2] == slot_columns(asked)[:2]


def _number(number: int | float) -> float:
    try:
        return float(number)
    except OverflowError:
        # Hundreds of digits: the record's own text keeps them all.
        return math.copysign(math.inf, number > 0 or -1)
