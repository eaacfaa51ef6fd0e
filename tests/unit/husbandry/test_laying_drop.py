"""A fall is told from chance, and from one gathering missed."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.errors import RequestError
from voicelog.husbandry.laying import LaidRow
from voicelog.husbandry.laying_drop import laying_drop, shortfall_chance

BEFORE = (24, 23, 25, 24, 26, 22, 24, 25, 23, 24, 24, 25, 23, 24)
"""Thirty birds, two weeks at 80 percent."""


def _rows(*laid: int | None, hens: int = 30) -> list[LaidRow]:
    return [LaidRow(laid=count, hen_days=hens) for count in laid]


def _verdict(*latest: int | None) -> str:
    return laying_drop(_rows(*BEFORE, *latest)).verdict


@pytest.mark.parametrize(
    ("latest", "verdict"),
    [
        ((24,), "steady"),
        ((20,), "steady"),  # chance
        ((9,), "low once"),  # perhaps a gathering missed
        ((None,), "steady"),  # nobody gathered: missing, not zero
        ((None, 47), "steady"),  # the next gathering has both days
        ((None, 30), "low once"),  # both days together are few
        ((0, 46), "steady"),  # made good the next day
        ((0, 24), "steady"),  # one missed for good, then as before
        ((0, 24, 24), "steady"),
        ((0, 23, 22), "steady"),
        ((10, 11), "fall"),
        ((11, 24, 10), "fall"),
        ((10, 10, 24), "steady"),  # over again
        ((21, 20, 22, 21, 20, 21, 22, 20), "slow fall"),
        ((21, 20, 22, 21, 24, 21, 22, 20), "steady"),  # no run
    ],
)
def test_what_the_latest_gatherings_say(latest: tuple[int | None, ...], verdict: str) -> None:
    assert _verdict(*latest) == verdict


def test_a_fall_says_by_how_much_and_how_improbable() -> None:
    fallen = laying_drop(_rows(*BEFORE, 12, 12, 12))
    assert fallen.before_percent == pytest.approx(80)
    assert fallen.latest_percent == pytest.approx(40)
    assert fallen.change_percent == pytest.approx(-50)
    assert fallen.chance is not None
    assert fallen.chance < 1e-6


@pytest.mark.parametrize("days", [0, 1, 7])
def test_too_few_days_say_nothing(days: int) -> None:
    told = laying_drop(_rows(*BEFORE[:days]))
    assert (told.verdict, told.before_percent, told.chance) == ("too few days", None, None)


def test_a_flock_that_laid_nothing_can_not_fall() -> None:
    assert laying_drop(_rows(*[0] * 20)).verdict == "steady"
    assert laying_drop(_rows(*[0] * 20)).change_percent is None


def test_a_full_house_less_one_is_no_fall() -> None:
    assert laying_drop(_rows(*[30] * 14, 29, 29, 29)).verdict == "steady"
    assert shortfall_chance(29, 30, 420, 420) == pytest.approx(30 / 450)


def test_more_than_one_each_is_a_full_house() -> None:
    assert shortfall_chance(35, 30, 430, 420) == pytest.approx(1)


def test_the_chance_is_that_of_the_exact_test() -> None:
    """Fisher's tea test, printed in his book of 1935: at most 1 of 4 where 3 of 4 went before."""
    assert shortfall_chance(1, 4, 3, 4) == pytest.approx(17 / 70)


@given(
    hens=st.integers(2, 60), before=st.integers(1, 800), few=st.integers(0, 58), at=st.floats(0, 1)
)
def test_fewer_are_less_probable(hens: int, before: int, few: int, at: float) -> None:
    there = hens * 14
    laid_before = min(before, there)
    few = min(few, hens - 1)
    chance = shortfall_chance(few, hens, laid_before, there)
    assert 0 <= chance <= shortfall_chance(few + 1, hens, laid_before, there) + 1e-9
    assert shortfall_chance(hens, hens, laid_before, there) == pytest.approx(1)
    less_before = round(laid_before * at)
    assert chance <= shortfall_chance(few, hens, less_before, there) + 1e-9


@pytest.mark.parametrize(("hens", "rate"), [(12, 0.9), (30, 0.8)])
def test_false_alarms_are_as_rare_as_stated(hens: int, rate: float) -> None:
    """Birds that lay by chance alone, 1,500 days: a fall on 1 in 700, low once on 1 in 700, a slow
    fall on 1 in 200, twice that allowed for the chance in the simulation itself."""
    random = Random(20270504)
    rows = _rows(*(_laid(random, hens, rate) for _ in range(1_530)), hens=hens)
    told = Counter(laying_drop(rows[at - 30 : at]).verdict for at in range(30, len(rows)))
    days = sum(told.values())
    assert told["fall"] <= 2 * days / 700
    assert told["low once"] <= 2 * days / 700
    assert told["slow fall"] <= 2 * days / 200
    assert told["too few days"] == 0


@pytest.mark.parametrize(("to", "within", "share"), [(0.6, 4, 0.70), (0.68, 8, 0.60)])
def test_a_lasting_loss_is_found(to: float, within: int, share: float) -> None:
    random = Random(7)
    found = 0
    for _ in range(150):
        rows = _rows(*(_laid(random, 30, 0.8) for _ in range(28)))
        for _ in range(within):
            rows += _rows(_laid(random, 30, to))
            if laying_drop(rows).verdict in ("fall", "slow fall"):
                found += 1
                break
    assert found / 150 >= share


def _laid(random: Random, hens: int, rate: float) -> int:
    return sum(random.random() < rate for _ in range(hens))


@pytest.mark.parametrize("given_", [(-1, 30, 5, 30), (1, 0, 5, 30), (1, 30, -5, 30), (1, 30, 5, 0)])
def test_what_makes_no_sense_is_refused(given_: tuple[float, float, float, float]) -> None:
    with pytest.raises(RequestError):
        shortfall_chance(*given_)
