"""What a phrase of time says, before it is put on the calendar."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from typing import Literal, TypeAlias

from voicelog.text.sun import Sky
from voicelog.text.times.atoms import Atom, Kind
from voicelog.types import Interval, Precision

Lean: TypeAlias = Literal["past", "future", "none"]


Found: TypeAlias = tuple[Interval, int] | None
"""A time put on the calendar, and the place after its words."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What a phrase is read against."""

    now: datetime
    lean: Lean
    sky: Sky | None
    depth: int = 0
    """How deep the phrase lies in others: "the end of the first week of may"."""

    @property
    def today(self) -> date:
        """The day of the memo."""
        return self.now.date()

    @property
    def zone(self) -> tzinfo | None:
        """The memo's zone."""
        return self.now.tzinfo

    @property
    def too_deep(self) -> bool:
        """Whether no further phrase may lie inside; nobody speaks that way."""
        return self.depth > 2

    def deeper(self) -> Setting:
        """The setting of a phrase inside this one."""
        return replace(self, depth=self.depth + 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class DateSaid:
    """A date of which only some parts were said; the rest follows from the lean."""

    year: int | None = None
    month: int | None = None
    day: int | None = None
    weekday: int | None = None
    nth: int | None = None
    """Which of the weekdays of the month; -1 is the last."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockSaid:
    """A time of day as it was said."""

    hour: int = 0
    minute: int = 0
    second: int = 0
    half: int | None = None
    """0 for am, 12 for pm."""
    exact: bool = False
    """True where the hour is one of 24."""
    sun: str = ""
    """Dawn, sunrise, sunset or dusk instead of an hour."""
    precision: Precision = Precision.MINUTE


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSaid:
    """A part of a day."""

    first: int
    last: int
    """Hours; past 24 those of the next day."""
    third: int | None = None


DateLike: TypeAlias = DateSaid | Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One phrase: a date, a part of the day and a clock time, in any order, each at most once."""

    first: int
    after: int
    """Half-open range of atoms."""
    date: DateLike | None = None
    part: PartSaid | None = None
    clock: ClockSaid | None = None


@dataclass(frozen=True, slots=True)
class Atoms:
    """The atoms of a text, with an end mark wherever one reads past them."""

    found: list[Atom]

    def __len__(self) -> int:
        return len(self.found)

    def __getitem__(self, at: int) -> Atom:
        return self.found[at] if 0 <= at < len(self.found) else _NOTHING

    def word(self, at: int) -> str:
        """The word at a place, or nothing."""
        return self[at].word

    def is_word(self, at: int, *choices: str) -> bool:
        """Whether one of these words stands at a place."""
        return self[at].word in choices

    def skip(self, at: int, *choices: str) -> int:
        """The place after a word that may stand there."""
        return at + 1 if self[at].word in choices else at


_NOTHING = Atom(Kind.END, 0, 0, "")
