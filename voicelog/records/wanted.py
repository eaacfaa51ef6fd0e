"""What is asked of the store, and the shapes of its answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from voicelog.types import (
    ChangeKind,
    Interval,
    Record,
    SlotValue,
    Status,
    frozen_slots,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which records are asked for; a field left alone asks nothing.

    Names and texts are compared without regard to letter case or runs of spaces.
    """

    kinds: tuple[str, ...] = ()
    statuses: tuple[Status, ...] = ()
    places: tuple[str | None, ...] = ()
    """Place names; None among them means records that name no place."""
    flocks: tuple[str | None, ...] = ()
    """Flock names; None among them means records that name no flock."""
    other_than_flocks: tuple[str, ...] = ()
    """Flock names that the record must not name."""
    bird: str | None = None
    """A bird that the record must name."""
    slots: Mapping[str, SlotValue] = field(default_factory=frozen_slots)
    """Slot values the record must have; a quantity compares value and unit."""
    when_from: datetime | None = None
    """Aware; the record begins at or after it. See `when_to`."""
    when_to: datetime | None = None
    """Aware; the record begins before it. A record begins at its `from`; where that side is
    open, at its `to`; where both are, when its memo was said."""
    as_of: datetime | None = None
    """Aware; memos and changes later than this moment are not seen. A record corrected or
    withdrawn later shows as it was. None sees everything."""
    text: str | None = None
    """Words that must all stand, in any order, in the record's own words."""
    include_withdrawn: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NewChange:
    """A change to a stored record that is about to be kept."""

    record_id: int
    kind: ChangeKind
    at: datetime
    """Aware: when it was said or done in the review."""
    field: str | None = None
    """For a correction: a common field (`kind`, `status`, `when`, `when_said`, `place`,
    `flock`, `birds`, `by`) or a slot."""
    new: SlotValue | tuple[str, ...] | Interval | None = None
    """The value after it; None empties the field. An interval is kept as `interval_text`."""
    memo_id: int | None = None
    """The memo whose instruction makes the change; None for the review."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitSum:
    """What a slot adds up to in one unit."""

    unit: str | None
    """As said, in the singular; None for bare numbers."""
    total: int | float
    """Rounded to nine decimals."""
    records: int
    """How many records it is the sum of; at least one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayTotal:
    """What a slot adds up to in one unit on one calendar day."""

    day: date
    """The day on which the records begin, in the zone asked for."""
    unit: str | None
    total: int | float
    records: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Extremes:
    """The records with the lowest and the highest value of a slot in one unit."""

    unit: str | None
    lowest: Record
    """Of equals, the newest."""
    highest: Record


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRecord:
    """The newest record at one place."""

    place: str | None
    record: Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """What an import added, and what was there before."""

    memos: int
    records: int
    already_there: int
    """Memos left as they are, because the store holds an equal one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Something wrong with a store that a check found."""

    what: str
    todo: str
