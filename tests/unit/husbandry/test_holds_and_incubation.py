"""Days kept back and days of a setting: dates that only ever follow from what was said."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.errors import RequestError
from voicelog.husbandry import Course

DAY = date(2027, 5, 4)
dates = st.dates(min_value=date(2000, 1, 1), max_value=date(2100, 1, 1))
courses = st.builds(Course, last_day=dates, held_days=st.integers(0, 120))


def test_days_are_counted_from_the_last_day_of_treatment() -> None:
    last = husbandry.last_day_given(DAY, course_days=5)
    assert last == date(2027, 5, 8)
    through = husbandry.held_through(Course(last_day=last, held_days=7))
    assert through == date(2027, 5, 15)
    assert husbandry.days_still_held(through, date(2027, 5, 15)) == 1
    assert husbandry.days_still_held(through, date(2027, 5, 16)) == 0


def test_a_later_dose_moves_the_last_day() -> None:
    later = [DAY + timedelta(days=9)]
    assert husbandry.last_day_given(DAY, course_days=5, later=later) == later[0]
    assert husbandry.last_day_given(DAY, later=[DAY - timedelta(days=2)]) == DAY
    assert husbandry.last_day_given(DAY) == DAY


def test_a_fraction_of_a_day_holds_the_whole_of_it() -> None:
    assert husbandry.held_through(Course(last_day=DAY, held_days=1.5)) == DAY + timedelta(days=2)


@given(several=st.lists(courses, min_size=1, max_size=6), one=courses)
def test_the_longest_hold_decides(several: list[Course], one: Course) -> None:
    through = husbandry.held_through(*several)
    assert through in {husbandry.held_through(course) for course in several}
    assert husbandry.held_through(*several, one) == max(through, husbandry.held_through(one))
    assert through >= max(course.last_day for course in several)


@given(through=dates, today=dates)
def test_the_days_still_held_end_when_it_is_free(through: date, today: date) -> None:
    left = husbandry.days_still_held(through, today)
    assert (left == 0) == (today > through)
    if left:
        assert today + timedelta(days=left) == through + timedelta(days=1)


def test_no_number_of_days_is_made_up() -> None:
    with pytest.raises(RequestError, match="licensed vet") as refused:
        husbandry.held_through()
    assert "label" in refused.value.todo


@pytest.mark.parametrize(
    "reckon",
    [
        lambda: husbandry.held_through(Course(last_day=DAY, held_days=-1)),
        lambda: husbandry.held_through(Course(last_day=DAY, held_days=math.nan)),
        lambda: husbandry.held_through(Course(last_day=DAY, held_days=math.inf)),
        lambda: husbandry.held_through(Course(last_day=DAY, held_days=10**9)),
        lambda: husbandry.last_day_given(DAY, course_days=0),
        lambda: husbandry.incubation_calendar(date(9999, 12, 30)),
        lambda: husbandry.fertility_percent(0, 0),
        lambda: husbandry.fertility_percent(10, 11),
        lambda: husbandry.hatch_percent(-1, 10),
        lambda: husbandry.hatch_percent(11, 10),
    ],
)
def test_what_makes_no_sense_is_refused(reckon: Callable[[], object]) -> None:
    with pytest.raises(RequestError) as refused:
        reckon()
    assert refused.value.todo


@given(set_on=dates)
def test_a_calendar_runs_in_order_for_three_weeks(set_on: date) -> None:
    calendar = husbandry.incubation_calendar(set_on)
    days = [calendar.set_on, *calendar.candle, calendar.lockdown, calendar.hatch]
    assert days == sorted(set(days))
    assert (calendar.hatch - set_on).days == 21


@given(set_=st.integers(1, 5_000), picks=st.data())
def test_hatch_of_those_set_is_fertility_times_hatchability(
    set_: int, picks: st.DataObject
) -> None:
    clear = picks.draw(st.integers(0, set_ - 1))
    hatched = picks.draw(st.integers(0, set_ - clear))
    fertility = husbandry.fertility_percent(set_, clear)
    of_fertile = husbandry.hatch_percent(hatched, set_ - clear)
    of_set = husbandry.hatch_percent(hatched, set_)
    assert of_set == pytest.approx(fertility * of_fertile / 100)
