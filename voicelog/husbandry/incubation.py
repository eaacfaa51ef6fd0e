"""The days of a setting of eggs, how an incubator is set, and how it came out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.catalogue.species import Species, load_species
from voicelog.catalogue.stated import Figure, load_stated
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

_STATED = "incubator"
_EARLY_OR_LATE = timedelta(days=1)
"""From memory (M): some hatch a day before or after what is printed."""
_PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class IncubationCalendar:
    """What is due when; the day of setting is day 0."""

    set_on: date
    candle: tuple[date, ...]
    """Hold an egg against a light; take out clear ones and quitters."""
    lockdown: date
    """Last turning, the earliest that a source gives; from here on the eggs are left alone."""
    hatch: date
    """The first day on which the sources have them hatch."""
    lockdown_last: date
    """Last turning, the latest that a source gives."""
    hatch_last: date
    """The last day on which the sources have them hatch."""
    window: tuple[date, date]
    """From a day before the first of them to a day after the last (from memory)."""
    species: Species


@dataclass(frozen=True, slots=True, kw_only=True)
class IncubatorSettings:
    """What the sources give for one day; two figures where they disagree."""

    moving_air: tuple[Figure, ...]
    """Temperature with a fan."""
    still_air: tuple[Figure, ...]
    """Temperature without a fan, at the top of the eggs."""
    accepted: tuple[Figure, ...]
    """Temperatures that do no harm for a while."""
    deadly: tuple[Figure, ...]
    """Below the low or above the high of it for hours kills."""
    humidity: tuple[Figure, ...]
    turns: tuple[Figure, ...]
    """Turnings a day; none from the last turning on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HatchRates:
    """How a setting came out, each rate with the number it is a part of."""

    set_: int
    fertile: int
    hatched: int
    fertility_percent: float
    """Of those set."""
    of_set_percent: float
    of_set: str
    """What this rate is a part of, in words."""
    of_fertile_percent: float | None
    """None where none was fertile."""
    of_fertile: str


def species_named(word: str) -> tuple[Species, ...]:
    """The sorts of bird that a word can mean; "quail" means two, which hatch a week apart.

    Unit: none.
    Range: none for a word that is not known; more than one is to be asked about.
    Source: S94, grade B, and what each sort names.
    """
    return tuple(species for species in load_species() if species.said_as(word))


def incubation_calendar(set_on: date, species: Species | None = None) -> IncubationCalendar:
    """The calendar of eggs set on a day, under a hen or in an incubator.

    Unit: dates.
    Range: what the sources give, first to last day; some hatch a day early or late (M).
    Source: S94, grade B; S95 and S98, grade A; S96, grade C; candling days S101, grade C, and
        for other birds than chickens from memory. Each species names its own.

    Args:
        set_on: the day on which they were set, day 0.
        species: from `species_named`; the commonest one (chicken) where it is not given.

    Raises:
        RequestError: the dates would run past the end of the calendar.
    """
    bird = species or load_species()[0]
    days = (*bird.candle, *bird.last_turn, *bird.hatch, bird.hatch[1] + _EARLY_OR_LATE.days)
    try:
        *due, last = (set_on + timedelta(days=day) for day in days)
    except OverflowError as problem:
        raise RequestError(
            f"Nothing can be planned from {set_on}: the calendar ends before it is done.",
            kept="Nothing was reckoned.",
            todo="Give the day on which they were set.",
        ) from problem
    *candle, lockdown, lockdown_last, hatch, hatch_last = due
    return IncubationCalendar(
        set_on=set_on,
        candle=tuple(candle),
        lockdown=lockdown,
        lockdown_last=lockdown_last,
        hatch=hatch,
        hatch_last=hatch_last,
        window=(hatch - _EARLY_OR_LATE, last),
        species=bird,
    )


def incubator_settings(day: int, species: Species | None = None) -> IncubatorSettings:
    """How an incubator is set on a day of the setting; its maker's instructions go first.

    Unit: fahrenheit, percent of relative humidity, times a day.
    Range: 99.5 to 100 with a fan, 100 to 102 without; humidity 45 to 60, later 65 to 80.
    Source: S98, grade A; S99, grade A; S96, S97 and S100, grade C. They disagree by half a degree
        and by fifteen percent of humidity: all are given.

    Args:
        day: of the setting; the day of setting is day 0.
        species: from `species_named`; chicken where it is not given.

    Raises:
        RequestError: the day is below 0.
    """
    at_least_zero(day, "The day of the setting")
    hatching = day >= (species or load_species()[0]).last_turn[0]
    stated = load_stated(_STATED)
    return IncubatorSettings(
        moving_air=stated.figures_of("moving_air"),
        still_air=stated.figures_of("still_air"),
        accepted=stated.figures_of("accepted"),
        deadly=stated.figures_of("deadly"),
        humidity=stated.figures_of("humidity_hatching" if hatching else "humidity_turning"),
        turns=() if hatching else stated.figures_of("turns"),
    )


def weight_lost_percent(at_setting: float, now: float) -> float:
    """How much lighter eggs have become; too little means too moist, too much too dry.

    Unit: percent of the weight at setting.
    Range: see `expected_weight_loss`.
    Source: S101, grade C; the sum is arithmetic.

    Raises:
        RequestError: `at_setting` is not above 0, or `now` is below 0 or more than it was.
    """
    at_least_zero(now, "The weight now")
    _part(now, at_setting, "The weight now")
    return (at_setting - now) / at_setting * _PERCENT


def expected_weight_loss(day: int, days: int) -> tuple[float, float]:
    """How much lighter eggs should be by a day, taken as the same every day.

    Unit: percent of the weight at setting, lowest and highest.
    Range: 0 at the start, 11 to 15 at the end.
    Source: S101, grade C, for the end; the days between are arithmetic, grade D.

    Args:
        day: since they were set.
        days: that they take.

    Raises:
        RequestError: `days` is not above 0, or `day` is below 0 or after it.
    """
    at_least_zero(day, "The day of the setting")
    _part(day, days, "The day of the setting")
    (whole,) = load_stated(_STATED).figures_of("weight_lost")
    return whole.low * day / days, whole.high * day / days


def hatch_rates(set_: int, clear: int, hatched: int) -> HatchRates:
    """How a setting came out, of those set and of the fertile ones, told apart by name.

    Unit: percent.
    Range: of those set, about 90 in commercial hatcheries (S105, C), 50 to 80 in small
        incubators (from memory, M).
    Source: S4, grade C; S103, grade C; S104, grade A, for the word hatchability, which is used
        for both rates.

    Raises:
        RequestError: the numbers do not fit into each other.
    """
    fertile = set_ - clear
    fertility = fertility_percent(set_, clear)
    at_least_zero(hatched, "The number hatched")
    if hatched > fertile:
        raise _too_many(hatched, fertile, "The number hatched")
    stated = load_stated(_STATED)
    return HatchRates(
        set_=set_,
        fertile=fertile,
        hatched=hatched,
        fertility_percent=fertility,
        of_set_percent=hatch_percent(hatched, set_),
        of_set=stated.words_of("set")[0],
        of_fertile_percent=hatch_percent(hatched, fertile) if fertile else None,
        of_fertile=stated.words_of("fertile")[0],
    )


def fertility_percent(set_: int, clear: int) -> float:
    """How many of the eggs set were fertile, by those found clear in candling.

    Unit: percent.
    Range: 0 to 100.
    Source: S103, grade C; the formula also S4, grade C.

    Raises:
        RequestError: `set_` is not above 0, or `clear` is below 0 or more than were set.
    """
    _part(clear, set_, "The number found clear")
    return (set_ - clear) / set_ * _PERCENT


def hatch_percent(hatched: int, of: int) -> float:
    """How many hatched of the eggs set, or of the fertile ones (hatchability).

    Unit: percent.
    Range: 0 to 100; of those set, about 90 in commercial hatcheries (S105, C), 50 to 80 in small
        incubators (from memory, M).
    Source: S4, grade C.

    Raises:
        RequestError: `of` is not above 0, or `hatched` is below 0 or more than `of`.
    """
    _part(hatched, of, "The number hatched")
    return hatched / of * _PERCENT


def _part(part: float, whole: float, what: str) -> None:
    at_least_zero(part, what)
    if part > above_zero(whole, "The number it is a part of"):
        raise _too_many(part, whole, what)


def _too_many(part: float, whole: float, what: str) -> RequestError:
    return RequestError(
        f"{what} is {part:g}, more than the {whole:g} it is a part of.",
        kept="Nothing was reckoned.",
        todo="Count both again.",
    )
