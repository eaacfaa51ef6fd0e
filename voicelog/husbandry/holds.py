"""Until when eggs or meat are kept back after a treatment, by the days that were said.

There is no number of days in here and none is guessed: the label of what was given, or a
licensed vet, sets them, for eggs and for meat apart (a label's time for meat is no time for eggs),
and decides in every doubt. These functions only add days to dates.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from voicelog.errors import RequestError

_ASK = "Read the label of what was given, or ask a licensed vet."


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """One treatment, and for how long it keeps one kind of food back."""

    last_day: date
    """The last day on which it was given."""
    held_days: float
    """Days after that day, as the label or a licensed vet gave them; eggs and meat have their
    own."""


def last_day_given(
    first: date, course_days: float | None = None, later: Iterable[date] = ()
) -> date:
    """The last day of a treatment: the latest of what is recorded and what is foreseen.

    Unit: date.
    Range: the first day or later.
    Source: common practice, no source; grade M. The later day is taken, to be safe.

    Args:
        first: the day it was first given.
        course_days: for how many days it is to be given, the first one counted; a fraction
            counts as a whole day.
        later: other days on which the same was given to the same birds.

    Raises:
        RequestError: `course_days` is below 1.
    """
    foreseen = first if course_days is None else _days_after(first, course_days - 1)
    return max((foreseen, *later))


def held_through(*courses: Course) -> date:
    """The last day on which food is kept back; it is free from the day after.

    Of several treatments the one that holds the longest decides. A fraction of a day counts as a
    whole one.

    Unit: date.
    Range: the last day of treatment or later; the label or a licensed vet gives the days.
    Source: S126, grade A, for who sets the days; the sum is arithmetic, grade D.

    Raises:
        RequestError: no treatment is given, or days are below 0.
    """
    if not courses:
        raise RequestError(
            "For how long food is kept back is not known: no days were said.",
            kept="Nothing was reckoned.",
            todo=_ASK,
        )
    return max(_days_after(course.last_day, course.held_days) for course in courses)


def days_still_held(through: date, today: date) -> int:
    """How many days food is still kept back, today counted.

    Unit: days.
    Range: 0 (free) and up.
    Source: arithmetic on `held_through`, grade D.
    """
    return max(0, (through - today).days + 1)


def _days_after(day: date, days: float) -> date:
    """The day that many days later, a fraction counting as a whole one."""
    try:
        if days >= 0:
            return day + timedelta(days=ceil(days))
    except (OverflowError, ValueError):
        pass
    raise RequestError(
        f"From {day.isoformat()}, {days} further days cannot be counted.",
        kept="Nothing was reckoned.",
        todo=_ASK,
    )
