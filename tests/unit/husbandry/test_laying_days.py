"""Birds of laying age on each day, and rates of the last days."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.errors import RequestError
from voicelog.husbandry.laying import LaidRow, hen_day_percent, laying_period
from voicelog.husbandry.laying_days import (
    BirdGroup,
    BirdsLost,
    laying_birds,
    laying_days,
    rate_of_year,
    recent_rate,
    recent_rates,
)

DAY = date(2027, 5, 1)


def _day(ahead: int) -> date:
    return DAY + timedelta(days=ahead)


def test_a_bird_counts_on_the_day_it_comes_and_on_the_day_it_is_lost() -> None:
    hens = BirdGroup(count=30, came=DAY, lost=(BirdsLost(day=_day(1), count=2),))
    late = BirdGroup(count=5, came=_day(3))
    assert laying_birds([hens, late], _day(-1), _day(4)) == (0, 30, 30, 28, 33, 33)


def test_pullets_count_from_point_of_lay_and_not_before_they_came() -> None:
    hatched = BirdGroup(count=10, came=DAY, hatched=DAY, lost=(BirdsLost(day=_day(3), count=1),))
    assert laying_birds([hatched], _day(139), _day(140)) == (0, 9)
    assert laying_birds([hatched], _day(125), _day(126), lays_from_weeks=18) == (0, 9)
    bought = BirdGroup(count=4, came=_day(200), hatched=DAY)
    assert laying_birds([bought], _day(199), _day(200)) == (0, 4)


@given(
    counts=st.lists(st.integers(0, 50), min_size=1, max_size=5),
    came=st.integers(0, 30),
    losses=st.lists(st.integers(0, 60), max_size=5),
)
def test_the_number_alive_is_what_came_less_what_was_lost(
    counts: list[int], came: int, losses: list[int]
) -> None:
    first = BirdGroup(
        count=counts[0] + len(losses),
        came=DAY,
        lost=tuple(BirdsLost(day=_day(at), count=1) for at in losses),
    )
    rest = [BirdGroup(count=count, came=_day(came)) for count in counts[1:]]
    alive = laying_birds([first, *rest], DAY, _day(90))
    assert alive[-1] == sum(counts)
    assert alive[0] == first.count + (sum(counts[1:]) if came == 0 else 0)


def test_more_lost_than_came_is_refused() -> None:
    group = BirdGroup(count=1, came=DAY, lost=(BirdsLost(day=DAY, count=2),))
    with pytest.raises(RequestError, match="2 are written down as lost"):
        laying_birds([group], DAY, DAY)
    with pytest.raises(RequestError, match="backwards"):
        laying_birds([], DAY, _day(-1))


def test_a_day_nobody_gathered_is_missing_and_not_zero() -> None:
    rows = laying_days((30, 30, 29), DAY, {DAY: 20, _day(2): 44})
    assert [row.laid for row in rows] == [20, None, 44]
    assert laying_period(rows).percent == pytest.approx(64 / 89 * 100)
    with pytest.raises(RequestError, match="outside the days"):
        laying_days((30,), DAY, {_day(1): 3})
    with pytest.raises(RequestError):
        laying_days((30,), DAY, {DAY: -3})


def test_the_days_before_a_gathering_count_with_it() -> None:
    rows = [LaidRow(laid=laid, hen_days=30) for laid in (24, 24, None, None, 70, 20)]
    three = recent_rate(rows, 3).period
    assert three is not None
    assert (three.laid, three.hen_days) == (90, 120)
    assert recent_rate([*rows, LaidRow(laid=None, hen_days=30)], 1).period is None
    assert recent_rate([LaidRow(laid=0, hen_days=0)], 3).period is None


@given(rows=st.lists(st.tuples(st.integers(0, 30), st.integers(30, 40)), min_size=14, max_size=40))
def test_rates_of_the_last_days_are_sums_over_sums(rows: list[tuple[int, int]]) -> None:
    made = [LaidRow(laid=laid, hen_days=hens) for laid, hens in rows]
    rates = recent_rates(made)
    assert [rate.days for rate in rates] == [3, 7, 14]
    for rate in rates:
        last = rows[-rate.days :]
        expected = hen_day_percent(sum(laid for laid, _ in last), sum(hens for _, hens in last))
        assert rate.period is not None
        assert rate.period.percent == pytest.approx(expected)


@pytest.mark.parametrize(("laid", "percent"), [(265, 72.6), (270, 74.0), (150, 41.1), (220, 60.3)])
def test_example_35_rate_of_a_year(laid: int, percent: float) -> None:
    """Sources S7 and S8, tolerance 0.1; heritage breeds from memory."""
    assert rate_of_year(laid) == pytest.approx(percent, abs=0.1)


def test_no_days_are_no_span() -> None:
    with pytest.raises(RequestError):
        recent_rate([LaidRow(laid=1, hen_days=2)], 0)
