"""Deaths: livability, alarms by count, exact chances, and what to do."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.errors import RequestError
from voicelog.husbandry import Death

NOW = datetime(2027, 5, 4, 18, tzinfo=UTC)
HOUR = timedelta(hours=1)


def _deaths(*hours_ago: float) -> list[Death]:
    return [Death(at=NOW - hours * HOUR, count=1) for hours in hours_ago]


@pytest.mark.parametrize(
    ("hours_ago", "level"),
    [
        ((), "none"),
        ((200,), "none"),
        ((30,), "look"),
        ((30, 1), "look"),
        ((23, 0), "call"),
        ((160, 90, 1), "call"),
        ((169, 90, 1), "look"),
    ],
)
def test_a_small_flock_is_judged_by_counts(hours_ago: tuple[float, ...], level: str) -> None:
    """Source S116 for two within 24 hours; one, and three in a week, from memory."""
    alarm = husbandry.death_alarm(_deaths(*hours_ago), NOW, 30)
    assert alarm.level == level
    assert bool(alarm.advice) == (level != "none")


def test_a_call_says_whom_and_keeps_the_dead_for_testing() -> None:
    alarm = husbandry.death_alarm([Death(at=NOW, count=2)], NOW, 30)
    told = " ".join(advice.text for advice in alarm.advice)
    for part in ("your vet", "state veterinarian", "agency's own site", "do not bury them first"):
        assert part in told
    # Telephone numbers printed for the same line disagree, so none is carried.
    assert not any(char.isdigit() for char in told)
    assert {advice.caution for advice in alarm.advice} == {"sick_bird", "dead_bird"}
    assert [figure.source for figure in alarm.reached] == ["S116"]


def test_half_a_percent_on_two_days_running_counts_in_large_flocks_only() -> None:
    """Source S123: of 1,000 free-range birds five a day on two days."""
    bad = [Death(at=NOW, count=5), Death(at=NOW - 24 * HOUR, count=5)]
    large = husbandry.death_alarm(bad, NOW, 1_000)
    assert "S123" in [figure.source for figure in large.reached]
    assert "S123" not in [
        figure.source for figure in husbandry.death_alarm(bad, NOW, 1_001).reached
    ]
    small = husbandry.death_alarm(_deaths(0, 24), NOW, 30)
    assert "S123" not in [figure.source for figure in small.reached]


@given(hours=st.lists(st.integers(0, 300), max_size=8), more=st.integers(0, 167), birds=st.just(30))
def test_one_more_death_never_lowers_the_alarm(hours: list[int], more: int, birds: int) -> None:
    order = ["none", "look", "call"]
    before = husbandry.death_alarm(_deaths(*hours), NOW, birds)
    after = husbandry.death_alarm(_deaths(*hours, more), NOW, birds)
    assert order.index(after.level) >= order.index(before.level)
    assert after.in_a_day <= after.in_a_week == before.in_a_week + 1


def test_signs_to_report_defer_to_a_vet() -> None:
    signs = husbandry.signs_to_report()
    assert {sign.caution for sign in signs} == {"sick_bird"}
    assert any("S116" in sign.source for sign in signs)


@pytest.mark.parametrize(("lost", "percent"), [(2, 98), (4, 96), (0, 100), (100, 0)])
def test_livability(lost: int, percent: float) -> None:
    """Source S111 for the word and its range."""
    assert husbandry.livability_percent(100, lost) == percent


def test_usual_losses_keep_every_source() -> None:
    first = {figure.source for figure in husbandry.usual_losses("chick", 1)}
    assert first == {"S109", "S110", "S112"}
    rearing = {f.source: (f.low, f.high) for f in husbandry.usual_losses("chick", 10)}
    assert rearing == {"S109": (0, 2), "S111": (2, 4)}
    assert {figure.source for figure in husbandry.usual_losses("broiler", 1)} == {"S44"}
    assert husbandry.usual_losses("layer", 60) == ()


@given(
    birds=st.integers(1, 60), picks=st.data(), days=st.integers(1, 30), percent=st.integers(0, 100)
)
def test_the_chance_is_the_exact_binomial_tail(
    birds: int, picks: st.DataObject, days: int, percent: int
) -> None:
    lost = picks.draw(st.integers(0, birds))
    survives = Fraction(100 - percent, 100) ** days
    exact = sum(
        comb(birds, dead) * (1 - survives) ** dead * survives ** (birds - dead)
        for dead in range(lost, birds + 1)
    )
    chance = husbandry.chance_of_losses(lost, birds, days, percent)
    assert chance == pytest.approx(float(exact), rel=1e-6, abs=1e-12)


@given(birds=st.integers(1, 5_000), days=st.floats(0, 60), percent=st.floats(0, 5))
def test_more_losses_are_never_likelier(birds: int, days: float, percent: float) -> None:
    chances = [
        husbandry.chance_of_losses(lost, birds, days, percent) for lost in range(min(birds, 5) + 1)
    ]
    assert chances[0] == 1
    assert all(later <= now + 1e-9 for now, later in pairwise(chances))
    assert all(0 <= chance <= 1 for chance in chances)


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: husbandry.livability_percent(30, 31),
        lambda: husbandry.livability_percent(0, 0),
        lambda: husbandry.usual_losses("chick", 0),
        lambda: husbandry.death_alarm([], NOW, 0),
        lambda: husbandry.death_alarm([Death(at=NOW, count=-1)], NOW, 30),
        lambda: husbandry.chance_of_losses(31, 30, 1, 1),
        lambda: husbandry.chance_of_losses(1, 30, -1, 1),
        lambda: husbandry.chance_of_losses(1, 30, 1, 101),
        lambda: husbandry.chance_of_losses(1, 30, 1, -1),
    ],
)
def test_what_makes_no_sense_is_refused(reckon: Callable[[], object]) -> None:
    with pytest.raises(RequestError) as refused:
        reckon()
    assert refused.value.todo
