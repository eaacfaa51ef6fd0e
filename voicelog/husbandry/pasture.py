"""Ground: room for each bird, rest for each paddock, and where to go next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import pi

from voicelog.catalogue.stated import Advice, load_stated
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

ACRE_FEET = 43_560.0
"""Square feet, standard definition."""
PASTURE_FEET_A_BIRD = 2.5 * ACRE_FEET / 1000
"""1,000 birds on 2.5 acres, S72 and S73, B: 108.9."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRange:
    """A number of days, from the least to the most."""

    least: int
    most: int


GRASS_REST = DayRange(least=21, most=42)
"""3 to 6 weeks in the growing season for the grass, from memory, M."""
FLOCK_REST = DayRange(least=273, most=276)
"""9 months after every laying flock, an organic rule quoted by S77, B: rest from parasites and
disease, which grass being grown again does not give. Disagrees with the other on purpose."""
STAY = DayRange(least=2, most=7)
"""Days with netting on one piece of ground, from memory, M; a meat pen moves daily (S76, A)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paddock:
    """A piece of ground, and when birds were last on it."""

    name: str
    last_used: date | None
    """The last day birds were on it; None where none is recorded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaddockRest:
    """How long a paddock has rested."""

    name: str
    days_rested: int | None
    """None where no use is recorded, which does not say it was never used."""
    days_short: int
    """Days until the least rest is reached; 0 where it is, or no use is recorded."""
    days_to_most: int
    """Days until the longest rest asked for is reached."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextMove:
    """A proposal: which paddock next, and when."""

    to: str
    earliest: date
    """After the shortest stay, and not before today; later where the ground needs rest."""
    latest: date
    """After the longest stay, and not before `earliest`."""
    rest: PaddockRest
    """Of the paddock proposed, on the earliest day."""
    overstays: bool
    """Whether waiting for its rest keeps the birds longer than the longest stay."""
    advice: tuple[Advice, ...]
    """What goes with it, and its caution."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NettingArea:
    """Ground inside a net."""

    square: float
    circle: float
    """Square feet; a circle holds 27 percent more than a square."""


def paddock_rests(
    paddocks: Iterable[Paddock], today: date, rest: DayRange = GRASS_REST
) -> tuple[PaddockRest, ...]:
    """Since when each paddock rests and what is left, the longest rested first.

    Paddocks without a recorded use come first: nothing speaks against them, but the keeper
    should look.

    Unit: days.
    Range: 21 to 42 for grass in the growing season (from memory, M); 9 months after every laying
        flock by an organic rule (S77, B): rest for grass is no rest from parasites.
    Source: S77, grade B, for the long rest; the short one from memory, grade M.

    Raises:
        RequestError: the range runs backwards.
    """
    _refuse_backwards(rest)
    told = [_rest_of(paddock, today, rest) for paddock in paddocks]
    told.sort(key=lambda one: (one.days_rested is not None, -(one.days_rested or 0)))
    return tuple(told)


def next_move(
    paddocks: Iterable[Paddock],
    today: date,
    *,
    here: str,
    since: date,
    rest: DayRange = GRASS_REST,
    stay: DayRange = STAY,
) -> NextMove | None:
    """Which paddock next and when: the longest rested, after a usual stay on this one.

    A proposal only; sod, droppings and weather decide. Switch the energizer off before a net is
    moved.

    Unit: dates and days.
    Range: a stay of 2 to 7 days (from memory, M), daily for a meat pen (S76, A).
    Source: common practice, no source, grade M; S76, grade A, for the meat pen.

    Args:
        paddocks: all there are; `here` is left out.
        today: the day of asking.
        here: where the birds are.
        since: the day they came here.
        rest: asked for.
        stay: usual days on one piece of ground.

    Returns:
        None where there is no other paddock.

    Raises:
        RequestError: a range runs backwards.
    """
    _refuse_backwards(stay)
    others = [paddock for paddock in paddocks if paddock.name != here]
    rests = paddock_rests(others, today, rest)
    if not rests:
        return None
    first = rests[0]
    shortest = max(today, since + timedelta(days=stay.least))
    longest = since + timedelta(days=stay.most)
    earliest = max(shortest, today + timedelta(days=first.days_short))
    chosen = next(paddock for paddock in others if paddock.name == first.name)
    return NextMove(
        to=first.name,
        earliest=earliest,
        latest=max(earliest, longest),
        rest=_rest_of(chosen, earliest, rest),
        overstays=earliest > max(longest, today),
        advice=load_stated("care").advice_of("next"),
    )


def square_feet_each(area: float, birds: int) -> float:
    """Room for each bird.

    Unit: square feet a bird.
    Range: 108.9 in total rotation for the pasture standard (S72 and S73, B); in a floorless pen
        2 where it is moved daily, 5 roaming (S74, A), for meat birds at the end 1.25 to 2 (from
        memory, M): they disagree; 56 for thirty in a square net of 164 ft.
    Source: arithmetic on S72, grade D.

    Args:
        area: square feet.
        birds: on it.

    Raises:
        RequestError: `area` is below 0, or `birds` not above 0.
    """
    return at_least_zero(area, "The area") / above_zero(birds, "The number of birds")


def pasture_needed(birds: int, each: float = PASTURE_FEET_A_BIRD) -> float:
    """Ground that a flock needs in total rotation, all paddocks together.

    Unit: square feet.
    Range: 3,267 (0.075 acre) for thirty.
    Source: S72 and S73, grade B: 1,000 birds on 2.5 acres, fields rotated.

    Raises:
        RequestError: a number is below 0.
    """
    at_least_zero(birds, "The number of birds")
    return birds * at_least_zero(each, "The room for each")


def netting_area(length_ft: float) -> NettingArea:
    """Ground that a closed net of a length holds.

    Unit: square feet.
    Range: a net of 164 ft holds 1,681 as a square (S75, B), 2,140 as a circle.
    Source: arithmetic, grade D; the net's usual length S75, grade B.

    Raises:
        RequestError: the length is not above 0.
    """
    length = above_zero(length_ft, "The length")
    return NettingArea(square=(length / 4) ** 2, circle=length**2 / (4 * pi))


def _rest_of(paddock: Paddock, today: date, rest: DayRange) -> PaddockRest:
    rested = None if paddock.last_used is None else (today - paddock.last_used).days
    return PaddockRest(
        name=paddock.name,
        days_rested=rested,
        days_short=0 if rested is None else max(0, rest.least - rested),
        days_to_most=0 if rested is None else max(0, rest.most - rested),
    )


def _refuse_backwards(days: DayRange) -> None:
    if not 0 <= days.least <= days.most:
        raise RequestError(
            f"{days.least} to {days.most} days is no range.",
            kept="Nothing was reckoned.",
            todo="Give the smaller number first.",
        )
