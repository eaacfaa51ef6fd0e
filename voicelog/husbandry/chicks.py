"""What chicks need at each age: warmth, room, and what is due when.

Ages are days since hatching, the day of hatching being day 0; the first week of life is week 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.catalogue.stated import Advice, Figure, load_stated
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero
from voicelog.husbandry.within import of_week

_STATED = "rearing"
_WEEK = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedStep:
    """One thing that is due at an age, with the days between which it is."""

    from_: date
    to: date
    """The last day of it, inclusive."""
    advice: Advice


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What a number of birds of one age need, the least and the most that the source gives."""

    floor: tuple[float, float]
    """Square feet for all of them."""
    at_feeder: tuple[float, float]
    """Inches of edge for all of them; both sides of a trough count."""
    at_waterer: tuple[float, float]
    """Inches of edge for all of them."""
    figures: tuple[Figure, ...]
    """For one bird."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstWeek:
    """How chicks came through their first week."""

    conversion: float
    """Feed for one of weight gained."""
    drunk_by_weight: float
    """Water drunk for one of their weight at the start."""
    drunk_by_eaten: float
    """Water drunk for one of feed, by weight."""


def week_of_life(hatched: date, today: date) -> int:
    """In which week of its life a bird is; the first seven days are week 1.

    Unit: weeks.
    Range: 1 and up.
    Source: arithmetic, grade D.

    Raises:
        RequestError: it had not hatched by then.
    """
    age = (today - hatched).days
    if age < 0:
        raise RequestError(
            f"On {today} they had not hatched yet: that was {hatched}.",
            kept="Nothing was reckoned.",
            todo="Give the day of hatching, and a day from then on.",
        )
    return age // _WEEK + 1


def rearing_steps(hatched: date, class_: str) -> tuple[DatedStep, ...]:
    """What is due when from hatching to the first egg, or to the end of rearing.

    Unit: dates.
    Range: as each step says; empty for a class of birds of which nothing is stated.
    Source: each step names its own, grades A to C, or common practice, grade M.

    Args:
        hatched: the day, which is day 0.
        class_: of birds, as in the farm file.

    Raises:
        RequestError: the dates would run past the end of the calendar.
    """
    steps = load_stated(_STATED).advice_of(class_)
    try:
        dated = [
            DatedStep(
                from_=hatched + timedelta(days=step.first_day or 0),
                to=hatched + timedelta(days=step.last_day or 0),
                advice=step,
            )
            for step in steps
        ]
    except OverflowError as problem:
        raise RequestError(
            f"Nothing can be planned from {hatched}: the calendar ends before they are grown.",
            kept="Nothing was reckoned.",
            todo="Give the day on which they hatched.",
        ) from problem
    return tuple(sorted(dated, key=lambda step: (step.from_, step.to)))


def brooder_heat(week: float) -> tuple[Figure, ...]:
    """How warm it should be where chicks live, at their height.

    The chicks themselves go first: huddled they are cold, far from the heat they are hot. A lamp
    can set litter alight; see the catalogue's caution about it.

    Unit: fahrenheit.
    Range: 95 in week 1 falling by 5 a week to 70 in week 6; another source falls more slowly.
        None from week 9 on: as warm as it is outside.
    Source: S106, grade B; S52, grade A. They disagree, so both are given.

    Args:
        week: of life, the first one being 1.

    Raises:
        RequestError: the week is not above 0.
    """
    above_zero(week, "The week of life")
    return of_week(load_stated(_STATED).figures_of("heat"), week)


def room_needed(week: float, birds: int) -> Room:
    """Floor, feeder and waterer that birds of an age need.

    Where two rows of the source meet in one week, the smaller need is the first of each pair and
    the larger the second.

    Unit: square feet and inches.
    Range: a quarter of a square foot each in week 1 to one and a half to three from week 8 on.
    Source: S52, grade A.

    Args:
        week: of life, the first one being 1.
        birds: how many.

    Raises:
        RequestError: the week is not above 0, or the number of birds below 0.
    """
    above_zero(week, "The week of life")
    at_least_zero(birds, "The number of birds")
    stated = load_stated(_STATED)
    floor = of_week(stated.figures_of("room"), week)
    eating = of_week(stated.figures_of("eating_edge"), week)
    drinking = of_week(stated.figures_of("drinking_edge"), week)
    return Room(
        floor=_for_all(floor, birds),
        at_feeder=_for_all(eating, birds),
        at_waterer=_for_all(drinking, birds),
        figures=(*floor, *eating, *drinking),
    )


def first_week_rates(start: float, eaten: float, gained: float, drunk: float) -> FirstWeek:
    """How chicks came through their first week, by weights in one unit (1 ml of water is 1 g).

    Unit: none (weight for weight).
    Range: conversion about 1.07, water 8.5 times the first weight and 2.27 times the feed, for
        meat chicks that do well.
    Source: S41, grade A.

    Args:
        start: weight at the start.
        eaten: feed.
        gained: weight.
        drunk: water.

    Raises:
        RequestError: a number is below 0, or a start, feed or gain not above 0.
    """
    at_least_zero(drunk, "The water drunk")
    return FirstWeek(
        conversion=above_zero(eaten, "The weight eaten") / above_zero(gained, "The weight gained"),
        drunk_by_weight=drunk / above_zero(start, "The weight at the start"),
        drunk_by_eaten=drunk / eaten,
    )


def _for_all(figures: tuple[Figure, ...], birds: int) -> tuple[float, float]:
    return birds * min(f.low for f in figures), birds * max(f.high for f in figures)
