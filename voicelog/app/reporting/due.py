"""What is left to do, and what was left undone in the period."""

from __future__ import annotations

from datetime import date

from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.page import Fact, Section, Table
from voicelog.app.reporting.wording import day, day_list
from voicelog.types import DayPlan, Task


def due_section(gathered: Gathered) -> Section | None:
    """Chores left today and left undone before; None where the farm has no chores."""
    if not gathered.farm.chores:
        return None
    plan = gathered.notebook.left(gathered.now)
    missed = gathered.notebook.past_plans(gathered.noted_from, gathered.now)
    tables = [_left_table(gathered, plan)] if plan.left else []
    gaps = _gaps(missed)
    if gaps:
        tables.append(_missed_table(gathered, gaps))
    return Section(
        facts=(
            Fact(
                name="left_today",
                label=gathered.say("due_now"),
                text=gathered.say("due_now_text", left=len(plan.left), done=len(plan.done)),
                value=len(plan.left),
                unit=gathered.say("chore"),
            ),
        ),
        tables=tuple(tables),
    )


def _left_table(gathered: Gathered, plan: DayPlan) -> Table:
    rows: dict[tuple[str, str], list[str]] = {}
    for task in plan.left:
        rows.setdefault((task.chore, _when(gathered, task)), []).append(task.place or "")
    keys = ("chore", "place", "due_when")
    return Table(
        name="left",
        title=gathered.say("due_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(
            (chore, ", ".join(place for place in places if place) or "—", when)
            for (chore, when), places in rows.items()
        ),
    )


def _when(gathered: Gathered, task: Task) -> str:
    if task.due is None:
        return gathered.say("today")
    if task.due.date() < gathered.last:
        return gathered.say("overdue", day=day(task.due.date()))
    if task.due.time() != task.due.min.time():
        return gathered.say("by_clock", clock=f"{task.due:%H:%M}")
    return gathered.say("today")


def _gaps(plans: tuple[DayPlan, ...]) -> dict[tuple[str, str | None], list[date]]:
    gaps: dict[tuple[str, str | None], list[date]] = {}
    for plan in plans:
        for task in plan.left:
            gaps.setdefault((task.chore, task.place), []).append(plan.date)
    return gaps


def _missed_table(gathered: Gathered, gaps: dict[tuple[str, str | None], list[date]]) -> Table:
    same: dict[tuple[str, tuple[date, ...]], list[str]] = {}
    for (chore, place), days in gaps.items():
        same.setdefault((chore, tuple(days)), []).append(place or "")
    keys = ("chore", "place", "days", "missed_on")
    return Table(
        name="missed",
        title=gathered.say("missed_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(
            (
                chore,
                ", ".join(place for place in places if place) or "—",
                str(len(days)),
                day_list(days),
            )
            for (chore, days), places in same.items()
        ),
    )
