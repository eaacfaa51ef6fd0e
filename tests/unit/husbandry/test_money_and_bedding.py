"""Stock, cost, sales and what boxes take."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.errors import RequestError

amounts = st.floats(min_value=0.01, max_value=10_000)
several = st.lists(amounts, max_size=12)


def test_example_30_a_bale_and_a_box() -> None:
    """Source S85, tolerance 0.01: a box of 18 by 12 by 15 in, a bale of 10 cubic feet."""
    box = husbandry.box_volume(18, 12, 15)
    assert box == pytest.approx(1.875, abs=0.01)
    assert husbandry.boxes_filled(10, box) == pytest.approx(5.33, abs=0.01)


def test_boxes_bedded_to_a_depth() -> None:
    """Derived: six boxes a foot square, three inches deep, are one and a half cubic feet."""
    assert husbandry.bedding_needed(12, 12, 3, boxes=6) == pytest.approx(1.5)
    assert husbandry.bales_needed(1.5, 8, compressed=False) == pytest.approx((0.1875, 0.1875))
    assert husbandry.bales_needed(15, 3, compressed=True) == pytest.approx((2, 2.5))
    assert [(f.low, f.high) for f in husbandry.bedding_depth("nest_box")] == [(2, 3)]
    assert husbandry.bedding_depth("moon") == ()


@given(length=amounts, width=amounts, depth=amounts, boxes=st.integers(1, 50))
def test_what_is_needed_covers_the_boxes(
    length: float, width: float, depth: float, boxes: int
) -> None:
    cubic_feet = husbandry.bedding_needed(length, width, depth, boxes)
    covered = husbandry.area_covered(cubic_feet, depth)
    assert covered == pytest.approx(boxes * length * width / 144)
    one = husbandry.bedding_needed(length, width, depth)
    assert husbandry.boxes_filled(cubic_feet, one) == pytest.approx(boxes)
    fewest, most = husbandry.bales_needed(cubic_feet, 3, compressed=True)
    assert fewest < most < husbandry.bales_needed(cubic_feet, 3, compressed=False)[0]


@given(counted=amounts, bought=several, used=several, seed=st.randoms(use_true_random=False))
def test_stock_is_what_came_less_what_went(
    counted: float, bought: list[float], used: list[float], seed: random.Random
) -> None:
    stock = husbandry.stock_on_hand(counted, bought, used)
    left = counted + sum(bought) - sum(used)
    assert stock.on_hand - stock.missing == pytest.approx(left, abs=1e-6)
    assert 0 in (stock.on_hand, stock.missing)
    seed.shuffle(bought)
    assert husbandry.stock_on_hand(counted, bought, used) == stock


def test_more_used_than_there_was_is_a_note_that_is_missing() -> None:
    stock = husbandry.stock_on_hand(10, [50], [70])
    assert (stock.on_hand, stock.missing) == (0, 10)


@given(costs=several, sales=several, laid=st.integers(1, 5_000))
def test_profit_and_its_dozens(costs: list[float], sales: list[float], laid: int) -> None:
    period = husbandry.account(costs, sales)
    assert period.profit == pytest.approx(sum(sales) - sum(costs), abs=1e-6)
    assert husbandry.account(sales, costs).profit == -period.profit
    a_dozen = husbandry.per_dozen(period.profit, laid)
    assert a_dozen == pytest.approx(
        husbandry.per_dozen(period.sales, laid) - husbandry.per_dozen(period.cost, laid), abs=1e-6
    )


@given(cost=amounts, dozens=amounts)
def test_a_price_that_covers_the_cost_leaves_nothing(cost: float, dozens: float) -> None:
    price = husbandry.price_to_cover(cost, dozens)
    period = husbandry.account([cost], [price * dozens])
    assert period.profit == pytest.approx(0, abs=1e-9 * cost)
    assert husbandry.margin_percent(period) == pytest.approx(0, abs=1e-6)


def test_money_of_a_week() -> None:
    """Invented: a bag of 50 lb for 20 dollars, 22 dozen laid in the time, 18 sold for 5."""
    period = husbandry.account([20, 4.5], [18 * 5])
    assert period.profit == 65.5
    assert husbandry.margin_percent(period) == pytest.approx(72.8, abs=0.05)
    assert husbandry.per_dozen(period.cost, 264) == pytest.approx(1.1136, abs=1e-4)
    assert husbandry.cost_of_one(20, 50) == 0.4
    assert husbandry.daily_use([7.5, 7.0, 8.0], 3) == 7.5


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: husbandry.box_volume(-1, 12, 15),
        lambda: husbandry.bedding_needed(12, 12, 3, boxes=-1),
        lambda: husbandry.area_covered(3, 0),
        lambda: husbandry.boxes_filled(10, 0),
        lambda: husbandry.bales_needed(3, 0, compressed=True),
        lambda: husbandry.stock_on_hand(0, [-1], []),
        lambda: husbandry.account([math.nan], []),
        lambda: husbandry.per_dozen(5, 0),
        lambda: husbandry.per_dozen(math.nan, 12),
        lambda: husbandry.price_to_cover(5, 0),
        lambda: husbandry.margin_percent(husbandry.account([5], [])),
        lambda: husbandry.cost_of_one(20, 0),
        lambda: husbandry.daily_use([1], 0),
    ],
)
def test_what_makes_no_sense_is_refused(reckon: Callable[[], object]) -> None:
    with pytest.raises(RequestError) as refused:
        reckon()
    assert refused.value.todo
