"""Eggs and meat kept back by bird and by flock, by the days that were said and no others."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.errors import RequestError
from voicelog.husbandry import FoodHold, Treatment

DAY = date(2027, 5, 4)
dates = st.dates(min_value=date(2000, 1, 1), max_value=date(2100, 1, 1))
said_days = st.none() | st.integers(0, 60)
treatments = st.builds(
    Treatment,
    what=st.sampled_from(["one thing", "another"]),
    flock=st.sampled_from(["reds", "whites"]),
    birds=st.sampled_from([(), ("Juniper",), ("Juniper", "Clover")]),
    last_day=dates,
    egg_days=said_days,
    meat_days=said_days,
)


def _treated(
    birds: tuple[str, ...] = (), egg: float | None = 7, meat: float | None = 14, last: date = DAY
) -> Treatment:
    return Treatment(
        what="drops", flock="reds", birds=birds, last_day=last, egg_days=egg, meat_days=meat
    )


def _of(holds: tuple[FoodHold, ...], bird: str | None) -> FoodHold:
    return next(hold for hold in holds if hold.bird == bird)


def test_eggs_and_meat_have_their_own_days() -> None:
    (hold,) = husbandry.food_holds([_treated()])
    assert hold.eggs.through == DAY + timedelta(7)
    assert hold.meat.through == DAY + timedelta(14)
    assert hold.eggs.on(DAY + timedelta(7))
    assert not hold.eggs.on(DAY + timedelta(8))
    assert hold.meat.on(DAY + timedelta(8))


def test_of_several_treatments_the_latest_day_decides() -> None:
    (hold,) = husbandry.food_holds([_treated(egg=20), _treated(egg=3, last=DAY + timedelta(5))])
    assert hold.eggs.through == DAY + timedelta(20)


def test_days_for_meat_are_none_for_eggs() -> None:
    """Sources S126 and S127."""
    (hold,) = husbandry.food_holds([_treated(egg=None, meat=5)])
    assert hold.eggs.through is None
    assert hold.eggs.unsaid == ("drops",)
    assert hold.eggs.on(DAY + timedelta(1_000))
    assert not hold.meat.on(DAY + timedelta(6))


def test_one_bird_holds_back_the_eggs_of_its_flock_but_no_other_bird() -> None:
    holds = husbandry.food_holds([_treated(("Juniper",)), _treated(("Clover",), egg=21)])
    assert _of(holds, "Juniper").eggs.through == DAY + timedelta(7)
    assert _of(holds, "Clover").eggs.through == DAY + timedelta(21)
    assert _of(holds, None).eggs.through == DAY + timedelta(21)


def test_what_the_whole_flock_was_given_counts_for_each_bird() -> None:
    holds = husbandry.food_holds([_treated(("Juniper",)), _treated(egg=30)])
    assert _of(holds, "Juniper").eggs.through == DAY + timedelta(30)


@given(given_=st.lists(treatments, max_size=6), one=treatments, day=dates)
def test_a_further_treatment_never_frees_anything(
    given_: list[Treatment], one: Treatment, day: date
) -> None:
    before = {(h.flock, h.bird): h for h in husbandry.food_holds(given_)}
    after = {(h.flock, h.bird): h for h in husbandry.food_holds([*given_, one])}
    assert before.keys() <= after.keys()
    for key, hold in before.items():
        assert after[key].eggs.on(day) >= hold.eggs.on(day)
        assert after[key].meat.on(day) >= hold.meat.on(day)


@given(given_=st.lists(treatments, min_size=1, max_size=6), day=dates)
def test_a_flock_is_held_as_long_as_any_of_its_birds(given_: list[Treatment], day: date) -> None:
    holds = husbandry.food_holds(given_)
    for hold in holds:
        whole = next(h for h in holds if h.flock == hold.flock and h.bird is None)
        assert whole.eggs.on(day) >= hold.eggs.on(day)
        assert whole.meat.on(day) >= hold.meat.on(day)


def test_no_treatment_holds_nothing_and_no_days_are_made_up() -> None:
    assert husbandry.food_holds([]) == ()
    with pytest.raises(RequestError, match="cannot be counted"):
        husbandry.food_holds([_treated(egg=-1)])
