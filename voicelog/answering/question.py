"""A question as it was understood: what is asked, and of which records."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from types import MappingProxyType

from voicelog.types import Interval


class Sort(StrEnum):
    """What kind of answer is asked for."""

    LAST = "last"
    """When it was done."""
    NEXT = "next"
    """When it is planned."""
    SINCE = "since"
    """How long ago it was done."""
    COUNT = "count"
    """How many times it was done."""
    SUM = "sum"
    """How many or how much in all."""
    VALUE = "value"
    """What the newest record says."""
    AVERAGE = "average"
    EXTREME = "extreme"
    """The highest or lowest value, day or place."""
    LIST = "list"
    """Which things."""
    WHERE = "where"
    WHO = "who"
    """Which birds, or who did it."""
    MISSING = "missing"
    """Which places or birds it was not done to."""
    YES_NO = "yes_no"
    COMPARE = "compare"
    """The first minus the second."""
    PLAN = "plan"
    """What is still to be done."""
    WITHHELD = "withheld"
    """Whether and how long eggs are kept back after a treatment."""
    LEFT = "left"
    """What is left to do today."""
    EVENTS = "events"
    """What was recorded, of whatever kind."""
    UNKNOWN = "unknown"


class Asked(StrEnum):
    """What the answer names."""

    SLOT = "slot"
    DAY = "day"
    PLACE = "place"
    BIRD = "bird"
    PERSON = "person"
    PLAN = "plan"
    DATE = "date"
    NUMBER = "number"
    WHETHER = "whether"


def no_slots() -> Mapping[str, tuple[str, ...]]:
    """No constraint on any slot."""
    return MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Span:
    """A half-open range of tokens."""

    first: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Noun:
    """What "which …" is followed by: the answer names one of these."""

    span: Span
    place_kind: str | None = None
    flock: str | None = None
    """The flock or class word where birds are asked for."""
    day: bool = False
    person: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """One reading of what the question is about: a kind of record and what its slots say."""

    kind: str
    slots: Mapping[str, tuple[str, ...]] = field(default_factory=no_slots)
    """By slot: the values that a record may have; any of them will do."""
    asked: tuple[str, ...] = ()
    """The slots asked for, in the order they were named."""
    named: tuple[str, ...] = ()
    """Of these, the ones that a word of the question names; the rest are understood."""
    asks_number: bool = False
    """True where the slots named hold numbers alone."""
    places: tuple[str | None, ...] = ()
    """Places where it was; None among them takes records without a place too."""
    clarity: float = 0.0
    """How much of the question speaks for this reading; only comparable within one question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question read."""

    text: str
    now: datetime
    sort: Sort
    subjects: tuple[Subject, ...] = ()
    """Readings that are as good as each other; the first that has a record answers."""
    places: tuple[str, ...] = ()
    """Places named, in the order said."""
    place_kind: str | None = None
    """The kind of place asked for ("which coops")."""
    among: str | None = None
    """The flock or class word of the birds asked for ("which hens")."""
    flocks: tuple[str, ...] = ()
    """Flocks or class words named."""
    birds: tuple[str, ...] = ()
    periods: tuple[Interval, ...] = ()
    unit: str | None = None
    """The unit asked for, in the singular as said."""
    asked: Asked = Asked.SLOT
    standing: bool = False
    """True where the question asks how things stand now and not what was done."""
    ahead: bool = False
    """True where what is to come is asked for."""
    undone: bool = False
    """True where it is what was not done that is asked for."""
    coming: tuple[Interval, ...] = ()
    """The periods named, as they lie ahead; empty where only what was done can be meant."""
    may_be_planned: bool = False
    """True where a plan answers if nothing was done: "are we moving it"."""
    overdue: bool = False
    """True where only plans whose time is past are asked for."""
    due: bool = False
    """True where the farm's chores may answer, and not only plans."""
    first: bool = False
    """True where the oldest is asked for and not the newest."""
    latest: bool = False
    """True where only the newest is asked for."""
    each: bool = False
    """True where each place is asked for by itself."""
    often: bool = False
    """True where it is how often that is compared, and not how much."""
    lowest: bool = False
    """True where the lowest is asked for and not the highest."""
    state: tuple[str, ...] = ()
    """Values of the state asked about ("is it on"); empty for none."""
    per_days: int = 1
    """The days over which an average is taken."""
    held: bool = False
    """True where a yes means that something is kept back: "is she in withdrawal"."""
    meat: bool = False
    """True where meat may be eaten is asked, for which days said for eggs do not count."""
    left_aside: tuple[str, ...] = ()
    """Words that took no part in the reading."""
    unknown: tuple[str, ...] = ()
    """Of these, the ones that stand where a bird or place does and name none of the farm."""

    @property
    def period(self) -> Interval | None:
        """The first period named, or None."""
        return self.periods[0] if self.periods else None
