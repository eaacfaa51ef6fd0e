"""Day length against printed tables and a full ephemeris, and the days it crosses."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from astral import Observer, sun
from hypothesis import given
from hypothesis import strategies as st

from voicelog.errors import RequestError
from voicelog.husbandry.daylight import day_falls_below, day_length, light_to_add

days = st.dates(min_value=date(2000, 1, 1), max_value=date(2099, 12, 31))
latitudes = st.floats(-90, 90)


@pytest.mark.parametrize("latitude", [42.0, 44.5, 46.2])
def test_the_year_in_oregon(latitude: float) -> None:
    """Source S7: nearly 16 hours at midsummer, just over 8 at midwinter; its wording is loose at
    the south edge of the state, hence 0.9 h."""
    assert 16 - 0.9 <= day_length(date(2027, 6, 21), latitude) < 16
    assert 8 < day_length(date(2027, 12, 21), latitude) < 8 + 1.2


@pytest.mark.parametrize(
    ("day", "hours", "minutes"), [((9, 1), 13, 9), ((9, 15), 12, 29), ((9, 25), 12, 0)]
)
def test_a_printed_table_of_september(day: tuple[int, int], hours: int, minutes: int) -> None:
    """Luther College, Decorah, at 43.3 degrees north. Tolerance 4 minutes: its year is not printed,
    a leap year moves a day's 3 minutes, and its times are rounded."""
    reckoned = day_length(date(2027, *day), 43.3)
    assert reckoned == pytest.approx(hours + minutes / 60, abs=4 / 60)


def test_a_printed_shortest_day() -> None:
    """geoastro.de, Berlin at 52.51 degrees north: 7 h 39 min 27 s; tolerance a minute."""
    assert day_length(date(2002, 12, 21), 52.51) == pytest.approx(7 + 39.45 / 60, abs=1 / 60)


@given(latitude=st.floats(-60, 60))
def test_at_the_equinox_day_and_night_are_about_alike(latitude: float) -> None:
    """The sun's edge and the air's bending add 6 minutes at the equator, some more beyond."""
    assert day_length(date(2027, 3, 20), latitude) == pytest.approx(12.1, abs=0.2)


@pytest.mark.parametrize("latitude", [-60, -45, -20, 0, 20, 38.6, 45, 60])
def test_a_full_ephemeris_says_the_same(latitude: float) -> None:
    """Within 2 minutes, every tenth day of a year, by the library that tells dawn and dusk."""
    for ahead in range(0, 365, 10):
        day = date(2027, 1, 1) + timedelta(days=ahead)
        there = Observer(latitude=latitude, longitude=0)
        light = (sun.sunset(there, day) - sun.sunrise(there, day)).total_seconds() / 3600 % 24
        assert day_length(day, latitude) == pytest.approx(light, abs=2 / 60)


@given(day=days, latitude=latitudes)
def test_a_day_has_at_most_all_its_hours(day: date, latitude: float) -> None:
    assert 0 <= day_length(day, latitude) <= 24


def test_at_the_poles_the_sun_stays_up_or_down() -> None:
    assert day_length(date(2027, 6, 21), 90) == 24
    assert day_length(date(2027, 12, 21), 90) == 0
    assert day_length(date(2027, 6, 21), -90) == 0


@given(latitude=st.floats(35, 60), start=days, hours=st.sampled_from([12.0, 14.0]))
def test_the_day_found_is_the_first_shorter_one(latitude: float, start: date, hours: float) -> None:
    found = day_falls_below(hours, latitude, start)
    assert found is not None
    assert start <= found <= start + timedelta(days=366)
    assert day_length(found, latitude) < hours
    assert day_length(found - timedelta(days=1), latitude) >= hours


def test_autumn_comes_half_a_year_apart_on_the_two_halves() -> None:
    north = day_falls_below(14, 40, date(2027, 1, 1))
    south = day_falls_below(14, -40, date(2027, 1, 1))
    assert north is not None
    assert south is not None
    assert (north.month, south.month) == (8, 2)


def test_where_no_day_crosses_there_is_none() -> None:
    assert day_falls_below(14, 5, date(2027, 1, 1)) is None
    assert day_falls_below(25, 45, date(2027, 1, 1)) is None


@given(hours=st.floats(0, 24))
def test_light_fills_the_day_to_14_and_at_most_16(hours: float) -> None:
    """Sources S11 and S10."""
    light = light_to_add(hours)
    assert 0 <= light.least <= light.most
    assert hours + light.most <= 16 + 1e-9 or light.most == 0
    assert hours + light.least >= 14 - 1e-9


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(RequestError, match="latitude"):
        day_length(date(2027, 1, 1), 91)
    with pytest.raises(RequestError, match="calendar"):
        day_falls_below(12, 45, date(9999, 12, 1))
    with pytest.raises(RequestError):
        light_to_add(-1)
