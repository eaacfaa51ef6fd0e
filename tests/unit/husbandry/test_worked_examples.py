"""Figures that published sources print, or that follow from what they print.

Each case begins with the number of the example, the id of its source (listed in
`voicelog.husbandry`) and the tolerance that the source's own rounding needs.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest

from voicelog import husbandry
from voicelog.farm import Measure
from voicelog.husbandry import LaidRow
from voicelog.types import Quantity

LAID_BY_MONTH = (20_001, 25_684, 26_661, 24_280, 20_337)
HEN_DAYS_BY_MONTH = (37_627, 35_955, 36_699, 36_334, 29_398)
"""Source S4."""
EATEN_BY_MALES = (120, 260, 390, 535, 740, 980, 1_095, 1_210, 1_320)
"""Source S42: grams in each week."""


def _months() -> list[LaidRow]:
    return [
        LaidRow(laid=laid, hen_days=hen_days)
        for laid, hen_days in zip(LAID_BY_MONTH, HEN_DAYS_BY_MONTH, strict=True)
    ]


def _pounds_a(volume_unit: str, cubic_feet_a_ton: float) -> float:
    ton = Quantity(value=1, unit="ton")
    space = Quantity(value=cubic_feet_a_ton, unit="cubic foot")
    return husbandry.mass_per_volume(ton, space, "pound", volume_unit)


CASES: tuple[tuple[str, str, float, float, Callable[[], float]], ...] = (
    ("1", "S4", 66.39, 0.01, lambda: husbandry.hen_day_percent(116_863, 176_013)),
    ("1 summed", "S4", 66.45, 0.01, lambda: husbandry.laying_period(_months()).percent),
    ("2", "S4", 63.28, 0.01, lambda: husbandry.hen_housed_percent(116_863, 1_223, 151)),
    ("2 summed", "S4", 63.34, 0.01, lambda: husbandry.hen_housed_percent(116_963, 1_223, 151)),
    ("4 hen-day", "S1", 80.0, 0, lambda: husbandry.hen_day_percent(720, 30 * 30)),
    ("4 hen-housed", "S1", 80.0, 0, lambda: husbandry.hen_housed_percent(720, 30, 30)),
    ("6 of fertile", "S4", 90.6, 0.1, lambda: husbandry.hatch_percent(1_728, 1_907)),
    ("7", "S103", 75, 0, lambda: husbandry.fertility_percent(120, 30)),
    ("12", "S44", 1.40, 0, lambda: husbandry.feed_conversion(350, 250)),
    ("14 male", "S42", 2.115, 0.001, lambda: husbandry.feed_conversion(5_330, 2_520)),
    ("14 female", "S42", 2.199, 0.001, lambda: husbandry.feed_conversion(4_530, 2_060)),
    ("22 conversion", "S41", 1.07, 0.01, lambda: husbandry.feed_conversion(150, 140)),
    ("31 shelled", "S55", 44.9, 0.05, lambda: _pounds_a("cubic foot", 44.5)),
    ("31 flaked", "S55", 34.0, 0.02, lambda: _pounds_a("cubic foot", 58.8)),
    ("31 shelled", "S55", 6.01, 0.02, lambda: _pounds_a("gallon", 44.5)),
    ("31 flaked", "S55", 4.55, 0.02, lambda: _pounds_a("gallon", 58.8)),
    ("35", "S7", 72.6, 0.1, lambda: husbandry.hen_day_percent(265, 365)),
    ("36 at 90", "S6", 3.33, 0.01, lambda: husbandry.feed_per_dozen_at(0.25, 90)),
    ("36 at 75", "S6", 4.00, 0.01, lambda: husbandry.feed_per_dozen_at(0.25, 75)),
    ("36 at 50", "S6", 6.00, 0.01, lambda: husbandry.feed_per_dozen_at(0.25, 50)),
)


@pytest.mark.parametrize(
    ("example", "source", "expected", "tolerance", "reckoned"),
    CASES,
    ids=[f"{example}, {source}" for example, source, *_ in CASES],
)
def test_a_figure_comes_out_as_printed(
    example: str, source: str, expected: float, tolerance: float, reckoned: Callable[[], float]
) -> None:
    assert reckoned() == pytest.approx(expected, rel=1e-12, abs=tolerance), (example, source)


@pytest.mark.parametrize(
    ("ounces", "pounds"),
    [(30, 56), (27, 50.5), (24, 45), (21, 39.5), (18, 34), (15, 28)],
)
def test_example_9_weight_of_a_case(ounces: float, pounds: float) -> None:
    """Source S20; its table is rounded to half pounds, hence 0.4 lb."""
    assert husbandry.case_weight(ounces) == pytest.approx(pounds, abs=0.4)


@pytest.mark.parametrize(
    ("ounces", "grams"),
    [(15, 35.4), (18, 42.5), (21, 49.6), (24, 56.7), (27, 63.8), (30, 70.9)],
)
def test_example_10_weight_of_one(ounces: float, grams: float) -> None:
    """Source S22, tolerance 0.05 g."""
    assert husbandry.weight_of_one(ounces) == pytest.approx(grams, abs=0.05)


def test_example_3_rows_are_summed_and_a_typed_total_is_compared() -> None:
    """Source S4, exact: the total printed under the column is a hundred too small."""
    laid = husbandry.sum_of_rows(LAID_BY_MONTH, typed=116_863)
    assert (laid.total, laid.typed, laid.off_by) == (116_963, 116_863, 100)
    hen_days = husbandry.sum_of_rows(HEN_DAYS_BY_MONTH, typed=176_013)
    assert (hen_days.total, hen_days.off_by) == (176_013, 0)
    period = husbandry.laying_period(_months())
    assert (period.laid, period.hen_days, period.uncovered) == (116_963, 176_013, 0)


def test_example_13_running_totals() -> None:
    """Source S42, exact."""
    totals = (120, 380, 770, 1_305, 2_045, 3_025, 4_120, 5_330, 6_650)
    assert husbandry.running_totals(EATEN_BY_MALES) == totals
    assert husbandry.weekly_amounts(totals) == EATEN_BY_MALES


def test_example_15_running_totals_show_a_misprinted_week() -> None:
    """Source S42, exact: one printed week, 355, does not fit the totals beside it."""
    totals = (110, 350, 705, 1_205, 1_850, 2_650, 3_560, 4_530, 5_540)
    printed = (110, 240, 355, 355, 645, 800, 910, 970, 1_010)
    weekly = husbandry.weekly_amounts(totals)
    assert weekly[3] == 500
    assert [at for at, week in enumerate(weekly) if week != printed[at]] == [3]


@pytest.mark.parametrize(
    ("stuff", "density", "pounds"), [("shelled", 6.01, 9.0), ("flaked", 4.55, 6.8)]
)
def test_example_31_two_scoops_of_three_quarts(stuff: str, density: float, pounds: float) -> None:
    """Source S55, tolerance 0.03 lb: the weight of a gallon and the size of the scoop meet."""
    measures = (
        Measure(unit="scoop", holds="3 quarts"),
        Measure(unit="gallon", of=stuff, holds=f"{density} lb"),
    )
    two = husbandry.convert(Quantity(value=2, unit="scoop"), "pound", measures, (stuff, "corn"))
    assert two.value == pytest.approx(pounds, abs=0.03)


def test_example_41_calendar() -> None:
    """Sources S94 and S98, exact; the day of setting is day 0."""
    calendar = husbandry.incubation_calendar(date(2027, 3, 1))
    assert calendar.candle == (date(2027, 3, 8), date(2027, 3, 15))
    assert calendar.lockdown == date(2027, 3, 19)
    assert calendar.hatch == date(2027, 3, 22)


def test_a_bag_lasts_as_long_as_is_eaten_from_it() -> None:
    """Derived: thirty at a quarter pound each, a bag of fifty pounds; tolerance 0.05 day."""
    per_day = husbandry.feed_per_day(30, 0.25)
    assert husbandry.days_left(50, per_day) == pytest.approx(6.7, abs=0.05)
