"""What a flock drinks in a day, and whether it drank less.

Sources disagree by a third and more (breed, age, time and place), so each is given with its own
amount, and the need is the range from the least to the most of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import fsum

from voicelog.catalogue.standards import DrinkStandard, load_standards
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero
from voicelog.husbandry.measures import FarmMeasure, convert
from voicelog.types import Quantity

MILD_C = 20.0
"""68 °F, the mild column of S13, A; taken where no temperature is known."""
_EXTREME_C = 35.0
"""95 °F: where "extreme heat" is taken to begin; from memory, M."""
_EXTREME_FACTOR = 4.0
"""S13, A: up to four times as much in extreme heat."""
_FALL_PERCENT = 20.0
"""S46, B."""
_GRAVE_PERCENT = 25.0
"""S124, A."""
_DAYS_COMPARED = 7
_LEAST_DAYS_COMPARED = 3
"""From memory, M: fewer days say too little."""
_PERCENT = 100
_ML = "millilitre"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drinkers:
    """Birds that drink from the same water."""

    class_: str
    """As in the farm file."""
    count: int
    age_days: float | None = None
    """None: any age; young birds then get a very wide range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrinkBySource:
    """What one source gives for one bird of a class."""

    class_: str
    low_ml: float
    high_ml: float
    """Millilitres a bird and day."""
    source: str
    grade: str
    mild_only: bool = False
    """True where it is hotter than the source speaks of: its low then says nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterNeed:
    """What a flock drinks in a day."""

    low_ml: float
    high_ml: float
    """Millilitres for all birds: carry the high, wonder below the low."""
    by_source: tuple[DrinkBySource, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterAmount:
    """A need in the unit wanted."""

    low: float
    high: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterChange:
    """What was drunk today against the days before."""

    change_percent: float
    """-20 is a fifth less."""
    warned: bool
    """A fall of 20 percent or more (S46, B)."""
    grave: bool
    """A fall of 25 percent or more, which one law makes reportable (S124, A)."""
    mean_before: float


def water_need(groups: Iterable[Drinkers], temperature_c: float | None = None) -> WaterNeed:
    """What a flock drinks today.

    Unit: millilitres a day.
    Range: thirty laying hens 5.4 to 9.6 litres (1.4 to 2.5 gal) in mild weather, about 8.6 to 12
        (2.3 to 3.2 gal) at 90 °F. Above 95 °F up to four times the mild amount (S13, A).
    Source: S13, grade A; S14, grade B; S58, grade B; S59, grade A; meat birds also S41, grade A,
        and S60, grade A. Between two temperatures or ages of a source a straight line, grade D;
        chicks below four weeks by their feed from memory, grade M.

    Args:
        groups: who drinks.
        temperature_c: of the day's hottest hours, in degrees Celsius; None for mild weather.

    Raises:
        RequestError: no source speaks of a class at an age, or a count is below 0.
    """
    degrees = MILD_C if temperature_c is None else temperature_c
    low, high, said = 0.0, 0.0, []
    for group in groups:
        by_source = _by_source(group, degrees)
        count = at_least_zero(group.count, "The number of birds")
        low += count * min(one.low_ml for one in _sure(by_source))
        high += count * max(one.high_ml for one in by_source)
        said.extend(by_source)
    return WaterNeed(low_ml=low, high_ml=high, by_source=tuple(dict.fromkeys(said)))


def water_in(
    need: WaterNeed, unit: str, measures: Iterable[FarmMeasure] = (), of: Sequence[str] = ()
) -> WaterAmount:
    """A need in another unit: gallons, litres, or the farm's own buckets.

    Unit: `unit`.
    Range: as of `water_need`.
    Source: the farm's own measures; the units library for ordinary units, grade A.

    Raises:
        RequestError: what a bucket holds is not known; then the error says how to tell it.
    """
    listed = tuple(measures)
    low, high = (
        convert(Quantity(value=amount, unit=_ML), unit, listed, of).value
        for amount in (need.low_ml, need.high_ml)
    )
    return WaterAmount(low=low, high=high, unit=unit)


def water_change(today: float, before: Sequence[float]) -> WaterChange | None:
    """Whether a flock drank less than in the seven days before: a sign that comes early.

    Unit: percent; the amounts may be in any unit, as long as it is one.
    Range: a fall of 20 percent is warned (S46, B), of 25 grave (S124, A). None where fewer than
        three days came before.
    Source: S46, grade B; S124, grade A; three days as the least from memory, grade M.

    Args:
        today: drunk in the whole day.
        before: the days before, the latest last; days without a record are left out.

    Raises:
        RequestError: an amount is below 0, or nothing was drunk before.
    """
    at_least_zero(today, "What was drunk today")
    compared = [at_least_zero(day, "What was drunk") for day in before[-_DAYS_COMPARED:]]
    if len(compared) < _LEAST_DAYS_COMPARED:
        return None
    mean = above_zero(fsum(compared) / len(compared), "What was drunk on the days before")
    change = round((today / mean - 1) * _PERCENT, 9)
    return WaterChange(
        change_percent=change,
        warned=change <= -_FALL_PERCENT,
        grave=change <= -_GRAVE_PERCENT,
        mean_before=mean,
    )


def water_to_feed(water: float, feed: float) -> float:
    """Weight of water drunk for one of feed eaten.

    Unit: none (weight for weight; a millilitre of water weighs a gram).
    Range: about 2 (S13, A), 1.77 (S60, A), 1.5 to 2 (S14, B); 2.3 for a chick's first week
        (S41, A): the sources disagree. More in heat.
    Source: S13, grade A.

    Raises:
        RequestError: `water` is below 0, or `feed` not above 0.
    """
    at_least_zero(water, "What was drunk")
    return water / above_zero(feed, "What was eaten")


def water_for_gain(conversion: float, water_a_feed: float) -> float:
    """Water drunk for one of weight gained, from feed conversion.

    Unit: that of `water_a_feed` for one of weight.
    Range: about 0.44 gal for a pound of meat bird, at 1.75 and one quart (0.25 gal) a pound of
        feed.
    Source: S45, grade A.

    Args:
        conversion: feed for one of weight gained.
        water_a_feed: water for one of feed.

    Raises:
        RequestError: a number is below 0.
    """
    at_least_zero(conversion, "The feed conversion")
    return conversion * at_least_zero(water_a_feed, "The water for one of feed")


def _by_source(group: Drinkers, degrees: float) -> list[DrinkBySource]:
    if group.age_days is not None:
        at_least_zero(group.age_days, "The age")
    of_class = [row for row in load_standards().drinks if row.class_ == group.class_]
    speaking = [row for row in of_class if _speaks_of(row, group.age_days)]
    if not speaking:
        raise _not_known(group)
    told = [_told(row, group.age_days, degrees) for row in speaking]
    if degrees > _EXTREME_C:
        mild = max(_told(row, group.age_days, MILD_C).high_ml for row in speaking)
        told.append(
            DrinkBySource(
                class_=group.class_,
                low_ml=max(one.low_ml for one in _sure(told)),
                high_ml=_EXTREME_FACTOR * mild,
                source="S13",
                grade="A",
            )
        )
    return told


def _sure(by_source: Sequence[DrinkBySource]) -> Sequence[DrinkBySource]:
    """Those that speak of the day's heat; all, where none does."""
    return [one for one in by_source if not one.mild_only] or by_source


def _speaks_of(row: DrinkStandard, age_days: float | None) -> bool:
    if age_days is None:
        return True
    return row.days[0] <= age_days and (row.onward or age_days <= row.days[-1])


def _told(row: DrinkStandard, age: float | None, degrees: float) -> DrinkBySource:
    low_factor, high_factor = _heat_factors(row, degrees)
    low = min(row.low) if age is None else _between(row.days, row.low, age)
    high = max(row.high) if age is None else _between(row.days, row.high, age)
    return DrinkBySource(
        class_=row.class_,
        low_ml=low * low_factor,
        high_ml=high * high_factor,
        source=row.source,
        grade=row.grade,
        mild_only=not row.hot and degrees > row.warm,
    )


def _heat_factors(row: DrinkStandard, degrees: float) -> tuple[float, float]:
    if not row.hot:
        return 1.0, 1.0
    hot, low, high = row.hot
    share = min(1.0, max(0.0, (degrees - row.warm) / (hot - row.warm)))
    return 1 + (low - 1) * share, 1 + (high - 1) * share


def _between(ages: Sequence[float], amounts: Sequence[float], age: float) -> float:
    pairs = list(zip(ages, amounts, strict=True))
    for (left, less), (right, more) in pairwise(pairs):
        if left <= age <= right:
            return less + (more - less) * (age - left) / (right - left)
    return amounts[-1]


def _not_known(group: Drinkers) -> RequestError:
    aged = "" if group.age_days is None else f" of {group.age_days:g} days"
    return RequestError(
        f"How much a bird of class {group.class_!r}{aged} drinks is not known.",
        kept="Nothing was reckoned.",
        todo="Give its class in the farm file, and the day it hatched.",
    )
