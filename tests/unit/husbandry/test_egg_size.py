"""Weight classes, grades and faults of what was laid."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.catalogue.standards import load_standards
from voicelog.errors import RequestError
from voicelog.husbandry.egg_size import (
    EggTally,
    egg_grade,
    egg_mass,
    egg_shares,
    grade_mark_days_left,
    single_in_class,
    size_of_dozen,
)
from voicelog.husbandry.measures import case_weight, weight_of_one

DAY = date(2027, 5, 4)


@pytest.mark.parametrize(
    ("ounces", "name"),
    [(24.0, "large"), (23.9, "medium"), (30.0, "jumbo"), (27, "extra large"), (18, "small"),
     (15, "peewee"), (14.9, None)],
)  # fmt: skip
def test_example_11_class_of_a_dozen(ounces: float, name: str | None) -> None:
    """Source S20, exact: the least weight belongs to the class."""
    size = size_of_dozen(ounces)
    assert (size and size.name) == name


@pytest.mark.parametrize(
    ("name", "pounds", "grams"),
    [("jumbo", 56, 70.9), ("extra large", 50.5, 63.8), ("large", 45, 56.7), ("medium", 39.5, 49.6),
     ("small", 34, 42.5), ("peewee", 28, 35.4)],
)  # fmt: skip
def test_examples_9_and_10_from_the_table_of_classes(
    name: str, pounds: float, grams: float
) -> None:
    """Sources S20 (tolerance 0.4 lb, its table is rounded) and S22 (0.05 g)."""
    size = next(size for size in load_standards().sizes if size.name == name)
    assert case_weight(size.ounces) == pytest.approx(pounds, abs=0.4)
    assert weight_of_one(size.ounces) == pytest.approx(grams, abs=0.05)


@given(ounces=st.floats(15, 60), more=st.floats(0, 20))
def test_a_heavier_dozen_is_in_no_smaller_class(ounces: float, more: float) -> None:
    lighter, heavier = size_of_dozen(ounces), size_of_dozen(ounces + more)
    assert lighter is not None
    assert heavier is not None
    assert heavier.ounces >= lighter.ounces


def test_single_eggs_have_their_own_least_weight() -> None:
    """Source S20: 23 ounces a dozen for single eggs of the class of 24."""
    large = size_of_dozen(24)
    assert large is not None
    assert single_in_class(23, large)
    assert not single_in_class(22.9, large)
    smallest = size_of_dozen(15)
    assert smallest is not None
    assert single_in_class(1, smallest)


@pytest.mark.parametrize(("inches", "grade"), [(1 / 8, "AA"), (3 / 16, "A"), (1 / 4, "B")])
def test_example_37_grade_by_air_cell(inches: float, grade: str) -> None:
    """Source S23, exact."""
    found = egg_grade(air_cell_inches=inches)
    assert found is not None
    assert found.name == grade


@pytest.mark.parametrize(
    ("measured", "grade"),
    [
        ({}, "AA"),
        ({"haugh_units": 72}, "AA"),
        ({"haugh_units": 71.9}, "A"),
        ({"haugh_units": 59}, "B"),
        ({"haugh_units": 30}, None),
        ({"air_cell_inches": 1 / 16, "haugh_units": 65}, "A"),
        ({"stained": True}, "B"),
        ({"spots_inches": 1 / 8}, "B"),
        ({"spots_inches": 1 / 4}, None),
        ({"dirty_or_cracked": True}, None),
    ],
)
def test_the_worst_that_was_measured_decides(measured: dict[str, float], grade: str) -> None:
    """Source S23; Haugh units from memory."""
    found = egg_grade(**measured)  # type: ignore[arg-type]
    assert (found and found.name) == grade


def test_the_grade_mark_ends_after_three_weeks() -> None:
    """Source S25: not when laid more than 21 days ago."""
    assert grade_mark_days_left(DAY, DAY + timedelta(days=21)) == 1
    assert grade_mark_days_left(DAY, DAY + timedelta(days=22)) == 0


def test_shares_are_by_place_and_stand_on_what_was_said() -> None:
    shares = egg_shares(
        [
            EggTally(place="north", count=20, cracked=1, dirty=2),
            EggTally(place="south", count=10, floor=2),
            EggTally(place="north", count=20, cracked=2),
        ]
    )
    north, south = shares
    assert (north.place, north.count) == ("north", 40)
    assert north.cracked is not None
    assert (north.cracked.percent, north.cracked.over) == (7.5, True)
    assert north.dirty is not None
    assert (north.dirty.percent, north.dirty.over) == (10, False)
    assert north.floor is None
    assert south.cracked is None
    assert south.floor is not None
    assert (south.floor.percent, south.floor.limit_percent, south.floor.over) == (20, 10, True)


@pytest.mark.parametrize(("dirty", "over"), [(30, False), (31, True)])
def test_a_limit_itself_is_not_over(dirty: int, over: bool) -> None:
    """Source S27: up to 30 percent."""
    (share,) = egg_shares([EggTally(place=None, count=100, dirty=dirty)])
    assert share.dirty is not None
    assert share.dirty.over is over


@given(percent=st.floats(0, 100), grams=st.floats(0, 100))
def test_egg_mass_is_rate_times_weight(percent: float, grams: float) -> None:
    """Source S5."""
    assert egg_mass(percent, grams) == pytest.approx(percent * grams / 100)
    assert egg_mass(75, 57) == pytest.approx(42.75)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(RequestError):
        size_of_dozen(0)
    with pytest.raises(RequestError):
        egg_grade(air_cell_inches=-1)
    with pytest.raises(RequestError):
        egg_grade(haugh_units=-1)
    with pytest.raises(RequestError, match="more than the 3 gathered"):
        egg_shares([EggTally(place=None, count=3, dirty=4)])
    with pytest.raises(RequestError):
        egg_mass(-1, 57)
