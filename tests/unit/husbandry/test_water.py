"""What a flock drinks, as each source gives it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.errors import RequestError
from voicelog.farm import Measure
from voicelog.husbandry.water import (
    Drinkers,
    WaterNeed,
    water_change,
    water_for_gain,
    water_in,
    water_need,
    water_to_feed,
)

HOT_C = (90 - 32) / 1.8
THIRTY = Drinkers(class_="layer", count=30)
CLASSES = ("layer", "pullet", "chick", "broiler", "cock")


def _by(need: WaterNeed, source: str) -> list[tuple[float, float]]:
    return [(one.low_ml, one.high_ml) for one in need.by_source if one.source == source]


@pytest.mark.parametrize(
    ("degrees", "millilitres", "gallons"), [(20, 210, 1.67), (HOT_C, 400, 3.17)]
)
def test_example_19_laying_hens(degrees: float, millilitres: float, gallons: float) -> None:
    """Source S13, tolerance 1 percent."""
    ((low, high),) = _by(water_need([THIRTY], degrees), "S13")
    assert low == high == pytest.approx(millilitres, rel=0.01)
    of_thirty = WaterNeed(low_ml=30 * low, high_ml=30 * high, by_source=())
    assert water_in(of_thirty, "gallon").low == pytest.approx(gallons, rel=0.01)


def test_example_20_flocks_of_a_country() -> None:
    """Source S58, tolerance 1 percent: 179 ml, 1.42 gal for thirty; an earlier review 190 ml."""
    ((low, high),) = _by(water_need([THIRTY]), "S58")
    assert low == pytest.approx(179, rel=0.01)
    assert high == pytest.approx(190, rel=0.01)
    of_thirty = WaterNeed(low_ml=30 * low, high_ml=30 * high, by_source=())
    assert water_in(of_thirty, "gallon").low == pytest.approx(1.42, rel=0.01)


@pytest.mark.parametrize(
    ("days", "by_age", "by_table"), [(7, 37, 65), (14, 74, 120), (28, 148, 245), (42, 222, 330)]
)
def test_example_21_meat_birds_by_age(days: int, by_age: float, by_table: float) -> None:
    """Sources S60 and S14, tolerance 1 ml: they disagree, and the need is the whole range."""
    need = water_need([Drinkers(class_="broiler", count=1, age_days=days)])
    assert _by(need, "S60")[0][0] == pytest.approx(by_age, abs=1)
    assert _by(need, "S14")[0][0] == pytest.approx(by_table, abs=1)
    assert need.low_ml <= by_age + 1
    assert need.high_ml >= by_table


def test_example_22_first_week() -> None:
    """Source S41: 340 ml and 150 g of feed in a week, a chick of 40 g; tolerance 0.01."""
    assert water_to_feed(340, 150) == pytest.approx(2.27, abs=0.01)
    need = water_need([Drinkers(class_="broiler", count=1, age_days=3)])
    assert _by(need, "S41")[0][0] * 7 / 40 == pytest.approx(8.5, abs=0.01)


def test_example_23_water_by_feed() -> None:
    """Source S45, exact: a quart of water for a pound of feed."""
    assert water_for_gain(1.75, 0.25) == 0.4375


def test_the_need_is_the_range_of_all_sources() -> None:
    """Sources S58 (179) to S59 (320), times thirty."""
    need = water_need([THIRTY])
    assert need.low_ml == pytest.approx(30 * 179, rel=0.01)
    assert need.high_ml == pytest.approx(30 * 320)
    assert len(need.by_source) == 4


def test_a_source_of_mild_weather_does_not_lower_the_need_in_heat() -> None:
    hot = water_need([THIRTY], HOT_C)
    assert {one.source for one in hot.by_source if one.mild_only} == {"S58", "S59"}
    assert hot.low_ml == pytest.approx(30 * 220 * 1.3)


def test_extreme_heat_may_take_four_times_as_much() -> None:
    """Source S13."""
    assert water_need([THIRTY], 38).high_ml == pytest.approx(4 * water_need([THIRTY]).high_ml)


@given(
    class_=st.sampled_from(CLASSES),
    age=st.one_of(st.none(), st.integers(126, 900)),
    degrees=st.floats(-20, 45),
    warmer=st.floats(0, 20),
)
def test_warmer_never_takes_less(
    class_: str, age: int | None, degrees: float, warmer: float
) -> None:
    group = [Drinkers(class_=class_, count=7, age_days=age)]
    cool, warm = water_need(group, degrees), water_need(group, degrees + warmer)
    assert 0 < cool.low_ml <= cool.high_ml
    assert warm.low_ml >= cool.low_ml - 1e-6
    assert warm.high_ml >= cool.high_ml - 1e-6


@given(hens=st.integers(0, 90), cocks=st.integers(0, 9), degrees=st.floats(0, 40))
def test_flocks_add_up(hens: int, cocks: int, degrees: float) -> None:
    groups = [Drinkers(class_="layer", count=hens), Drinkers(class_="cock", count=cocks)]
    both = water_need(groups, degrees)
    apart = [water_need([group], degrees) for group in groups]
    assert both.low_ml == pytest.approx(sum(one.low_ml for one in apart))
    assert both.high_ml == pytest.approx(sum(one.high_ml for one in apart))


@given(age=st.integers(1, 56))
def test_a_meat_bird_has_a_need_at_every_age(age: int) -> None:
    now = water_need([Drinkers(class_="broiler", count=1, age_days=age)])
    assert now.low_ml > 0


@given(age=st.integers(1, 900))
def test_a_chick_of_any_age_has_a_need(age: int) -> None:
    assert water_need([Drinkers(class_="chick", count=1, age_days=age)]).low_ml > 0


def test_buckets_are_the_farms_own() -> None:
    measures = (Measure(unit="bucket", holds="4 gallons"),)
    in_buckets = water_in(water_need([THIRTY]), "bucket", measures, ("water",))
    assert in_buckets.high == pytest.approx(9.6 / 3.785411784 / 4)
    with pytest.raises(RequestError, match="bucket"):
        water_in(water_need([THIRTY]), "bucket")


@pytest.mark.parametrize(
    ("today", "warned", "grave"),
    [(10, False, False), (8.1, False, False), (8, True, False), (7.5, True, True), (0, True, True)],
)
def test_a_fall_of_a_fifth_is_warned(today: float, warned: bool, grave: bool) -> None:
    """Sources S46 (20 percent) and S124 (25)."""
    change = water_change(today, [99, *[10.0] * 7])
    assert change is not None
    assert (change.warned, change.grave, change.mean_before) == (warned, grave, 10)
    assert change.change_percent == pytest.approx(today * 10 - 100)


def test_two_days_before_say_too_little() -> None:
    assert water_change(1, [10, 10]) is None


def test_what_is_not_known_is_refused() -> None:
    with pytest.raises(RequestError, match="'dragon'"):
        water_need([Drinkers(class_="dragon", count=1)])
    with pytest.raises(RequestError, match="of 3 days"):
        water_need([Drinkers(class_="layer", count=1, age_days=3)])
    with pytest.raises(RequestError):
        water_need([Drinkers(class_="layer", count=-1)])
    with pytest.raises(RequestError):
        water_change(1, [0, 0, 0])
    with pytest.raises(RequestError):
        water_to_feed(1, 0)
