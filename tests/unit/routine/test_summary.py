from datetime import date

import pytest

from voicelog.routine import summary
from voicelog.types import DayPlan, Task


def task(chore, place=None):
    return Task(record="eggs", place=place, chore=chore, due=None, last_done=None)


@pytest.mark.parametrize(
    ("plan", "told"),
    [
        ({}, "Nothing is left."),
        ({"left": [task("water")]}, "One left: water."),
        (
            {"left": [task("nest boxes", "A"), task("water"), task("nest boxes", "B")]},
            "Three left: nest boxes at A and B; water.",
        ),
        (
            {"left": [task("eggs", place) for place in "ABC"], "done": [task("x")] * 13},
            "Three left: eggs at A, B and C. 13 done.",
        ),
        (
            {"done": [task("x")], "skipped": [task("y")] * 2, "not_due": [task("z")]},
            "Nothing is left. One done. Two skipped.",
        ),
        (
            {"left": [task(f"c{number}") for number in range(8)]},
            "Eight left: c0; c1; c2; c3; c4; c5; and two more.",
        ),
    ],
)
def test_one_line_to_be_spoken(plan, told):
    lists = {name: tuple(tasks) for name, tasks in plan.items()}
    assert summary(DayPlan(date=date(2027, 5, 4), **lists)) == told
