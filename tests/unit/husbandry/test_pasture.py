"""Room, rest and the next paddock."""

from __future__ import annotations

from datetime import date, timedelta
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.errors import RequestError
from voicelog.husbandry.pasture import (
    FLOCK_REST,
    DayRange,
    Paddock,
    netting_area,
    next_move,
    paddock_rests,
    pasture_needed,
    square_feet_each,
)

TODAY = date(2027, 6, 30)


def _used(name: str, days_ago: int | None) -> Paddock:
    return Paddock(
        name=name, last_used=None if days_ago is None else TODAY - timedelta(days=days_ago)
    )


PADDOCKS = [_used("creek", 0), _used("hill", 30), _used("orchard", 10), _used("lane", 60)]


def test_example_27_ground_of_the_pasture_standard() -> None:
    """Source S72: 1,000 birds on 2.5 acres, printed 108, tolerance 1; 3,267 for thirty."""
    assert square_feet_each(2.5 * 43_560, 1_000) == pytest.approx(108.9, abs=1)
    assert pasture_needed(30) == pytest.approx(3_267)


def test_a_net_holds_more_in_a_circle() -> None:
    """Source S75, derived: 164 ft, 1,681 and 2,140 square feet, 56 each for thirty; tolerance 1."""
    net = netting_area(164)
    assert net.square == pytest.approx(1_681, abs=1)
    assert net.circle == pytest.approx(2_140, abs=1)
    assert square_feet_each(net.square, 30) == pytest.approx(56, abs=0.1)


@given(length=st.floats(1, 1_000))
def test_a_circle_always_holds_the_same_share_more(length: float) -> None:
    net = netting_area(length)
    assert net.circle / net.square == pytest.approx(4 / pi)


def test_rest_is_told_for_each_paddock_the_longest_first() -> None:
    rests = paddock_rests([*PADDOCKS, _used("new", None)], TODAY)
    assert [rest.name for rest in rests] == ["new", "lane", "hill", "orchard", "creek"]
    by_name = {rest.name: rest for rest in rests}
    assert (by_name["hill"].days_rested, by_name["hill"].days_short) == (30, 0)
    assert by_name["hill"].days_to_most == 12
    assert by_name["orchard"].days_short == 11
    assert by_name["new"].days_rested is None


def test_rest_for_grass_is_no_rest_from_parasites() -> None:
    """Source S77: nine months."""
    rest = paddock_rests([_used("lane", 60)], TODAY, FLOCK_REST)[0]
    assert rest.days_short == 273 - 60


def test_the_longest_rested_paddock_is_next_after_a_usual_stay() -> None:
    move = next_move(PADDOCKS, TODAY, here="creek", since=TODAY - timedelta(days=1))
    assert move is not None
    assert move.to == "lane"
    assert move.earliest == TODAY + timedelta(days=1)
    assert move.latest == TODAY + timedelta(days=6)
    assert move.rest.days_rested == 61
    assert not move.overstays
    assert [one.caution for one in move.advice] == ["electric_fence"]


def test_an_overdue_move_is_for_today() -> None:
    move = next_move(PADDOCKS, TODAY, here="creek", since=TODAY - timedelta(days=20))
    assert move is not None
    assert (move.earliest, move.latest, move.overstays) == (TODAY, TODAY, False)


def test_ground_that_needs_rest_is_waited_for_and_told() -> None:
    move = next_move([_used("creek", 0), _used("orchard", 10)], TODAY, here="creek", since=TODAY)
    assert move is not None
    assert (move.earliest - TODAY).days == 11
    assert move.rest.days_short == 0
    assert move.overstays


def test_a_farm_of_one_paddock_has_no_next() -> None:
    assert next_move([_used("creek", 0)], TODAY, here="creek", since=TODAY) is None


@given(
    ages=st.lists(st.one_of(st.none(), st.integers(0, 400)), min_size=1, max_size=8),
    stayed=st.integers(0, 30),
    least=st.integers(0, 60),
    more=st.integers(0, 60),
)
def test_a_proposal_never_goes_to_ground_that_is_short_of_rest(
    ages: list[int | None], stayed: int, least: int, more: int
) -> None:
    paddocks = [_used(f"paddock {at}", age) for at, age in enumerate(ages)]
    rest = DayRange(least=least, most=least + more)
    since = TODAY - timedelta(days=stayed)
    move = next_move(paddocks, TODAY, here="home", since=since, rest=rest)
    assert move is not None
    assert move.rest.days_short == 0
    assert max(TODAY, since) <= move.earliest <= move.latest
    if None in ages:
        assert move.rest.days_rested is None
    else:
        best = max(age for age in ages if age is not None)
        assert move.rest.days_rested == best + (move.earliest - TODAY).days


@given(birds=st.integers(1, 5_000), each=st.floats(0.1, 500))
def test_room_and_ground_go_back_and_forth(birds: int, each: float) -> None:
    assert square_feet_each(pasture_needed(birds, each), birds) == pytest.approx(each)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(RequestError, match="no range"):
        paddock_rests(PADDOCKS, TODAY, DayRange(least=5, most=4))
    with pytest.raises(RequestError):
        square_feet_each(100, 0)
    with pytest.raises(RequestError):
        netting_area(0)
    with pytest.raises(RequestError):
        pasture_needed(-1)
