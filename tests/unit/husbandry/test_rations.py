"""What birds eat and what is in it, and when to buy more."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.errors import RequestError
from voicelog.farm import Measure
from voicelog.husbandry import FeedPart, Figure
from voicelog.types import Quantity

TODAY = date(2027, 5, 4)
weights = st.floats(min_value=0.01, max_value=1_000)
percents = st.floats(min_value=0, max_value=60)
parts = st.builds(FeedPart, weight=weights, protein_percent=percents)
GRAMS_A_POUND = 453.592_37


def _figure(low: float, high: float) -> Figure:
    return Figure(low=low, high=high, unit="pound", source="from memory", grade="M")


def test_example_16_calcium_in_percent() -> None:
    """Source S49, tolerance 0.01."""
    assert husbandry.calcium_percent_needed(4.10, 95) == pytest.approx(4.32, abs=0.01)


def test_example_17_calcium_after_intake_falls() -> None:
    """Source S49, tolerance 0.01; lysine of the same page, 1 mg."""
    assert husbandry.nutrient_eaten(85, 4.32) == pytest.approx(3.67, abs=0.01)
    assert husbandry.calcium_percent_needed(4.10, 85) == pytest.approx(4.82, abs=0.01)
    assert husbandry.nutrient_eaten(85, 0.79) * 1_000 == pytest.approx(672, abs=1)


@pytest.mark.parametrize(("share", "left"), [(10, 15.3), (20, 14.6), (30, 13.9)])
def test_protein_after_scratch(share: float, left: float) -> None:
    """Source S36, exact: scratch of 9 percent in a ration of 16."""
    mix = [
        FeedPart(weight=100 - share, protein_percent=16),
        FeedPart(weight=share, protein_percent=9),
    ]
    assert husbandry.protein_of_mix(mix) == pytest.approx(left, abs=1e-9)


@given(mix=st.lists(parts, min_size=1, max_size=6), factor=st.floats(0.1, 10))
def test_a_mix_lies_between_its_parts(mix: list[FeedPart], factor: float) -> None:
    protein = husbandry.protein_of_mix(mix)
    percents_ = [part.protein_percent for part in mix]
    assert min(percents_) - 1e-9 <= protein <= max(percents_) + 1e-9
    scaled = [
        FeedPart(weight=part.weight * factor, protein_percent=part.protein_percent) for part in mix
    ]
    assert husbandry.protein_of_mix(scaled) == pytest.approx(protein, abs=1e-9)


def test_treats_are_ten_percent_at_most() -> None:
    """Source S51."""
    assert husbandry.treats_share(1, 9).position == "within"
    assert husbandry.treats_share(2, 9).position == "above"


def test_intake_of_layers_shows_where_the_sources_differ() -> None:
    """Sources S35, S36 and S37."""
    figures = husbandry.intake_range("layer")
    assert {f.source for f in figures} == {"S35", "S36", "S37"}
    assert husbandry.intake_compared(0.25, "layer").position == "within"
    assert husbandry.intake_compared(0.25, "layer").disputed
    assert husbandry.intake_compared(0.30, "layer").position == "above"
    assert husbandry.intake_compared(0.15, "layer").position == "below"


def test_examples_13_and_15_stand_in_the_table() -> None:
    """Source S42, exact but for the conversion to pounds: what both sexes ate by each week."""
    eaten = [
        next(f for f in husbandry.intake_range("broiler", week) if f.source == "S42")
        for week in range(1, 10)
    ]
    males = husbandry.running_totals(f.high * 7 * GRAMS_A_POUND for f in eaten)
    females = husbandry.running_totals(f.low * 7 * GRAMS_A_POUND for f in eaten)
    assert males == pytest.approx((120, 380, 770, 1305, 2045, 3025, 4120, 5330, 6650))
    assert females == pytest.approx((110, 350, 705, 1205, 1850, 2650, 3560, 4530, 5540))


def test_feed_of_a_meat_bird_in_six_weeks() -> None:
    """Source S42: 2,650 to 3,025 g, which is 5.8 to 6.7 lb; tolerance 0.05 lb."""
    assert husbandry.feed_needed("broiler", 1, 1, 6) == pytest.approx((5.84, 6.67), abs=0.05)


@given(week=st.integers(1, 18))
def test_young_layers_eat_more_with_age(week: int) -> None:
    (now,) = husbandry.intake_range("chick", week)
    later = husbandry.intake_range("chick", week + 1)
    assert now.unit == "pound a day"
    assert now.grade == "M"
    assert not later or later[0].high >= now.high


def test_protein_by_age_keeps_every_source() -> None:
    """Sources S47, S48 and S42."""
    ranges = {f.source: (f.low, f.high) for f in husbandry.protein_range("pullet", 10)}
    assert ranges == {"S47": (15, 16), "S48": (16, 18), "S42": (15, 15)}
    assert {f.source for f in husbandry.protein_range("layer")} == {"S47", "from memory"}
    assert husbandry.protein_range("chick") == ()


def test_what_is_usual_of_a_dozen_and_of_a_gain() -> None:
    assert {f.source for f in husbandry.per_dozen_usual("layer")} == {"S43", "S6"}
    assert {f.low for f in husbandry.conversion_usual("broiler")} == {1.4, 1.75, 2.0}
    assert {f.low for f in husbandry.calcium_needed("layer")} == {4.1, 3.25}
    assert husbandry.calcium_needed("chick") == ()


def test_pounds_come_from_scoops_by_the_farms_own_measure() -> None:
    scoop = Measure(unit="scoop", of="layer", holds="3.2 lb")
    fed = husbandry.convert(Quantity(value=2, unit="scoop"), "pound", (scoop,), ("layer",))
    assert fed.value == pytest.approx(6.4)
    with pytest.raises(RequestError, match="Weigh one level scoop"):
        husbandry.convert(Quantity(value=2, unit="scoop"), "pound", (), ("layer",))


def test_a_bag_is_bought_before_it_is_empty() -> None:
    """Thirty at a quarter pound: a bag of 50 lb lasts 6.7 days."""
    buying = husbandry.buying_day(50, 7.5, TODAY, lead_days=2)
    assert buying.days_left == pytest.approx(6.7, abs=0.05)
    assert buying.runs_out == TODAY + timedelta(6)
    assert buying.buy_by == TODAY + timedelta(4)
    # Three tenths at a tenth a day are three days, whatever the last digit says.
    assert husbandry.buying_day(0.3, 0.1, TODAY).runs_out == TODAY + timedelta(3)
    late = husbandry.buying_day(7.5, 7.5, TODAY, lead_days=3)
    assert (late.buy_by, late.late) == (TODAY, True)


@given(on_hand=weights, per_day=weights, lead=st.integers(0, 30), more=weights)
def test_more_on_hand_is_never_bought_earlier(
    on_hand: float, per_day: float, lead: int, more: float
) -> None:
    if (on_hand + more) / per_day > 1e5:
        return
    now = husbandry.buying_day(on_hand, per_day, TODAY, lead)
    fuller = husbandry.buying_day(on_hand + more, per_day, TODAY, lead)
    assert TODAY <= now.buy_by <= fuller.buy_by
    assert now.buy_by <= max(TODAY, now.runs_out)
    assert now.late == (now.runs_out - timedelta(lead) < TODAY)


@given(eaten=weights, cost=weights, bought=weights)
def test_feed_costs_what_was_paid_for_it(eaten: float, cost: float, bought: float) -> None:
    assert husbandry.feed_cost(bought, cost, bought) == pytest.approx(cost)
    spent = husbandry.feed_cost(eaten, cost, bought)
    assert spent / eaten == pytest.approx(cost / bought)
    a_dozen = husbandry.per_dozen(spent, 24)
    assert a_dozen == pytest.approx(husbandry.feed_per_dozen(eaten, 24) * cost / bought)


def test_a_number_is_held_against_every_source() -> None:
    both = [_figure(1, 3), _figure(2, 5)]
    told = [(c.position, c.disputed) for c in (husbandry.compared(v, both) for v in (0, 1, 2, 6))]
    assert told == [("below", False), ("within", True), ("within", False), ("above", False)]
    gap = husbandry.compared(4, [_figure(1, 3), _figure(5, 6)])
    assert (gap.position, gap.disputed) == ("within", True)


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: husbandry.compared(1, []),
        lambda: husbandry.compared(math.nan, [_figure(1, 2)]),
        lambda: husbandry.intake_compared(0.2, "dragon"),
        lambda: husbandry.intake_compared(-1, "layer"),
        lambda: husbandry.feed_needed("broiler", 3, 4, 2),
        lambda: husbandry.feed_needed("broiler", 3, 0, 2),
        lambda: husbandry.feed_needed("broiler", 3, 9, 10),
        lambda: husbandry.protein_range("chick", 0),
        lambda: husbandry.protein_of_mix([]),
        lambda: husbandry.protein_of_mix([FeedPart(weight=1, protein_percent=-1)]),
        lambda: husbandry.treats_share(0, 0),
        lambda: husbandry.calcium_percent_needed(4.1, 0),
        lambda: husbandry.nutrient_eaten(-1, 4),
        lambda: husbandry.buying_day(50, 0, TODAY),
        lambda: husbandry.buying_day(50, 7.5, TODAY, lead_days=-1),
        lambda: husbandry.buying_day(1e300, 1e-3, TODAY),
        lambda: husbandry.feed_cost(10, 20, 0),
    ],
)
def test_what_makes_no_sense_is_refused(reckon: Callable[[], object]) -> None:
    with pytest.raises(RequestError) as refused:
        reckon()
    assert refused.value.todo
