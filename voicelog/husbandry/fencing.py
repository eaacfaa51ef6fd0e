"""Electric fences: whether the voltage will do, where it is going, rods, and the order of a move.

Whoever works on one reads its maker's instructions first; the catalogue's caution about electric
fences goes with all of it. No function here says that a fence is safe to touch.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import combinations
from math import ceil
from statistics import median

from voicelog.catalogue.stated import Advice, Figure, load_stated
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

_STATED = "fencing"
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class FenceReading:
    """One test of a fence."""

    at: datetime
    kilovolts: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FenceLevel:
    """Whether a reading will do."""

    kilovolts: float
    level: str
    """`down`, `low` or `enough`."""
    floors: tuple[Figure, ...]
    """The least that each source gives."""
    usual: tuple[Figure, ...]
    advice: tuple[Advice, ...]
    """What to look for; empty where it is enough."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FenceTrend:
    """Where the voltage is going."""

    slope: float
    """Kilovolts a day: the median of the slopes between all pairs of readings."""
    newest: FenceReading
    readings: int
    days: float
    """From the first reading to the newest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundRods:
    """Rods by two rules that disagree; more of them are safer."""

    feet: float
    """Of rod in the ground, by the rule of feet for each joule."""
    rods: int
    """How many of the length asked for that makes."""
    rods_against_bears: int
    """Rods of six feet, one for each joule."""
    figures: tuple[Figure, ...]


def fence_uses() -> tuple[str, ...]:
    """What a fence may be for; the first is taken where none is said.

    Unit: none.
    Range: those of which a level is stated.
    Source: common practice, no source; grade M.
    """
    return load_stated(_STATED).words_of("use")


def fence_level(kilovolts: float, use: str | None = None) -> FenceLevel:
    """Whether a reading is enough for what the fence is for.

    Unit: kilovolts.
    Range: 4 to 5 for netting, 3 and above as the least, below 2 it is down (all from memory);
        6 and above at all times against black bears (S86, S87); 3 to 5 for cattle (S86).
    Source: S86, grade A; S87, grade B; netting from memory, grade M.

    Args:
        kilovolts: read at the far end.
        use: one of `fence_uses`.

    Raises:
        RequestError: the reading is below 0, or nothing is stated for that use.
    """
    at_least_zero(kilovolts, "The reading")
    stated = load_stated(_STATED)
    wanted = fence_uses()[0] if use is None else use
    floors = stated.figures_of(f"floor.{wanted}")
    if not floors:
        raise RequestError(
            f"What a fence needs for {wanted!r} is not stated.",
            kept="Nothing was reckoned.",
            todo=f"Ask for one of {', '.join(fence_uses())}.",
        )
    down = max(figure.low for figure in stated.figures_of(f"down.{wanted}"))
    low = kilovolts < max(figure.low for figure in floors)
    level = "down" if kilovolts < down else "low" if low else "enough"
    return FenceLevel(
        kilovolts=kilovolts,
        level=level,
        floors=floors,
        usual=stated.figures_of(f"usual.{wanted}"),
        advice=stated.advice_of("low") if low else (),
    )


def fence_trend(readings: Iterable[FenceReading]) -> FenceTrend:
    """Where the voltage is going: one wild reading does not turn it.

    Unit: kilovolts a day.
    Range: near 0 for a sound fence; falling where grass grows into it or a battery runs down.
    Source: common practice, no source, grade M; the median of slopes is arithmetic.

    Raises:
        RequestError: there are not two readings at different times, or one is below 0.
    """
    listed = sorted(readings, key=lambda reading: reading.at)
    for reading in listed:
        at_least_zero(reading.kilovolts, "A reading")
    slopes = [
        (later.kilovolts - earlier.kilovolts) / ((later.at - earlier.at) / _DAY)
        for earlier, later in combinations(listed, 2)
        if later.at > earlier.at
    ]
    if not slopes:
        raise RequestError(
            "Where the voltage is going takes two readings at different times.",
            kept="Nothing was reckoned.",
            todo="Test the fence again and note what it reads.",
        )
    return FenceTrend(
        slope=median(slopes),
        newest=listed[-1],
        readings=len(listed),
        days=(listed[-1].at - listed[0].at) / _DAY,
    )


def falls_to(trend: FenceTrend, kilovolts: float) -> datetime | None:
    """When the voltage falls to a level if it goes on as it does; None where it does not fall.

    Unit: date-time; the newest reading's own time where it is there already.
    Range: a straight line into the future, worth less the farther it goes.
    Source: arithmetic on `fence_trend`, grade D.

    Raises:
        RequestError: the level is below 0.
    """
    above = trend.newest.kilovolts - at_least_zero(kilovolts, "The level")
    if above <= 0:
        return trend.newest.at
    if trend.slope >= 0:
        return None
    try:
        return trend.newest.at + above / -trend.slope * _DAY
    except OverflowError:
        return None


def days_since_tested(last: date, today: date) -> int:
    """How long ago a fence was last tested; see `tested_every` for how long is too long.

    Unit: calendar days.
    Range: 0 and up.
    Source: arithmetic, grade D.

    Raises:
        RequestError: the test lies in the future.
    """
    days = (today - last).days
    if days < 0:
        raise RequestError(
            f"A test on {last} lies after {today}.",
            kept="Nothing was reckoned.",
            todo="Give the day of the last test.",
        )
    return days


def tested_every() -> tuple[Figure, ...]:
    """How often a fence is walked and tested.

    Unit: days.
    Range: 1 to 2; also after each move, storm or growth of grass (from memory).
    Source: S75, grade B.
    """
    return load_stated(_STATED).figures_of("tested_every")


def move_order() -> tuple[Advice, ...]:
    """The order of a move: off, check dead, move, ground, on, test. Each names its caution.

    Unit: none.
    Range: none; the maker's instructions go first.
    Source: common practice, no source; grade M.
    """
    return load_stated(_STATED).advice_of("move")


def ground_rods(joules: float, rod_feet: float = 6) -> GroundRods:
    """How much ground rod an energizer needs.

    Unit: feet, and rods.
    Range: 3 ft for each joule, rods at least 10 ft apart; against bears one rod a joule, and
        another source has three of 7 ft (S86, A). Take the most of them.
    Source: S89, grade B; S87, grade B. They disagree.

    Args:
        joules: of the energizer, as its plate gives them.
        rod_feet: length of one rod, all of it in the ground.

    Raises:
        RequestError: a number is not above 0.
    """
    above_zero(joules, "The energy")
    above_zero(rod_feet, "The length of a rod")
    stated = load_stated(_STATED)
    by_feet, by_rods = stated.figures_of("rod_feet_a_joule"), stated.figures_of("rods_a_joule")
    feet = joules * max(figure.high for figure in by_feet)
    return GroundRods(
        feet=feet,
        rods=_whole(feet / rod_feet),
        rods_against_bears=_whole(joules * max(figure.high for figure in by_rods)),
        figures=(*by_feet, *by_rods),
    )


def _whole(rods: float) -> int:
    """Rods enough, where a last digit of reckoning asks for no further one."""
    return ceil(round(rods, 9))
