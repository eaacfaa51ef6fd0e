"""Settings of eggs by species, incubators, how it came out, and a hen that wants to sit."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.catalogue.species import load_species, read_species
from voicelog.errors import CatalogueError, RequestError

DAY = date(2027, 3, 1)
dates = st.dates(min_value=date(2000, 1, 1), max_value=date(2100, 1, 1))
species = st.sampled_from(load_species())


@pytest.mark.parametrize(
    ("word", "turned", "hatched"),
    [
        ("chickens", (18, 18), (21, 21)),
        ("duck", (25, 25), (28, 28)),
        ("muscovy ducks", (31, 33), (33, 37)),
        ("turkeys", (25, 25), (28, 28)),
        ("geese", (27, 27), (28, 33)),
        ("guinea fowl", (25, 25), (26, 28)),
        ("pheasant", (21, 21), (23, 26)),
        ("bobwhite", (21, 21), (23, 24)),
        ("Coturnix", (15, 15), (16, 18)),
        ("pigeon", (14, 14), (16, 19)),
    ],
)
def test_days_as_the_lists_print_them(
    word: str, turned: tuple[int, int], hatched: tuple[int, int]
) -> None:
    """Sources S94, S95 and S96, exact; a range where they differ."""
    (bird,) = husbandry.species_named(word)
    calendar = husbandry.incubation_calendar(DAY, bird)
    due = (calendar.lockdown, calendar.lockdown_last, calendar.hatch, calendar.hatch_last)
    assert tuple((day - DAY).days for day in due) == (*turned, *hatched)


def test_a_word_for_two_sorts_is_to_be_asked_about() -> None:
    assert {bird.name for bird in husbandry.species_named("quail")} == {"coturnix", "bobwhite"}
    assert husbandry.species_named("dragon") == ()


@given(set_on=dates, bird=species)
def test_every_calendar_runs_in_order(set_on: date, bird: husbandry.Species) -> None:
    calendar = husbandry.incubation_calendar(set_on, bird)
    days = [set_on, *calendar.candle, calendar.hatch]
    assert days == sorted(set(days))
    assert set_on < calendar.lockdown < calendar.hatch <= calendar.hatch_last
    assert calendar.lockdown <= calendar.lockdown_last < calendar.hatch_last
    first, last = calendar.window
    assert (calendar.hatch - first, last - calendar.hatch_last) == (timedelta(1), timedelta(1))


def test_humidity_changes_with_the_last_turning_and_all_sources_are_given() -> None:
    before, after = husbandry.incubator_settings(17), husbandry.incubator_settings(18)
    # S98 gives 60, then 65 to 70; S100 70 to 80.
    assert [(f.source, f.low, f.high) for f in after.humidity] == [
        ("S98", 65, 70), ("S100", 70, 80),
    ]  # fmt: skip
    assert (60, 60) in [(f.low, f.high) for f in before.humidity]
    assert before.turns
    assert not after.turns
    assert {f.low for f in before.moving_air} == {99.5, 100}
    (duck,) = husbandry.species_named("duck")
    assert husbandry.incubator_settings(18, duck).turns


def test_weight_lost_by_the_end_is_what_the_source_gives() -> None:
    """Source S101: 11 to 15 percent in 21 days, about a third of it in the first week."""
    assert husbandry.expected_weight_loss(21, 21) == (11, 15)
    assert husbandry.expected_weight_loss(7, 21) == pytest.approx((11 / 3, 5))
    assert husbandry.weight_lost_percent(60, 52.8) == pytest.approx(12)


@given(days=st.integers(1, 40), picks=st.data())
def test_weight_lost_never_falls(days: int, picks: st.DataObject) -> None:
    day = picks.draw(st.integers(0, days - 1))
    low, high = husbandry.expected_weight_loss(day, days)
    later_low, later_high = husbandry.expected_weight_loss(day + 1, days)
    assert low <= high
    assert (low < later_low, high < later_high) == (True, True)


def test_example_6_both_rates_with_what_they_are_a_part_of() -> None:
    """Source S4, tolerance 0.1; that 2,000 were set follows from 86.4 percent, itself derived."""
    rates = husbandry.hatch_rates(2_000, 93, 1_728)
    assert rates.fertile == 1_907
    assert rates.of_fertile_percent == pytest.approx(90.6, abs=0.1)
    assert rates.of_set_percent == pytest.approx(86.4, abs=0.1)
    assert rates.of_set != rates.of_fertile


@given(set_=st.integers(1, 500), picks=st.data())
def test_of_those_set_is_never_more_than_of_the_fertile(set_: int, picks: st.DataObject) -> None:
    clear = picks.draw(st.integers(0, set_))
    rates = husbandry.hatch_rates(set_, clear, picks.draw(st.integers(0, set_ - clear)))
    if clear == set_:
        assert rates.of_fertile_percent is None
        return
    assert rates.of_fertile_percent is not None
    assert rates.of_set_percent <= rates.of_fertile_percent + 1e-9
    product = rates.fertility_percent * rates.of_fertile_percent / 100
    assert rates.of_set_percent == pytest.approx(product)


def test_a_hen_seen_longer_than_three_days_running_is_likely_broody() -> None:
    """Sources S92 and S93."""
    three = [DAY, DAY + timedelta(1), DAY + timedelta(2)]
    assert not husbandry.sitting_seen(three).likely
    four = husbandry.sitting_seen([*three, DAY + timedelta(3), DAY])
    assert (four.days_running, four.likely) == (4, True)
    broken = husbandry.sitting_seen([*three, DAY + timedelta(4)])
    assert (broken.days_running, broken.likely) == (1, False)


@given(seen=st.lists(st.integers(0, 30), min_size=1))
def test_days_running_end_with_the_last_day_seen(seen: list[int]) -> None:
    days = {DAY + timedelta(at) for at in seen}
    running = husbandry.sitting_seen(days).days_running
    assert {max(days) - timedelta(at) for at in range(running)} <= days
    assert max(days) - timedelta(running) not in days


def test_a_cage_is_for_three_to_five_days() -> None:
    """Source S93; laying again from memory."""
    plan = husbandry.breaking_up(DAY)
    assert ((plan.look - DAY).days, (plan.let_out - DAY).days) == (3, 5)
    assert ((plan.lays_from - plan.look).days, (plan.lays_by - plan.let_out).days) == (7, 21)
    assert plan.advice
    assert husbandry.sitting_advice()
    assert [(f.low, f.high, f.grade) for f in husbandry.eggs_covered()] == [(8, 12, "M")]


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: husbandry.incubation_calendar(date(9999, 12, 10)),
        lambda: husbandry.incubator_settings(-1),
        lambda: husbandry.expected_weight_loss(22, 21),
        lambda: husbandry.weight_lost_percent(60, 61),
        lambda: husbandry.hatch_rates(12, 4, 9),
        lambda: husbandry.hatch_rates(12, 13, 0),
        lambda: husbandry.sitting_seen([]),
        lambda: husbandry.breaking_up(date(9999, 12, 30)),
    ],
)
def test_what_makes_no_sense_is_refused(reckon: Callable[[], object]) -> None:
    with pytest.raises(RequestError) as refused:
        reckon()
    assert refused.value.todo


def test_faults_of_the_table_are_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "species.toml"
    file.write_text(
        '[dodo]\nhatch = [30, 31]\nlast_turn = [33, 34]\ncandle = [7]\nsource = "S94"\n'
        'grade = "M"\ncandle_source = "a friend"\ncandle_grade = "C"\ncolour = "grey"\n',
        "utf-8",
    )
    with pytest.raises(CatalogueError) as refused:
        read_species(file)
    for told in ("colour", "dodo.grade", "a friend", "run backwards"):
        assert told in refused.value.what
