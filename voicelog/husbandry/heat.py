"""Heat and damp: how hard they press on birds, what is done at each step, and air in the cold.

Each index has its own scale and must not be compared with another's thresholds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan, isfinite, sqrt

from voicelog.catalogue.standards import HeatStandard, load_standards
from voicelog.catalogue.stated import Advice, load_stated
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

_HUMIDITY_LOW, _HUMIDITY_HIGH = 5.0, 99.0
_WET_BULB_LOW_C, _WET_BULB_HIGH_C = -20.0, 50.0
"""Range for which S201, A, holds."""
BODY_WARMS_AT = (20.3, 21.2)
"""The index for hens at which their bodies began to warm: 24.1 °C and 35 percent, 21.9 °C and 85
percent (S12, A), reckoned with `hen_heat_index`; derived, D."""
COMFORT_EDGE_C = (23.9, 25.5)
"""Upper edge of hens' comfort, S12, A; 75 to 78 °F."""
HUMIDITY_INDEX_LIMITS = (70.0, 75.0)
"""Above 70 layers are under heat stress (S17, A); at 75 one trial found no loss (S18, A): they
disagree."""
_COLD_AIR_CFM_A_POUND = 0.4
"""S84, A."""
_HUMIDITY_KEPT = (40.0, 70.0)
"""S84, A."""
_WIND_TRIED = (0.2, 1.2)
"""Metres a second, S19, A."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatStep:
    """A step of heat that is reached, and what is done at it."""

    name: str
    do: tuple[str, ...]
    because: str
    """`temperature`, `jump` over yesterday, or `sign`: birds were seen to pant."""
    caution: str
    """By its name in the catalogue."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdAir:
    """Air that a closed coop needs in the cold."""

    cubic_feet_a_minute: float
    humidity_percent: tuple[float, float]
    """The humidity to keep."""
    advice: tuple[Advice, ...]
    """What goes with it, and its caution."""


def wet_bulb(temperature_c: float, humidity_percent: float) -> float:
    """Wet-bulb temperature of air near sea level.

    Unit: degrees Celsius.
    Range: within 1 degree below to 0.65 above the true one for 5 to 99 percent and -20 to 50 °C,
        not where it is both cold and dry.
    Source: S201, grade A, the formula from memory; checked against S202, grade A (68 °F and 71
        percent have a wet bulb of 62 °F).

    Raises:
        RequestError: the temperature or the humidity lies outside that range.
    """
    t = _within(temperature_c, _WET_BULB_LOW_C, _WET_BULB_HIGH_C, "The temperature in Celsius")
    rh = _within(humidity_percent, _HUMIDITY_LOW, _HUMIDITY_HIGH, "The humidity in percent")
    return (
        t * atan(0.151977 * sqrt(rh + 8.313659))
        + atan(t + rh)
        - atan(rh - 1.676331)
        + 0.00391838 * rh * sqrt(rh) * atan(0.023101 * rh)
        - 4.686035
    )


def hen_heat_index(temperature_c: float, humidity_percent: float) -> float:
    """The temperature-humidity index for laying hens: 0.6 dry bulb and 0.4 wet bulb.

    Unit: degrees Celsius.
    Range: 24.2 (27 °C, 56 percent) to 32.1 (36 °C, 45 percent) in the trial of S16, A, matched
        within 0.3; hens' bodies begin to warm at 20.3 to 21.2 (derived from S12, D).
    Source: the weights from memory, grade M; they match what S16, grade A, prints, which weights
        of 0.75 and 0.25 do not.

    Raises:
        RequestError: as of `wet_bulb`.
    """
    wet = wet_bulb(temperature_c, humidity_percent)
    return 0.6 * temperature_c + 0.4 * wet


def humidity_index(temperature_c: float, humidity_percent: float) -> float:
    """The temperature-humidity index on the scale made for cattle.

    Unit: none; degrees Fahrenheit in kind.
    Range: above 70 heat stress in layers (S17, A); at 75 no loss in one trial (S18, A): they
        disagree.
    Source: the formula from memory, grade M; thresholds S17, grade A, and S18, grade A.

    Raises:
        RequestError: the temperature is no number, or the humidity no percentage.
    """
    rh = _within(humidity_percent, 0, 100, "The humidity in percent")
    t = _within(temperature_c, _WET_BULB_LOW_C, _WET_BULB_HIGH_C, "The temperature in Celsius")
    return 1.8 * t + 32 - (0.55 - 0.0055 * rh) * (1.8 * t - 26.8)


def meat_bird_heat_index(dry_bulb_c: float, wet_bulb_c: float, wind_m_s: float) -> float:
    """The temperature-humidity-velocity index for meat birds: wind takes heat away.

    Unit: degrees Celsius.
    Range: tried at 0.2 to 1.2 m/s; outside it the nearer end is taken, so that still air gives a
        number and a gale does not cool without end.
    Source: S19, grade A.

    Raises:
        RequestError: a temperature is no number, the wet bulb lies above the dry one, or the wind
            is below 0.
    """
    dry = _within(dry_bulb_c, -50, 60, "The temperature in Celsius")
    wet = _within(wet_bulb_c, -50, dry, "The wet bulb in Celsius")
    still, gale = _WIND_TRIED
    wind = min(gale, max(still, at_least_zero(wind_m_s, "The wind")))
    return float((0.85 * dry + 0.15 * wet) * wind**-0.058)


def heat_step(
    temperature_f: float,
    yesterday_f: float | None = None,
    *,
    panting: bool = False,
    steps: Sequence[HeatStandard] | None = None,
) -> HeatStep | None:
    """The step of heat that a day reaches, and what is done; None below the mildest.

    A jump over yesterday, and panting, count only from the mildest step on: a warm day after a
    frosty one is no emergency.

    Unit: degrees Fahrenheit, of the day's hottest hours.
    Range: watch from 80, shade and water from 85, act from 90 or at panting, emergency from 95
        or at a jump of more than 10 over yesterday. The keeper may give other steps.
    Source: the steps from memory, grade M, built on S12 and S16, grade A; an abrupt rise kills
        where birds used to heat were not lost, S15, grade A.

    Args:
        temperature_f: today's.
        yesterday_f: yesterday's, where it is known.
        panting: whether birds were seen to pant.
        steps: in place of the package's, the mildest first.

    Raises:
        RequestError: a temperature is no number.
    """
    today = _within(temperature_f, -100, 150, "The temperature in Fahrenheit")
    listed = load_standards().heat if steps is None else tuple(steps)
    before = today
    if yesterday_f is not None:
        before = _within(yesterday_f, -100, 150, "Yesterday's temperature in Fahrenheit")
    if not listed or today < listed[0].from_f:
        return None
    for step in reversed(listed):
        because = _reached(step, today, today - before, panting)
        if because is not None:
            return HeatStep(name=step.name, do=step.do, because=because, caution=step.caution)
    return None


def cold_air(pounds: float) -> ColdAir:
    """Air that birds in a closed coop need in the cold, to carry damp and ammonia off.

    Unit: cubic feet a minute.
    Range: 8,000 for 20,000 birds of a pound; 60 for thirty hens of five pounds. Air humidity 40
        to 70 percent.
    Source: S84, grade A.

    Args:
        pounds: live weight of all birds together.

    Raises:
        RequestError: the weight is not above 0.
    """
    weight = above_zero(pounds, "The weight of the birds")
    return ColdAir(
        cubic_feet_a_minute=weight * _COLD_AIR_CFM_A_POUND,
        humidity_percent=_HUMIDITY_KEPT,
        advice=load_stated("care").advice_of("cold"),
    )


def _reached(step: HeatStandard, today: float, jump: float, panting: bool) -> str | None:
    if today >= step.from_f:
        return "temperature"
    if step.jump_f is not None and jump > step.jump_f:
        return "jump"
    return "sign" if step.panting and panting else None


def _within(value: float, low: float, high: float, what: str) -> float:
    if not isfinite(value) or not low <= value <= high:
        raise RequestError(
            f"{what} is given as {value}, outside {low:g} to {high:g}.",
            kept="Nothing was reckoned.",
            todo="Read it again, and give it in that unit.",
        )
    return value
