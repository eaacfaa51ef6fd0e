"""The band holds what each source says, and short days open it downwards."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.errors import RequestError
from voicelog.husbandry.laying_curve import expected_rate

weeks = st.floats(0, 400)


@pytest.mark.parametrize(
    ("age", "percent"),
    [(35, 90), (45, 90), (28, 85), (28, 95), (20, 0)],
)
def test_both_sources_lie_inside(age: float, percent: float) -> None:
    """Sources S7 (above 90 at 35 weeks, for ten) and S8 (85 to 95 at 28): they disagree."""
    band = expected_rate(age)
    assert band.low <= percent <= band.high


def test_a_year_of_the_band_holds_the_eggs_of_a_year() -> None:
    """Sources S7 and S8: 265 and 270 in a year, 72.6 to 74.0 percent."""
    year = [expected_rate(20 + week) for week in range(52)]
    assert sum(band.low for band in year) / 52 < 72.6
    assert sum(band.high for band in year) / 52 > 74.0


def test_none_lay_before_the_first_week_any_source_gives() -> None:
    before = expected_rate(17.9)
    assert (before.low, before.high, before.year_of_lay) == (0, 0, 0)


def test_later_years_give_less() -> None:
    bands = [expected_rate(age) for age in (72, 124, 176)]
    assert [band.year_of_lay for band in bands] == [2, 3, 4]
    for before, after in pairwise(bands):
        assert after.low == pytest.approx(before.low * 0.8)
        assert after.high == pytest.approx(before.high * 0.9)


@given(age=weeks, hours=st.floats(0, 24), laid=st.floats(1, 365))
def test_the_band_is_a_band(age: float, hours: float, laid: float) -> None:
    band = expected_rate(age, hours, laid)
    assert 0 <= band.low <= band.high <= 100


@given(age=weeks, hours=st.floats(0, 24), more=st.floats(0, 10))
def test_a_longer_day_never_lowers_what_is_expected(age: float, hours: float, more: float) -> None:
    short, long = expected_rate(age, hours), expected_rate(age, hours + more)
    assert short.low <= long.low
    assert short.high == long.high


def test_short_days_open_the_band_to_nothing() -> None:
    assert expected_rate(40, 11.9).low == 0
    assert expected_rate(40, 13).low == pytest.approx(expected_rate(40).low / 2)
    assert expected_rate(40, 14) == expected_rate(40)
    assert expected_rate(40, 13).short_day
    assert not expected_rate(40, 14).short_day


def test_breeds_that_lay_less_are_expected_to() -> None:
    assert expected_rate(40, eggs_a_year=180).high == pytest.approx(
        expected_rate(40).high * 180 / 265
    )


@pytest.mark.parametrize("given_", [(-1, None, 265), (40, -1, 265), (40, 14, 0)])
def test_what_makes_no_sense_is_refused(given_: tuple[float, float | None, float]) -> None:
    with pytest.raises(RequestError):
        expected_rate(*given_)
