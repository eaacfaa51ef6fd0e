"""What holds of the sums of laying and feeding whatever the numbers are."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.errors import RequestError
from voicelog.husbandry import LaidRow

counts = st.integers(min_value=1, max_value=10_000)
weights = st.floats(min_value=0.01, max_value=10_000)


@given(laid=st.integers(0, 100_000), hens=counts, days=st.integers(1, 400))
def test_where_none_dies_both_productions_are_the_same(laid: int, hens: int, days: int) -> None:
    by_day = husbandry.hen_day_percent(laid, hens * days)
    assert husbandry.hen_housed_percent(laid, hens, days) == pytest.approx(by_day)
    a_hen = husbandry.hen_housed_count(laid, hens)
    assert a_hen / days * 100 == pytest.approx(by_day)


@given(
    housed=st.integers(1, 500),
    deaths=st.lists(st.integers(0, 20), min_size=1, max_size=60),
    laid=st.integers(0, 10_000),
)
def test_deaths_count_against_the_birds_housed(housed: int, deaths: list[int], laid: int) -> None:
    alive = [max(1, housed - sum(deaths[: day + 1])) for day in range(len(deaths))]
    by_day = husbandry.hen_day_percent(laid, sum(alive))
    by_housed = husbandry.hen_housed_percent(laid, housed, len(alive))
    assert by_housed <= by_day or by_housed == pytest.approx(by_day)


@given(rows=st.lists(st.tuples(st.integers(0, 50), st.integers(1, 60)), min_size=1, max_size=60))
def test_a_period_is_the_sum_of_its_rows_in_any_order(rows: list[tuple[int, int]]) -> None:
    made = [LaidRow(laid=laid, hen_days=hens) for laid, hens in rows]
    period = husbandry.laying_period(made)
    assert period == husbandry.laying_period(reversed(made))
    assert period.laid == sum(laid for laid, _ in rows)
    # A ratio of sums, which a mean of the daily percentages is not.
    daily = [husbandry.hen_day_percent(laid, hens) for laid, hens in rows]
    assert period.percent <= max(daily) + 1e-9
    assert period.percent >= min(daily) - 1e-9


def test_a_day_nobody_gathered_is_covered_by_the_next_gathering() -> None:
    missed = [
        LaidRow(laid=20, hen_days=30),
        LaidRow(laid=None, hen_days=30),
        LaidRow(laid=44, hen_days=30),
    ]
    assert husbandry.laying_period(missed).percent == pytest.approx(64 / 90 * 100)
    zero = [*missed[:1], LaidRow(laid=0, hen_days=30)]
    assert husbandry.laying_period(zero).percent == pytest.approx(20 / 60 * 100)


def test_days_not_gathered_yet_stay_out_at_the_end() -> None:
    rows = [LaidRow(laid=24, hen_days=30), *[LaidRow(laid=None, hen_days=30)] * 2]
    period = husbandry.laying_period(rows)
    assert (period.percent, period.hen_days, period.uncovered) == (80, 30, 2)


@given(feed=weights, laid=counts, more=counts)
def test_more_laid_on_the_same_feed_costs_less_each(feed: float, laid: int, more: int) -> None:
    assert husbandry.feed_per_dozen(feed, laid + more) < husbandry.feed_per_dozen(feed, laid)


@given(birds=counts, each=weights, percent=st.floats(1, 100))
def test_feed_a_dozen_foreseen_is_what_comes_of_it(birds: int, each: float, percent: float) -> None:
    days = 100
    laid = birds * days * percent / 100
    eaten = husbandry.feed_per_day(birds, each) * days
    foreseen = husbandry.feed_per_dozen_at(each, percent)
    assert foreseen == pytest.approx(eaten * 12 / laid)


@given(on_hand=weights, per_day=weights, more=weights)
def test_a_supply_lasts_longer_with_more_and_shorter_when_more_is_eaten(
    on_hand: float, per_day: float, more: float
) -> None:
    days = husbandry.days_left(on_hand, per_day)
    assert days * per_day == pytest.approx(on_hand)
    assert husbandry.days_left(on_hand + more, per_day) > days
    assert husbandry.days_left(on_hand, per_day + more) < days


@given(weeks=st.lists(st.integers(0, 5_000), max_size=30))
def test_weeks_and_running_totals_say_the_same(weeks: list[int]) -> None:
    totals = husbandry.running_totals(weeks)
    assert list(husbandry.weekly_amounts(totals)) == weeks
    assert sorted(totals) == list(totals)


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: husbandry.hen_day_percent(-1, 30),
        lambda: husbandry.hen_day_percent(20, 0),
        lambda: husbandry.hen_day_percent(math.nan, 30),
        lambda: husbandry.hen_housed_percent(20, 0, 30),
        lambda: husbandry.hen_housed_percent(20, 30, 0),
        lambda: husbandry.hen_housed_count(20, -3),
        lambda: husbandry.laying_period([]),
        lambda: husbandry.laying_period([LaidRow(laid=None, hen_days=30)]),
        lambda: husbandry.laying_period([LaidRow(laid=-2, hen_days=30)]),
        lambda: husbandry.sum_of_rows([1, -1]),
        lambda: husbandry.feed_per_day(-1, 0.25),
        lambda: husbandry.days_left(50, 0),
        lambda: husbandry.days_left(math.inf, 7.5),
        lambda: husbandry.feed_per_dozen(50, 0),
        lambda: husbandry.feed_per_dozen_at(0.25, 0),
        lambda: husbandry.feed_conversion(350, 0),
        lambda: husbandry.running_totals([-1]),
        lambda: husbandry.weekly_amounts([100, 90]),
    ],
)
def test_numbers_that_make_no_sense_are_refused(reckon: Callable[[], object]) -> None:
    with pytest.raises(RequestError) as refused:
        reckon()
    assert refused.value.todo
    assert refused.value.kept


def test_a_falling_total_is_named_by_its_week() -> None:
    with pytest.raises(RequestError, match=r"falls from 250 to 240 in week 3"):
        husbandry.weekly_amounts([100, 250, 240, 400])
