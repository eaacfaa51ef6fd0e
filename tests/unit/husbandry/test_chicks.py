"""Chicks by age: warmth, room, dated steps, and the first week."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.catalogue import load_catalogue
from voicelog.errors import RequestError

HATCHED = date(2027, 4, 5)
dates = st.dates(min_value=date(2000, 1, 1), max_value=date(2100, 1, 1))
weeks = st.integers(1, 30)


@pytest.mark.parametrize(
    ("week", "target"), list(enumerate((95, 90, 85, 80, 75, 70), start=1)), ids=str
)
def test_example_42_heat_by_week(week: int, target: float) -> None:
    """Source S106, exact; S52 stands beside it, with slower steps."""
    heat = husbandry.brooder_heat(week)
    assert [(f.low, f.high) for f in heat if f.source == "S106"] == [(target, target)]
    assert any(f.source == "S52" and f.grade == "A" for f in heat)


def test_from_the_ninth_week_on_no_heat_is_given() -> None:
    assert husbandry.brooder_heat(8)
    assert husbandry.brooder_heat(9) == ()


@given(week=weeks)
def test_heat_never_rises_with_age(week: int) -> None:
    for source in ("S106", "S52"):
        now = [f.high for f in husbandry.brooder_heat(week) if f.source == source]
        later = [f.high for f in husbandry.brooder_heat(week + 1) if f.source == source]
        assert not later or max(later) <= max(now)


@pytest.mark.parametrize(
    ("week", "floor", "eating", "drinking"),
    [
        (1, (0.25, 0.25), (1, 1), (0.5, 0.5)),
        (2, (0.5, 0.5), (1.5, 1.5), (0.5, 0.5)),
        (4, (0.75, 0.75), (2, 2), (0.5, 0.5)),
        (6, (1, 1), (2, 2), (0.75, 0.75)),
        (12, (1.5, 3), (3, 4), (1, 2)),
    ],
)
def test_room_as_printed(
    week: int,
    floor: tuple[float, float],
    eating: tuple[float, float],
    drinking: tuple[float, float],
) -> None:
    """Source S52, exact."""
    room = husbandry.room_needed(week, 1)
    assert (room.floor, room.at_feeder, room.at_waterer) == (floor, eating, drinking)


@given(week=weeks, birds=st.integers(0, 500), more=st.integers(1, 20))
def test_room_grows_with_birds_and_age(week: int, birds: int, more: int) -> None:
    room, later = husbandry.room_needed(week, birds), husbandry.room_needed(week + 1, birds)
    one = husbandry.room_needed(week, 1)
    assert room.floor == tuple(birds * side for side in one.floor)
    assert all(now <= then for now, then in zip(room.floor, later.floor, strict=True))
    assert husbandry.room_needed(week, birds + more).floor[0] > room.floor[0]


def test_example_22_the_first_week() -> None:
    """Source S41: 40 g chick, 150 g feed, 140 g gain, 340 ml; tolerance 0.01."""
    week = husbandry.first_week_rates(start=40, eaten=150, gained=140, drunk=340)
    assert week.conversion == pytest.approx(1.07, abs=0.01)
    assert week.drunk_by_weight == pytest.approx(8.5, abs=0.01)
    assert week.drunk_by_eaten == pytest.approx(2.27, abs=0.01)


def test_a_week_of_life_begins_with_the_day_of_hatching() -> None:
    ages = {0: 1, 6: 1, 7: 2, 41: 6, 42: 7}
    for days, week in ages.items():
        assert husbandry.week_of_life(HATCHED, HATCHED + timedelta(days)) == week


def test_steps_are_dated_from_the_hatch_in_order() -> None:
    steps = husbandry.rearing_steps(HATCHED, "chick")
    assert [step.from_ for step in steps] == sorted(step.from_ for step in steps)
    assert all(step.from_ <= step.to for step in steps)
    found = {
        part: ((step.from_ - HATCHED).days, (step.to - HATCHED).days)
        for step in steps
        for part in ("Off heat", "layer feed", "Point of lay", "starter to grower")
        if part in step.advice.text
    }
    # S106 and S107: 5 to 8 weeks; S47: 18 to 20 weeks; S7 and S8: 18 to 22; S47, S108: 6 to 8.
    assert found == {
        "Off heat": (35, 56), "layer feed": (126, 140), "Point of lay": (126, 154),
        "starter to grower": (42, 56),
    }  # fmt: skip


def test_meat_birds_have_no_point_of_lay_and_others_no_steps() -> None:
    broilers = husbandry.rearing_steps(HATCHED, "broiler")
    assert broilers
    assert not any("lay" in step.advice.text.casefold().split() for step in broilers)
    assert husbandry.rearing_steps(HATCHED, "cock") == ()


def test_what_can_hurt_names_its_caution() -> None:
    steps = husbandry.rearing_steps(HATCHED, "chick")
    cautions = {step.advice.caution for step in steps} - {None}
    assert cautions == {"heat_lamp", "sick_bird", "handling_birds"}
    for name in cautions:
        assert load_catalogue().caution(str(name)).text
    medicine = [step.advice.text for step in steps if "edicine" in step.advice.text]
    assert medicine
    assert all("label" in text and "vet" in text for text in medicine)


@given(hatched=dates, days=st.integers(0, 400))
def test_steps_move_with_the_hatch(hatched: date, days: int) -> None:
    here = husbandry.rearing_steps(hatched, "chick")
    there = husbandry.rearing_steps(hatched + timedelta(days), "chick")
    moved = {b.from_ - a.from_ for a, b in zip(here, there, strict=True)}
    assert moved == {timedelta(days)}


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: husbandry.brooder_heat(0),
        lambda: husbandry.room_needed(0, 3),
        lambda: husbandry.room_needed(1, -3),
        lambda: husbandry.week_of_life(HATCHED, HATCHED - timedelta(1)),
        lambda: husbandry.rearing_steps(date(9999, 12, 1), "chick"),
        lambda: husbandry.first_week_rates(40, 0, 140, 340),
        lambda: husbandry.first_week_rates(40, 150, 0, 340),
        lambda: husbandry.first_week_rates(40, 150, 140, -1),
    ],
)
def test_what_makes_no_sense_is_refused(reckon: Callable[[], object]) -> None:
    with pytest.raises(RequestError) as refused:
        reckon()
    assert refused.value.todo
