"""What a bird should eat, and what is in it: ranges by class and age, protein, calcium.

Classes are those of the farm file. Where sources disagree each is given as it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import fsum

from voicelog.catalogue.stated import Figure, load_stated
from voicelog.husbandry.bounds import above_zero, at_least_zero
from voicelog.husbandry.measures import convert
from voicelog.husbandry.within import Compared, compared, of_week
from voicelog.types import Quantity

_STATED = "eating"
_PERCENT = 100
_DAYS_A_WEEK = 7
_MASS = "pound"
_A_WEEK = " a week"
_A_DAY = " a day"


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedPart:
    """One thing that is eaten."""

    weight: float
    """In the unit of the other parts."""
    protein_percent: float
    """Crude protein, as its tag or a table gives it."""


def intake_range(class_: str, week: float | None = None) -> tuple[Figure, ...]:
    """What one bird eats in a day.

    Unit: pounds a day.
    Range: 0.20 to 0.26 for laying hens; by week of life for young birds.
    Source: S35, grade A; S36 and S37, grade C; S42, grade B, for meat birds of an older strain;
        young layers and cocks from memory, grade M.

    Args:
        class_: of birds, as in the farm file.
        week: of life, the first one being 1; needed for young birds.

    Raises:
        RequestError: the week is not above 0.
    """
    return tuple(_in_pounds(figure) for figure in _picked(f"eaten.{class_}", week))


def intake_compared(each: float, class_: str, week: float | None = None) -> Compared:
    """What one bird eats, in pounds a day, held against what is usual for its class and age.

    Outdoors they find some of it themselves, and spilled feed counts as eaten.

    Unit: pounds a day.
    Range: see `intake_range`.
    Source: S35, grade A, for laying hens; see `intake_range` for others.

    Raises:
        RequestError: `each` is below 0, or nothing is stated for that class and age.
    """
    return compared(at_least_zero(each, "What one eats in a day"), intake_range(class_, week))


def feed_needed(class_: str, birds: int, first_week: int, last_week: int) -> tuple[float, float]:
    """What birds eat from the beginning of one week of life to the end of another.

    Unit: pounds, least and most that the sources give.
    Range: 5.8 to 6.7 for one meat bird in six weeks (S42); today's strains eat more (S37, C, has
        8 to 9).
    Source: as of `intake_range`; S42, grade B.

    Raises:
        RequestError: the weeks are not above 0 or run backwards, the number of birds is below 0,
            or nothing is stated for one of the weeks.
    """
    at_least_zero(birds, "The number of birds")
    above_zero(last_week - above_zero(first_week, "The first week") + 1, "The number of weeks")
    weeks = [compared(0, intake_range(class_, week)) for week in range(first_week, last_week + 1)]
    days = birds * _DAYS_A_WEEK
    return days * fsum(week.low for week in weeks), days * fsum(week.high for week in weeks)


def per_dozen_usual(class_: str) -> tuple[Figure, ...]:
    """What a dozen eggs takes in feed.

    Unit: pounds a dozen.
    Range: 3.0 to 3.5; 3.3 and less as a commercial target. A mixed flock on pasture takes more.
    Source: S43, grade C; S6, grade A.
    """
    return load_stated(_STATED).figures_of(f"a_dozen.{class_}")


def conversion_usual(class_: str) -> tuple[Figure, ...]:
    """What one of weight gained takes in feed.

    Unit: none (weight for weight).
    Range: 1.4 to 2.0 for meat birds.
    Source: S44, grade C; S45, grade A; S46, grade B. They are of different years and strains.
    """
    return load_stated(_STATED).figures_of(f"converted.{class_}")


def protein_range(class_: str, week: float | None = None) -> tuple[Figure, ...]:
    """How much crude protein a ration should hold.

    Unit: percent.
    Range: 18 to 22 for chicks, 15 to 18 for growers, 12 to 16 before lay, 16 to 18 in lay.
    Source: S47, grade C; S48, grade A; S42, grade B. They disagree, so each is given.

    Args:
        class_: of birds, as in the farm file.
        week: of life, the first one being 1; needed for young birds.

    Raises:
        RequestError: the week is not above 0.
    """
    return _picked(f"protein.{class_}", week)


def protein_of_mix(parts: Iterable[FeedPart]) -> float:
    """Crude protein of all that is eaten, treats and scratch counted.

    Unit: percent.
    Range: between the poorest and the richest part; see `protein_range`.
    Source: S36, grade C, whose sums are exact.

    Raises:
        RequestError: a weight is below 0, all are 0, or a percentage is below 0.
    """
    listed = list(parts)
    weight = fsum(at_least_zero(part.weight, "The weight of a part") for part in listed)
    protein = fsum(
        part.weight * at_least_zero(part.protein_percent, "The protein of a part")
        for part in listed
    )
    return protein / above_zero(weight, "The weight of all parts")


def treats_share(treats: float, ration: float) -> Compared:
    """Which part of all that is eaten is treats and scratch.

    Unit: percent.
    Range: 10 and less, or what is gone in ten minutes.
    Source: S51, grade C; widely repeated, but no university page was found.

    Args:
        treats: weight of treats and scratch.
        ration: weight of complete feed, in the same unit.

    Raises:
        RequestError: a weight is below 0, or both are 0.
    """
    at_least_zero(treats, "The weight of treats")
    whole = treats + at_least_zero(ration, "The weight of the ration")
    share = treats / above_zero(whole, "The weight of both") * _PERCENT
    return compared(share, load_stated(_STATED).figures_of("besides"))


def calcium_needed(class_: str) -> tuple[Figure, ...]:
    """How much calcium a laying bird needs in a day; too much of it harms birds before lay.

    Unit: grams a day.
    Range: 3.25 to 4.1; nothing is stated for birds that do not lay.
    Source: S49, grade C; the lower figure from memory, grade M.
    """
    return load_stated(_STATED).figures_of(f"calcium.{class_}")


def calcium_percent_needed(grams_needed: float, grams_eaten: float) -> float:
    """How much calcium a ration must hold, by what is eaten of it.

    Unit: percent.
    Range: 4.3 at 95 g a day to 4.8 at 85 g, for 4.1 g of calcium.
    Source: S49, grade C.

    Args:
        grams_needed: calcium for one bird in a day.
        grams_eaten: feed that one bird eats in a day.

    Raises:
        RequestError: `grams_needed` is below 0, or `grams_eaten` not above 0.
    """
    at_least_zero(grams_needed, "The calcium needed")
    return grams_needed / above_zero(grams_eaten, "What one eats in a day") * _PERCENT


def nutrient_eaten(eaten: float, percent: float) -> float:
    """How much of calcium, or of anything given in percent, is eaten with a ration.

    Unit: that of `eaten`.
    Range: see `calcium_needed`.
    Source: S49, grade C.

    Raises:
        RequestError: a number is below 0.
    """
    at_least_zero(eaten, "What one eats in a day")
    return eaten * at_least_zero(percent, "The percentage") / _PERCENT


def _picked(name: str, week: float | None) -> tuple[Figure, ...]:
    """Figures of a name for a week; without a week those that hold at every age."""
    figures = load_stated(_STATED).figures_of(name)
    if week is None:
        return tuple(f for f in figures if f.first_week is None and f.last_week is None)
    return of_week(figures, above_zero(week, "The week of life"))


def _in_pounds(figure: Figure) -> Figure:
    """The same for a day, in pounds."""
    days = _DAYS_A_WEEK if figure.unit.endswith(_A_WEEK) else 1
    unit = figure.unit.removesuffix(_A_WEEK).removesuffix(_A_DAY)
    low, high = (
        convert(Quantity(value=value, unit=unit), _MASS).value / days
        for value in (figure.low, figure.high)
    )
    return replace(figure, low=low, high=high, unit=f"{_MASS}{_A_DAY}")
