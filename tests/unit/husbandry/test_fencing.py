"""Electric fences: levels, trend, rods and the order of a move."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.errors import RequestError
from voicelog.husbandry import FenceReading

NOW = datetime(2027, 5, 4, 8, tzinfo=UTC)
kilovolts = st.floats(min_value=0, max_value=12)


def _readings(*values: float) -> list[FenceReading]:
    return [FenceReading(at=NOW + timedelta(at), kilovolts=kv) for at, kv in enumerate(values)]


def test_example_29_ground_rods() -> None:
    """Source S89, exact: 6 J take 18 ft, three rods of 6 ft; S87 has one rod a joule."""
    rods = husbandry.ground_rods(6)
    assert (rods.feet, rods.rods, rods.rods_against_bears) == (18, 3, 6)
    assert {figure.source for figure in rods.figures} == {"S89", "S87"}


@given(joules=st.floats(0.1, 50), rod=st.floats(2, 12))
def test_rods_are_long_enough_and_not_one_too_many(joules: float, rod: float) -> None:
    rods = husbandry.ground_rods(joules, rod)
    assert rods.rods * rod >= rods.feet - 1e-9
    assert (rods.rods - 1) * rod < rods.feet + 1e-9
    assert husbandry.ground_rods(rod, rod).rods == 3


@pytest.mark.parametrize(
    ("reading", "use", "level"),
    [
        (6.0, "bear", "enough"),
        (5.9, "bear", "low"),
        (1.9, "bear", "down"),
        (3.0, "netting", "enough"),
        (2.9, "netting", "low"),
        (1.9, "netting", "down"),
        (2.9, None, "low"),
        (3.5, "cattle", "enough"),
    ],
)
def test_levels(reading: float, use: str | None, level: str) -> None:
    """Sources S86 and S87 for bears and cattle; netting from memory."""
    assert husbandry.fence_level(reading, use).level == level


def test_a_level_keeps_its_sources_and_a_low_one_its_advice() -> None:
    low = husbandry.fence_level(5, "bear")
    assert {figure.source for figure in low.floors} == {"S86", "S87"}
    assert low.advice
    assert {advice.caution for advice in low.advice} == {"electric_fence"}
    assert not husbandry.fence_level(7, "bear").advice
    assert all(figure.grade == "M" for figure in husbandry.fence_level(7).floors)


@given(reading=kilovolts, more=kilovolts, use=st.sampled_from(husbandry.fence_uses()))
def test_more_voltage_is_never_a_worse_level(reading: float, more: float, use: str) -> None:
    order = ["down", "low", "enough"]
    level = husbandry.fence_level(reading, use).level
    assert order.index(husbandry.fence_level(reading + more, use).level) >= order.index(level)


def test_one_wild_reading_does_not_turn_the_trend() -> None:
    trend = husbandry.fence_trend(_readings(6.0, 5.9, 5.8, 0.4, 5.6, 5.5, 5.4))
    assert trend.slope == pytest.approx(-0.1)
    assert (trend.newest.kilovolts, trend.readings, trend.days) == (5.4, 7, 6)
    falls = husbandry.falls_to(trend, 3)
    assert falls is not None
    assert falls - trend.newest.at == pytest.approx(timedelta(24), abs=timedelta(minutes=1))


@given(start=st.floats(4, 9), slope=st.floats(-0.5, 0.5), days=st.integers(1, 8))
def test_a_straight_line_has_its_own_slope(start: float, slope: float, days: int) -> None:
    values = [start + slope * at for at in range(days + 1)]
    trend = husbandry.fence_trend(reversed(_readings(*values)))
    assert trend.slope == pytest.approx(slope, abs=1e-9)
    lifted = husbandry.fence_trend(_readings(*(value + 1 for value in values)))
    assert lifted.slope == pytest.approx(trend.slope, abs=1e-9)


def test_a_rising_fence_falls_never_and_a_low_one_has_fallen() -> None:
    rising = husbandry.fence_trend(_readings(5, 6))
    assert husbandry.falls_to(rising, 3) is None
    assert husbandry.falls_to(rising, 6) == rising.newest.at


def test_a_move_is_off_dead_moved_on_and_tested() -> None:
    steps = husbandry.move_order()
    words = ("off", "dead", "netting", "ground", "on", "far end")
    assert len(steps) == len(words)
    for step, word in zip(steps, words, strict=True):
        assert word in step.text
        assert step.caution == "electric_fence"
        assert step.source == "common practice, no source"


def test_days_since_it_was_tested() -> None:
    assert husbandry.days_since_tested(date(2027, 5, 1), date(2027, 5, 4)) == 3
    assert [(f.low, f.high, f.source) for f in husbandry.tested_every()] == [(1, 2, "S75")]


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: husbandry.fence_level(-1),
        lambda: husbandry.fence_level(5, "dragons"),
        lambda: husbandry.fence_trend(_readings(5)),
        lambda: husbandry.fence_trend(_readings(5) * 3),
        lambda: husbandry.fence_trend(_readings(5, -1)),
        lambda: husbandry.falls_to(husbandry.fence_trend(_readings(5, 4)), -1),
        lambda: husbandry.ground_rods(0),
        lambda: husbandry.ground_rods(6, 0),
        lambda: husbandry.days_since_tested(date(2027, 5, 5), date(2027, 5, 4)),
    ],
)
def test_what_makes_no_sense_is_refused(reckon: Callable[[], object]) -> None:
    with pytest.raises(RequestError) as refused:
        reckon()
    assert refused.value.todo
