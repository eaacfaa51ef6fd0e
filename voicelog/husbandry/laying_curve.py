"""How well a flock of an age may be expected to lay: a band, since the sources disagree.

One source (S7, B) has the peak, above 90 percent, at about 35 weeks and held for ten; another
(S8, C) has 85 to 95 percent at about 28 weeks and then a fall of 1 to 1.5 points a week, which
does not fit its own 270 eggs a year; modern hybrids fall 0.5 to 0.7 (from memory, M). The band
runs from the least to the most that any of them gives.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from voicelog.husbandry.bounds import above_zero, at_least_zero
from voicelog.husbandry.laying_days import rate_of_year

_Points = tuple[tuple[float, float], ...]
_S7_LOW: _Points = ((20, 0), (35, 90), (45, 90))
_S7_HIGH: _Points = ((18, 0), (35, 90), (45, 90))
"""Weeks of age and percent: begins at 18 to 20 weeks, above 90 from 35 for ten weeks (S7, B)."""
_S8_LOW: _Points = ((22, 0), (28, 85))
_S8_HIGH: _Points = ((18, 0), (28, 95))
"""Begins at 18 to 22 weeks, peak of 85 to 95 at 28 (S8, C)."""
_FALL_MOST = 1.5
"""Points a week after the peak, S8, C."""
_FALL_LEAST = 0.5
"""From memory, M."""
_EGGS_A_YEAR = 265
"""Commercial white hens, S7, B: what the curves are drawn for."""
_SECOND_YEAR_WEEKS = 72
"""A year of lay after 20 weeks; from memory, M."""
_KEPT_LEAST, _KEPT_MOST = 0.8, 0.9
"""A later year gives 10 to 20 percent less than the one before; from memory, M."""
_LIGHT_STOPS_H = 12.0
"""Hours of day below which hens stop, S10, A."""
_LIGHT_KEEPS_H = 14.0
"""Hours of day from which the rate is kept, S11, A."""
_YEAR_WEEKS = 52
_PERCENT = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedRate:
    """What a flock may be expected to lay; a rate inside it needs no explaining."""

    low: float
    high: float
    """Percent, hen-day production."""
    year_of_lay: int
    """1 for the first; 0 before the earliest age of the first egg."""
    short_day: bool
    """Whether the day is too short to count on the low edge."""


def expected_rate(
    age_weeks: float, day_hours: float | None = None, eggs_a_year: float = _EGGS_A_YEAR
) -> ExpectedRate:
    """The band in which a flock of that age is expected to lay.

    Between 14 and 12 hours of day the low edge sinks to nothing (S11, S10); the high edge stays,
    since birds in their first winter often go on. After the first year the low edge is what a
    whole year gives on the average, the high edge the peak, each less the usual share; a flock in
    moult lies below it, for 8 to 16 weeks (from memory, M).

    Unit: percent, hen-day production.
    Range: 0 to 100; wide on purpose, 17 to 60 points once most of the flock lays.
    Source: S7, grade B, and S8, grade C, for the first year; later years and the slower fall from
        memory, grade M; day length S10 and S11, grade A, the slope between them derived, D.

    Args:
        age_weeks: since hatching.
        day_hours: day with added light, in hours; None where it is long enough.
        eggs_a_year: of one hen in her first year; heritage breeds 150 to 220 (from memory, M).

    Raises:
        RequestError: a number is below 0, or `eggs_a_year` not above 0.
    """
    at_least_zero(age_weeks, "The age")
    share = above_zero(eggs_a_year, "The number laid in a year") / _EGGS_A_YEAR
    year = _year_of_lay(age_weeks)
    low, high = _later_year(year) if year > 1 else _first_year(age_weeks)
    light = _light_kept(day_hours)
    return ExpectedRate(
        low=min(_PERCENT, low * share * light),
        high=min(_PERCENT, high * share),
        year_of_lay=year,
        short_day=light < 1,
    )


def _year_of_lay(age_weeks: float) -> int:
    if age_weeks < _S8_HIGH[0][0]:
        return 0
    return 1 + max(0, int((age_weeks - _SECOND_YEAR_WEEKS) // _YEAR_WEEKS + 1))


def _first_year(age_weeks: float) -> tuple[float, float]:
    low = min(_on(points, age_weeks, _FALL_MOST) for points in (_S7_LOW, _S8_LOW))
    high = max(_on(points, age_weeks, _FALL_LEAST) for points in (_S7_HIGH, _S8_HIGH))
    return low, high


def _later_year(year: int) -> tuple[float, float]:
    mean, peak = rate_of_year(_EGGS_A_YEAR), _S8_HIGH[-1][1]
    return mean * _KEPT_LEAST ** (year - 1), peak * _KEPT_MOST ** (year - 1)


def _on(points: _Points, at: float, fall: float) -> float:
    """The curve through the points, falling by `fall` a week after the last."""
    if at <= points[0][0]:
        return 0.0
    for (left, low), (right, high) in pairwise(points):
        if at <= right:
            return low + (high - low) * (at - left) / (right - left)
    last, peak = points[-1]
    return max(0.0, peak - fall * (at - last))


def _light_kept(day_hours: float | None) -> float:
    if day_hours is None:
        return 1.0
    hours = at_least_zero(day_hours, "The length of the day")
    share = (hours - _LIGHT_STOPS_H) / (_LIGHT_KEEPS_H - _LIGHT_STOPS_H)
    return min(1.0, max(0.0, share))
