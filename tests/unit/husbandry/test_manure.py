"""Manure and nitrogen of a stay."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.errors import RequestError
from voicelog.husbandry.manure import (
    fresh_manure,
    manure_on_ground,
    nitrogen_each,
    nitrogen_on_ground,
)

NET_ACRES = 1_681 / 43_560


def test_manure_of_feed() -> None:
    """Source S35: 1.15 for one of feed; 20 to 26 lb of feed a hundred lie in its 20 to 34 lb."""
    assert fresh_manure(100) == pytest.approx(115)
    assert 20 <= fresh_manure(20) <= fresh_manure(26) <= 34


def test_nitrogen_of_a_hen() -> None:
    """Derived: 113 g of 16 percent, 75 percent lay of 57 g give 2.1 g, 0.0047 lb; 2 percent."""
    each = nitrogen_each(113, 16, 75, 57)
    assert each == pytest.approx(2.1, rel=0.02)
    assert each / 453.592 == pytest.approx(0.0047, rel=0.02)


def test_nitrogen_of_a_stay() -> None:
    """Derived: thirty, a week, 0.0047 lb, 60 percent outside, 1,681 square feet: 15 lb an acre."""
    load = nitrogen_on_ground(30, 7, 0.0047, NET_ACRES)
    assert load.pounds_an_acre == pytest.approx(15, abs=0.5)
    low, high = load.share_of_need
    assert low == pytest.approx(load.pounds_an_acre / 150)
    assert high == pytest.approx(load.pounds_an_acre / 50)
    assert [one.caution for one in load.advice] == ["raw_manure"]


def test_manure_of_a_stay() -> None:
    """Derived from S35: thirty for a week at a quarter pound; tolerance 10 lb an acre."""
    assert manure_on_ground(30, 7, 0.25, NET_ACRES) == pytest.approx(940, abs=10)


@given(
    birds=st.integers(0, 500),
    days=st.floats(0, 60),
    each=st.floats(0, 1),
    acres=st.floats(0.01, 100),
    share=st.floats(0, 1),
)
def test_a_load_is_in_proportion(
    birds: int, days: float, each: float, acres: float, share: float
) -> None:
    once = nitrogen_on_ground(birds, days, each, acres, share).pounds_an_acre
    twice = nitrogen_on_ground(birds, 2 * days, each, acres, share).pounds_an_acre
    assert twice == pytest.approx(2 * once)
    assert nitrogen_on_ground(birds, days, each, 2 * acres, share).pounds_an_acre == pytest.approx(
        once / 2
    )


@given(feed=st.floats(50, 200), protein=st.floats(10, 25), lay=st.floats(0, 100))
def test_what_goes_into_eggs_does_not_go_onto_the_ground(
    feed: float, protein: float, lay: float
) -> None:
    idle = nitrogen_each(feed, protein)
    assert idle == pytest.approx(feed * protein / 625)
    if lay * 57 * 0.0182 / 100 < idle:
        assert nitrogen_each(feed, protein, lay, 57) <= idle


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(RequestError, match="than is eaten"):
        nitrogen_each(0.25, 16, 75, 57)
    with pytest.raises(RequestError, match="share"):
        nitrogen_on_ground(30, 7, 0.0047, 1, 1.1)
    with pytest.raises(RequestError):
        manure_on_ground(30, 7, 0.25, 0)
    with pytest.raises(RequestError):
        fresh_manure(-1)
