"""The day in one line that can be spoken."""

from __future__ import annotations

from collections.abc import Sequence

from voicelog.types import DayPlan, Task

_NUMBERS = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)
_AT_MOST = 6
"""Chores named in one breath; the rest are counted."""


def summary(plan: DayPlan) -> str:
    """What is left, in words of the chores, and how many are done and skipped."""
    told = [_left(plan.left)]
    told.extend(
        f"{_number(len(tasks)).capitalize()} {word}."
        for tasks, word in ((plan.done, "done"), (plan.skipped, "skipped"))
        if tasks
    )
    return " ".join(told)


def _left(tasks: Sequence[Task]) -> str:
    if not tasks:
        return "Nothing is left."
    places: dict[str, list[str]] = {}
    for task in tasks:
        named = places.setdefault(task.chore, [])
        if task.place is not None:
            named.append(task.place)
    chores = [_at(words, named) for words, named in places.items()]
    told = "; ".join(chores[:_AT_MOST])
    more = len(chores) - _AT_MOST
    rest = f"; and {_number(more)} more" if more > 0 else ""
    return f"{_number(len(tasks)).capitalize()} left: {told}{rest}."


def _at(words: str, places: Sequence[str]) -> str:
    if not places:
        return words
    *first, last = places
    listed = f"{', '.join(first)} and {last}" if first else last
    return f"{words} at {listed}"


def _number(count: int) -> str:
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)
