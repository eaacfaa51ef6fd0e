"""Heat, damp and air: indices, steps of heat, and air in the cold."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.catalogue import load_catalogue
from voicelog.catalogue.standards import load_standards
from voicelog.errors import RequestError
from voicelog.husbandry.heat import (
    BODY_WARMS_AT,
    cold_air,
    heat_step,
    hen_heat_index,
    humidity_index,
    meat_bird_heat_index,
    wet_bulb,
)


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def test_the_wet_bulb_is_that_of_a_psychrometric_table() -> None:
    """Source S202: 68 °F dry and 62 °F wet are 71 percent; S201 is good to 1 below, 0.65 above."""
    reckoned = wet_bulb(_celsius(68), 71)
    assert -1 <= reckoned - _celsius(62) <= 0.65


def test_the_wet_bulb_is_that_of_its_papers_own_example() -> None:
    """Source S201, from memory: 20 °C and 50 percent give 13.7 °C."""
    assert wet_bulb(20, 50) == pytest.approx(13.7, abs=0.05)


@given(degrees=st.floats(0, 50), humidity=st.floats(10, 98))
def test_the_wet_bulb_lies_below_the_dry_one_and_rises_with_damp(
    degrees: float, humidity: float
) -> None:
    wet = wet_bulb(degrees, humidity)
    assert wet <= degrees + 0.65
    assert wet_bulb(degrees, humidity + 1) > wet


@pytest.mark.parametrize(("degrees", "humidity", "printed"), [(27, 56, 24.2), (36, 45, 32.1)])
def test_the_index_for_hens_matches_its_trial(
    degrees: float, humidity: float, printed: float
) -> None:
    """Source S16, tolerance 0.3."""
    assert hen_heat_index(degrees, humidity) == pytest.approx(printed, abs=0.3)


def test_hens_warm_from_the_index_derived() -> None:
    """Source S12: 24.1 °C at 35 percent, 21.9 °C at 85 percent."""
    low, high = BODY_WARMS_AT
    assert hen_heat_index(24.1, 35) == pytest.approx(low, abs=0.1)
    assert hen_heat_index(21.9, 85) == pytest.approx(high, abs=0.1)


def test_example_34_meat_birds_in_wind() -> None:
    """Source S19, tolerance 0.05."""
    assert meat_bird_heat_index(35, 25, 0.7) == pytest.approx(34.2, abs=0.05)


@given(dry=st.floats(20, 45), wind=st.floats(0, 5), more=st.floats(0, 2))
def test_wind_never_heats(dry: float, wind: float, more: float) -> None:
    wet = dry - 5
    assert meat_bird_heat_index(dry, wet, wind + more) <= meat_bird_heat_index(dry, wet, wind)


@given(degrees=st.floats(15, 45), humidity=st.floats(10, 90), more=st.floats(0.1, 5))
def test_hotter_and_damper_press_harder(degrees: float, humidity: float, more: float) -> None:
    for index in (hen_heat_index, humidity_index):
        assert index(degrees + more, humidity) > index(degrees, humidity)
        assert index(degrees, humidity + more) > index(degrees, humidity)


def test_the_scale_for_cattle_at_full_damp_is_the_temperature() -> None:
    assert humidity_index(30, 100) == pytest.approx(86)


@pytest.mark.parametrize(
    ("today", "yesterday", "panting", "name", "because"),
    [
        (79.9, None, False, None, None),
        (80, None, False, "watch", "temperature"),
        (85, None, False, "shade and water", "temperature"),
        (90, None, False, "act", "temperature"),
        (95, None, False, "emergency", "temperature"),
        (82, None, True, "act", "sign"),
        (70, None, True, None, None),
        (88, 78, False, "shade and water", "temperature"),
        (88, 77, False, "emergency", "jump"),
        (60, 30, False, None, None),
    ],
)
def test_steps_of_heat(
    today: float, yesterday: float | None, panting: bool, name: str | None, because: str | None
) -> None:
    step = heat_step(today, yesterday, panting=panting)
    assert (step and step.name, step and step.because) == (name, because)
    assert step is None or step.do


def test_the_keeper_may_move_the_steps() -> None:
    cooler = [replace(step, from_f=step.from_f - 5) for step in load_standards().heat]
    step = heat_step(75, steps=cooler)
    assert step is not None
    assert step.name == "watch"
    assert heat_step(75, steps=[]) is None


def test_the_steps_rise() -> None:
    assert all(low.from_f < high.from_f for low, high in pairwise(load_standards().heat))


def test_example_26_air_in_the_cold() -> None:
    """Source S84, exact: 20,000 birds of a pound; derived: thirty of five pounds."""
    assert cold_air(20_000).cubic_feet_a_minute == 8_000
    assert cold_air(150).cubic_feet_a_minute == 60


def test_the_cautions_are_declared() -> None:
    step = heat_step(95)
    assert step is not None
    assert load_catalogue().caution(step.caution).text
    assert [one.caution for one in cold_air(1).advice] == ["cold_air"]


@pytest.mark.parametrize("given_", [(51, 50), (20, 4), (20, 100), (float("nan"), 50), (-21, 50)])
def test_outside_the_formula_nothing_is_reckoned(given_: tuple[float, float]) -> None:
    with pytest.raises(RequestError, match="outside"):
        wet_bulb(*given_)


def test_a_wet_bulb_above_the_dry_one_is_refused() -> None:
    with pytest.raises(RequestError):
        meat_bird_heat_index(20, 21, 1)
    with pytest.raises(RequestError):
        heat_step(float("inf"))
    with pytest.raises(RequestError):
        cold_air(0)
