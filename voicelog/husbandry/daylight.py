"""How long the day is, when it becomes too short for laying, and how much light is added."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import acos, asin, cos, degrees, isfinite, radians, sin

from voicelog.errors import RequestError
from voicelog.husbandry.bounds import at_least_zero

STOPS_BELOW_H = 12.0
"""Below about this birds go out of lay, S10, A."""
KEEPS_FROM_H = 14.0
KEEPS_TO_H = 16.0
"""14 to 16 hours keep a high rate, S11, A; 16 is the most there should be, S10, A."""
_SUN_AT_RISE = -0.833
"""Degrees of the sun's middle below the horizon when its edge shows, refraction counted; standard
definition, from memory, M."""
_EPOCH = date(2000, 1, 1)
_YEAR_DAYS = 366
_DAY_HOURS = 24.0
_DEGREES_AN_HOUR = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LightToAdd:
    """Lamp hours that make up a day; added before dawn, so that dusk comes by itself (S10, A)."""

    day_hours: float
    """Without a lamp."""
    least: float
    """Hours to 14."""
    most: float
    """Hours to 16, never more than that altogether."""


def day_length(day: date, latitude: float) -> float:
    """Hours from sunrise to sunset over a flat horizon.

    Unit: hours.
    Range: 0 to 24; nearly 16 at midsummer to just over 8 at midwinter in Oregon (S7, B); about
        12 everywhere at the equinoxes, some minutes more since the sun's edge and the air's
        bending count. Within 2 minutes of a full ephemeris up to 60 degrees of latitude.
    Source: low-precision sun of the Astronomical Almanac, from memory, grade M; checked on S7,
        grade B.

    Args:
        day: of the calendar.
        latitude: degrees, north positive.

    Raises:
        RequestError: the latitude is none.
    """
    if not isfinite(latitude) or abs(latitude) > 90:
        raise RequestError(
            f"The latitude is given as {latitude}, and runs from -90 to 90.",
            kept="Nothing was reckoned.",
            todo="Give degrees, north positive.",
        )
    # At a pole the horizon's angle has no hour; a hair beside it the sun is just as high.
    north = radians(max(-89.999, min(89.999, latitude)))
    declination = _declination(day)
    share = (sin(radians(_SUN_AT_RISE)) - sin(north) * sin(declination)) / (
        cos(north) * cos(declination)
    )
    return 2 * degrees(acos(max(-1.0, min(1.0, share)))) / _DEGREES_AN_HOUR


def day_falls_below(hours: float, latitude: float, start: date) -> date | None:
    """The next day, from `start` on, that is the first one shorter than so many hours.

    Unit: date.
    Range: within a year of `start`; None where no day crosses it, as near the equator, or in the
        polar summer.
    Source: `day_length`, grade M; 14 hours from S11, grade A, and 12 from S10, grade A.

    Raises:
        RequestError: the latitude or the hours are none, or the calendar ends.
    """
    if at_least_zero(hours, "The length of the day") > _DAY_HOURS:
        return None
    try:
        before = day_length(start - timedelta(days=1), latitude)
        for ahead in range(_YEAR_DAYS):
            day = start + timedelta(days=ahead)
            now = day_length(day, latitude)
            if now < hours <= before:
                return day
            before = now
    except OverflowError as problem:
        raise RequestError(
            f"The year after {start} runs past the end of the calendar.",
            kept="Nothing was reckoned.",
            todo="Give a day of these years.",
        ) from problem
    return None


def light_to_add(day_hours: float) -> LightToAdd:
    """Lamp hours that a day needs to keep birds laying, if the keeper wants them to.

    Hens may also be left to rest in winter. Light is enough where a newspaper can be read at
    arm's length (S10, A).

    Unit: hours.
    Range: 0 and up; the day then has 14 to 16 hours.
    Source: S11, grade A; S10, grade A, for 16 as the most and for adding it before dawn.

    Raises:
        RequestError: the length of the day is below 0.
    """
    natural = at_least_zero(day_hours, "The length of the day")
    return LightToAdd(
        day_hours=natural,
        least=max(0.0, KEEPS_FROM_H - natural),
        most=max(0.0, KEEPS_TO_H - natural),
    )


def _declination(day: date) -> float:
    """The sun's declination at noon, in radians."""
    days = (day - _EPOCH).days
    mean_longitude = 280.460 + 0.9856474 * days
    anomaly = radians(357.528 + 0.9856003 * days)
    longitude = radians(mean_longitude + 1.915 * sin(anomaly) + 0.020 * sin(2 * anomaly))
    obliquity = radians(23.439 - 0.0000004 * days)
    return asin(sin(obliquity) * sin(longitude))
