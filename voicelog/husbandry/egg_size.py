"""Weight, class, grade and faults of what was laid."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from voicelog.catalogue.standards import GradeStandard, SizeStandard, load_standards
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

DIRTY_LIMIT_PERCENT = 30.0
"""Up to this in free-range systems, S27, A."""
FLOOR_LIMIT_PERCENT = 10.0
"""Up to this on cage-free farms, S28, A."""
CRACKED_LIMIT_PERCENT = 5.0
"""1 to 5 percent is usual in a small flock, above it look at nests, calcium and age; from
memory, M."""
_MARK_DAYS = 21
"""S25, A."""
_PERCENT = 100
_SCALE_STEP = 6
"""Decimals kept of a weight: a dozen reckoned from grams must not miss its class by rounding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EggTally:
    """What was gathered at one place; None where it was not said."""

    place: str | None
    count: int
    cracked: int | None = None
    dirty: int | None = None
    floor: int | None = None
    """Laid outside the boxes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultShare:
    """How many of those gathered had a fault."""

    percent: float
    limit_percent: float
    over: bool
    """Above the limit: worth looking into, no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EggShares:
    """The faults of what was gathered at one place; None where none of its tallies said it."""

    place: str | None
    count: int
    cracked: FaultShare | None
    dirty: FaultShare | None
    floor: FaultShare | None


def egg_mass(hen_day_percent: float, grams: float) -> float:
    """Egg mass that a bird gives in a day.

    Unit: grams a hen and day.
    Range: 0 to about 60; 75 percent of eggs of 57 g give 43.
    Source: S5, grade B.

    Args:
        hen_day_percent: hen-day production.
        grams: mean weight of one egg.

    Raises:
        RequestError: a number is below 0.
    """
    rate = at_least_zero(hen_day_percent, "The rate of lay") / _PERCENT
    return rate * at_least_zero(grams, "The weight of one")


def size_of_dozen(ounces: float) -> SizeStandard | None:
    """The weight class of a dozen; a class is by the dozen, not by the single egg.

    Unit: ounces a dozen.
    Range: 15 (peewee) to 30 and above (jumbo); None below the smallest class. The least weight
        belongs to the class.
    Source: S20, grade A.

    Raises:
        RequestError: the weight is not above 0.
    """
    weight = round(above_zero(ounces, "The weight of a dozen"), _SCALE_STEP)
    return next((size for size in load_standards().sizes if weight >= size.ounces), None)


def single_in_class(ounces_a_dozen: float, size: SizeStandard) -> bool:
    """Whether one egg is heavy enough for a class, as the rate of a dozen such.

    Unit: ounces a dozen.
    Range: at most 3.3 percent of single eggs may fall one class, 5 percent in one case (S20, A).
        The smallest class has no least weight for single eggs.
    Source: S20, grade A.

    Raises:
        RequestError: the weight is not above 0.
    """
    weight = above_zero(ounces_a_dozen, "The weight at the rate of a dozen")
    return size.single is None or round(weight, _SCALE_STEP) >= size.single


def egg_grade(
    *,
    air_cell_inches: float | None = None,
    haugh_units: float | None = None,
    stained: bool = False,
    spots_inches: float = 0,
    dirty_or_cracked: bool = False,
) -> GradeStandard | None:
    """The best quality grade that everything measured allows; None: not for sale in the shell.

    What was not measured does not count against it. Grading for sale under an official mark is
    a licensed grader's; state law decides what a farm may sell.

    Unit: inches, and Haugh units.
    Range: air cell to 1/8 in AA, to 3/16 in A, deeper B.
    Source: S23, grade A; Haugh units 72, 60 and 31 from memory, grade M (S24, A, prints 76 for
        the best, judged a misprint).

    Raises:
        RequestError: a number is below 0.
    """
    cell = at_least_zero(air_cell_inches or 0, "The depth of the air cell")
    spots = at_least_zero(spots_inches, "The size of the spots")
    if haugh_units is not None:
        at_least_zero(haugh_units, "The number of Haugh units")
    if dirty_or_cracked:
        return None
    for grade in load_standards().grades:
        fits = (
            (grade.air_cell is None or cell <= grade.air_cell)
            and (haugh_units is None or haugh_units >= grade.haugh)
            and (grade.stained or not stained)
            and spots <= grade.spots
        )
        if fits:
            return grade
    return None


def grade_mark_days_left(laid_on: date, today: date) -> int:
    """For how many days more an egg may still take the federal grade mark, today counted.

    Unit: days.
    Range: 22 on the day it is laid, to 0.
    Source: S25, grade A: not when more than 21 days have passed since lay.
    """
    return max(0, _MARK_DAYS + 1 - (today - laid_on).days)


def egg_shares(tallies: Iterable[EggTally]) -> tuple[EggShares, ...]:
    """Cracked, dirty and floor eggs of each place, in the order in which places appear.

    A share stands on the tallies that said it: a gathering without a word about dirt is no
    clean one.

    Unit: percent of those gathered.
    Range: cracked 1 to 5 (from memory, M); dirty up to 30 in free-range systems (S27, A); floor
        up to 10 on cage-free farms (S28, A).
    Source: S27, grade A; S28, grade A; cracked from memory, grade M.

    Raises:
        RequestError: a number is below 0, or more have a fault than were gathered.
    """
    by_place: dict[str | None, list[EggTally]] = {}
    for tally in tallies:
        by_place.setdefault(tally.place, []).append(tally)
    return tuple(
        EggShares(
            place=place,
            count=sum(tally.count for tally in listed),
            cracked=_share(((t.cracked, t.count) for t in listed), CRACKED_LIMIT_PERCENT),
            dirty=_share(((t.dirty, t.count) for t in listed), DIRTY_LIMIT_PERCENT),
            floor=_share(((t.floor, t.count) for t in listed), FLOOR_LIMIT_PERCENT),
        )
        for place, listed in by_place.items()
    )


def _share(said: Iterable[tuple[int | None, int]], limit: float) -> FaultShare | None:
    faults, gathered = 0, 0
    for part, whole in said:
        at_least_zero(whole, "The number gathered")
        if part is None:
            continue
        if at_least_zero(part, "The number with a fault") > whole:
            raise RequestError(
                f"{part} with a fault are more than the {whole} gathered.",
                kept="Nothing was reckoned.",
                todo="Count both again.",
            )
        faults, gathered = faults + part, gathered + whole
    if not gathered:
        return None
    percent = faults / gathered * _PERCENT
    return FaultShare(percent=percent, limit_percent=limit, over=percent > limit)
