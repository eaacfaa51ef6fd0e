"""Bleach in drinking water, and what stuff weighs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.errors import RequestError
from voicelog.husbandry.cleaning import bleach_dose, chlorine_ppm
from voicelog.husbandry.measures import mass_per_volume
from voicelog.types import Quantity


@pytest.mark.parametrize(
    ("bleach_ml", "litres", "ppm"), [(2.5, 22.5, 5.6), (45, 455, 4.9), (2.5, 18.9, 6.6)]
)
def test_example_24_bleach(bleach_ml: float, litres: float, ppm: float) -> None:
    """Source S65, tolerance 0.1; the last is the same dose in a US pail."""
    assert chlorine_ppm(bleach_ml, litres) == pytest.approx(ppm, abs=0.1)


@given(litres=st.floats(0.1, 10_000), percent=st.floats(1, 15))
def test_a_dose_comes_to_what_is_meant(litres: float, percent: float) -> None:
    """Source S65: 2 to 5 ppm."""
    dose = bleach_dose(litres, percent)
    assert chlorine_ppm(dose.low_ml, litres, percent) == pytest.approx(2)
    assert chlorine_ppm(dose.high_ml, litres, percent) == pytest.approx(5)


def test_a_dose_says_how_long_to_wait_and_what_to_mind() -> None:
    dose = bleach_dose(18.9)
    assert dose.wait_minutes == 10
    assert dose.low_ml == pytest.approx(0.8, abs=0.05)
    assert dose.high_ml == pytest.approx(1.9, abs=0.05)
    assert [one.caution for one in dose.advice] == ["bleach", "surface_water"]


def test_example_32_pellets() -> None:
    """Source S56, tolerance 0.5: 40 lb a cubic foot are 50 lb a bushel."""
    cubic_foot = Quantity(value=1, unit="cubic foot")
    weight = Quantity(value=40, unit="pound")
    assert mass_per_volume(weight, cubic_foot, "pound", "bushel") == pytest.approx(50, abs=0.5)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(RequestError, match="label"):
        chlorine_ppm(1, 10, 101)
    with pytest.raises(RequestError):
        chlorine_ppm(-1, 10)
    with pytest.raises(RequestError):
        bleach_dose(0)
