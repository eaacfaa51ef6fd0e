"""When the sun rises and sets over a place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo

WITHOUT_SUN = {"dawn": time(6), "sunrise": time(6), "sunset": time(20), "dusk": time(20)}
"""Taken where no place is known, and on days on which the sun does not rise or set there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sky:
    """The place whose sun counts."""

    latitude: float
    """Degrees, north positive."""
    longitude: float
    """Degrees, east positive."""


def sun_time(event: str, day: date, zone: tzinfo | None, sky: Sky | None) -> datetime:
    """The minute of `event` (dawn, sunrise, sunset, dusk) on a day, on the zone's clock.

    Dawn and dusk are the civil ones, with the sun 6 degrees below the horizon, as `astral`
    reckons them.
    """
    usual = datetime.combine(day, WITHOUT_SUN[event], tzinfo=zone)
    if sky is None:
        return usual
    from astral import Observer, sun

    observer = Observer(latitude=sky.latitude, longitude=sky.longitude)
    try:
        found: datetime = getattr(sun, event)(observer, date=day, tzinfo=zone)
    except ValueError:  # the sun stays below or above all day
        return usual
    return found.replace(second=0, microsecond=0)
