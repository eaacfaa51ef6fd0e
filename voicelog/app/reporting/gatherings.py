"""Every gathering of a period, and the laying book that is made of them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date

from voicelog.app.reporting.gathered import Gathered, plain_number
from voicelog.app.reporting.holding import Holds
from voicelog.husbandry import ExpectedRate, LaidRow, LayingPeriod


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathering:
    """What was gathered at one place on one day."""

    day: date
    place: str
    laid: int
    held: bool
    unsaid: bool
    """Held back because nobody said for how long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates:
    """The days of the laying book, from the one on which the eggs counted begin."""

    first: date
    rows: tuple[LaidRow, ...]
    period: LayingPeriod
    expected: tuple[ExpectedRate | None, ...]
    """For each day; None where the age of a flock that lays is not known."""


def gatherings(gathered: Gathered, holds: Holds) -> tuple[Gathering, ...]:
    """Every gathering of the period, oldest first."""
    kind, slot = gathered.laying.kind, gathered.laying.slot
    found = []
    for record in gathered.by_kind.get(kind, ()):
        count = plain_number(record.draft.slots.get(slot))
        if count is None:
            continue
        on = gathered.day(record)
        hold = holds.of(record.draft, on)
        found.append(
            Gathering(
                day=on,
                place=record.draft.place or gathered.say("elsewhere"),
                laid=round(count),
                held=hold is not None,
                unsaid=hold is not None and bool(hold.kept.unsaid),
            )
        )
    return tuple(found)


def not_all_gathered(gathered: Gathered, found: tuple[Gathering, ...]) -> bool:
    """Whether a place that is gathered on most days has not been yet today."""
    days = {one.day for one in found} - {gathered.last}
    today = {one.place for one in found if one.day == gathered.last}
    if not today or not days:
        return False
    seen = Counter(place for place, _ in {(one.place, one.day) for one in found})
    return any(seen[place] * 2 > len(days) for place in set(seen) - today)
