"""Bleach in drinking water: what a dose comes to, and what dose is meant.

A recipe's "five-gallon pail" may be the imperial one of 22.5 litres; a US pail holds 18.9 litres,
so the same dose is a fifth stronger there. The volume is therefore always given in litres.
"""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.catalogue.stated import Advice, load_stated
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

BLEACH_PERCENT = 5.0
"""Strength of the bleach in S65, A; the label says what is in yours."""
_CHLORINE_LOW_PPM, _CHLORINE_HIGH_PPM = 2.0, 5.0
"""S65, A."""
_WAIT_MINUTES = 10
"""S65, A."""
_PPM_OF_PERCENT = 10.0
"""One millilitre of one percent holds 10 mg; a milligram a litre is one ppm of water."""
_ALL_PERCENT = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BleachDose:
    """How much bleach makes untreated water fit to give."""

    low_ml: float
    high_ml: float
    wait_minutes: int
    """Before birds drink it."""
    advice: tuple[Advice, ...]
    """What goes with it, and its caution."""


def chlorine_ppm(
    bleach_ml: float, water_litres: float, bleach_percent: float = BLEACH_PERCENT
) -> float:
    """Free chlorine that a dose of bleach gives at first; mud and dirt eat it up.

    Unit: ppm (milligrams a litre).
    Range: 2 to 5 is meant. The recipe printed for an imperial pail, 2.5 ml in 22.5 litres, gives
        5.6, slightly over.
    Source: S65, grade A, for the recipe and what is meant; the sum is arithmetic, grade D.

    Raises:
        RequestError: an amount is below 0, or the water not above 0, or the strength is no
            percentage.
    """
    at_least_zero(bleach_ml, "The amount added")
    litres = above_zero(water_litres, "The amount of water")
    return bleach_ml * _strength(bleach_percent) * _PPM_OF_PERCENT / litres


def bleach_dose(water_litres: float, bleach_percent: float = BLEACH_PERCENT) -> BleachDose:
    """How much bleach untreated water needs before birds drink it.

    Unit: millilitres, and minutes to wait.
    Range: 2 to 5 ppm of free chlorine; 0.8 to 1.9 ml of 5 percent bleach in a US five-gallon
        bucket. Strain muddy water first.
    Source: S65, grade A.

    Args:
        water_litres: to be treated.
        bleach_percent: of sodium hypochlorite, from the label.

    Raises:
        RequestError: the water is not above 0, or the strength is no percentage.
    """
    litres = above_zero(water_litres, "The amount of water")
    each_ppm = litres / (_strength(bleach_percent) * _PPM_OF_PERCENT)
    return BleachDose(
        low_ml=_CHLORINE_LOW_PPM * each_ppm,
        high_ml=_CHLORINE_HIGH_PPM * each_ppm,
        wait_minutes=_WAIT_MINUTES,
        advice=load_stated("care").advice_of("treated"),
    )


def _strength(percent: float) -> float:
    if above_zero(percent, "The strength of what is added") > _ALL_PERCENT:
        raise RequestError(
            f"The strength of what is added is given as {percent:g} percent.",
            kept="Nothing was reckoned.",
            todo="Read it from the label; it is between 3 and 12 percent as a rule.",
        )
    return percent
