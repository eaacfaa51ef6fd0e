"""A hen that wants to sit: whether she does, how she gives it up, when she lays again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.catalogue.stated import Advice, Figure, load_stated
from voicelog.errors import RequestError

_STATED = "broody"
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class SittingSeen:
    """How long she has been seen on the nest."""

    days_running: int
    """Days in a row up to the last day on which she was seen."""
    likely: bool
    """True where that is longer than the sources need."""
    needed: Figure
    signs: tuple[Advice, ...]
    """What else to look for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakingUp:
    """What is due when a hen is to give up sitting."""

    caged_on: date
    look: date
    """The first day on which she may be let out to see whether she goes back."""
    let_out: date
    """The last day in the cage; begin again if she still goes back."""
    lays_from: date
    lays_by: date
    """She lays again between these, from memory."""
    advice: tuple[Advice, ...]


def sitting_seen(days: Iterable[date]) -> SittingSeen:
    """Whether a hen seen on the nest on these days is likely to be broody.

    Unit: days in a row.
    Range: longer than 3 in a row.
    Source: S92 and S93, grade C.

    Raises:
        RequestError: no day is given.
    """
    seen = set(days)
    if not seen:
        raise RequestError(
            "She was seen on the nest on no day, so nothing can be told.",
            kept="Nothing was reckoned.",
            todo="Give the days on which she was seen.",
        )
    last, running = max(seen), 1
    while last - running * _DAY in seen:
        running += 1
    stated = load_stated(_STATED)
    (needed,) = stated.figures_of("running_days")
    return SittingSeen(
        days_running=running,
        likely=running > needed.high,
        needed=needed,
        signs=stated.advice_of("signs"),
    )


def breaking_up(caged_on: date) -> BreakingUp:
    """When a hen put into a wire cage may come out, and when she lays again.

    Unit: dates.
    Range: 3 to 5 days in the cage; laying again 1 to 3 weeks later.
    Source: S93, grade C; laying again from memory, grade M.

    Raises:
        RequestError: the dates would run past the end of the calendar.
    """
    stated = load_stated(_STATED)
    (caged,), (again,) = stated.figures_of("caged_days"), stated.figures_of("lays_again")
    days = (caged.low, caged.high, caged.low + again.low, caged.high + again.high)
    try:
        look, let_out, lays_from, lays_by = (caged_on + timedelta(days=day) for day in days)
    except OverflowError as problem:
        raise RequestError(
            f"Nothing can be planned from {caged_on}: the calendar ends before it is done.",
            kept="Nothing was reckoned.",
            todo="Give the day on which she was put into the cage.",
        ) from problem
    return BreakingUp(
        caged_on=caged_on,
        look=look,
        let_out=let_out,
        lays_from=lays_from,
        lays_by=lays_by,
        advice=stated.advice_of("break"),
    )


def eggs_covered() -> tuple[Figure, ...]:
    """How many eggs a hen covers.

    Unit: eggs.
    Range: 8 to 12 for a hen of common size.
    Source: from memory, grade M.
    """
    return load_stated(_STATED).figures_of("covered")


def sitting_advice() -> tuple[Advice, ...]:
    """What a hen that is left to sit needs.

    Unit: none.
    Range: none.
    Source: common practice, no source; grade M.
    """
    return load_stated(_STATED).advice_of("sit")
