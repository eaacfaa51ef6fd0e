"""Tables, bars and progress on a terminal."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, TypeVar

from rich import box
from rich.console import Console, RenderableType
from rich.table import Table
from rich.text import Text

from voicelog.cli.common import say
from voicelog.sentences import (
    amount_text,
    counted,
    day_text,
    number_text,
    printable,
    value_text,
    when_text,
)
from voicelog.types import DayPlan, Task

if TYPE_CHECKING:
    from voicelog.app.rate_of_lay import RateOfLay
    from voicelog.app.report import KindReport, Report

Item = TypeVar("Item")
_BAR = 30
"""Width of the longest bar, in characters."""


def show(what: RenderableType) -> None:
    """Print a table on stdout, as wide as the terminal, or 80 where it is none."""
    width = None if sys.stdout.isatty() else int(os.environ.get("COLUMNS") or 80)
    console = Console(width=width, highlight=False, markup=False, emoji=False)
    with console.capture() as captured:
        console.print(what)
    for line in captured.get().splitlines():
        say(line.rstrip())


def table(title: str, *columns: str) -> Table:
    """An empty table in the program's look."""
    made = Table(title=title or None, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD)
    for column in columns:
        made.add_column(column, overflow="fold")
    return made


def row(made: Table, *cells: str) -> None:
    """Add a row whose cells are shown as they are."""
    made.add_row(*(Text(printable(cell)) for cell in cells))


def progress(items: Sequence[Item], label: str) -> Iterator[Item]:
    """The items one by one, with a bar on stderr where that is a terminal."""
    if not sys.stderr.isatty() or len(items) < 2:
        yield from items
        return
    from rich.progress import track

    yield from track(items, description=label, console=Console(stderr=True), transient=True)


def day_plan_table(plan: DayPlan, now: datetime) -> Table:
    """Every chore once, what is left first."""
    made = table(f"{plan.date:%A} {plan.date.day} {plan.date:%B %Y}", "", "chore", "place", "when")
    for name, tasks in (
        ("left", plan.left),
        ("done", plan.done),
        ("skipped", plan.skipped),
        ("not due", plan.not_due),
    ):
        for task in tasks:
            row(made, name, task.chore, task.place or "", _when(name, task, now))
    return made


def _when(name: str, task: Task, now: datetime) -> str:
    last = "" if task.last_done is None else when_text(task.last_done, now)
    if name == "done":
        return last
    due = "" if task.due is None else day_text(task.due.date(), now)
    if name == "left" and task.due is not None:
        by = f"by {task.due:%H:%M}" if task.due.time() != task.due.min.time() else ""
        overdue = "" if task.due.date() == now.date() else f"due {due}"
        late = "overdue" if by and not overdue and task.due < now else ""
        told = ", ".join(part for part in (overdue, by, late) if part)
        return f"{told}; last {last}" if last and told else told or (last and f"last {last}")
    return f"due {due}" if name == "not due" else ""


def show_report(report: Report, now: datetime) -> None:
    """A report: a table for each kind, then money and what is missing."""
    say(f"{report.period.capitalize()} from {report.first} to {report.last}")
    if not report.kinds:
        say("No record.")
    for kind in report.kinds:
        show(_kind_table(kind, now))
    if report.money:
        made = table("money", "", "", "total")
        for sum_ in report.money:
            row(made, sum_.kind, sum_.slot, amount_text(sum_.total, sum_.unit))
        show(made)
    if report.rate:
        show(_rate_table(report.rate))
    if report.missing:
        made = table("missing", "chore", "place", "days without a record")
        for gap in report.missing:
            days = ", ".join(day_text(day, now) for day in gap.days[:7])
            more = f" and {len(gap.days) - 7} more" if len(gap.days) > 7 else ""
            row(made, gap.chore, gap.place or "", days + more)
        show(made)


def _rate_table(rate: RateOfLay) -> Table:
    laying, period = rate.laying, rate.period
    made = table(laying.title, "", "")
    made.show_header = False
    row(made, f"{period.percent:.1f} %", laying.basis)
    over = counted(round(period.hen_days), laying.unit)
    row(made, "", f"{counted(period.laid, laying.each)} over {over}")
    if period.uncovered:
        row(made, "", f"without {counted(period.uncovered, 'day')} at the end not gathered yet")
    return made


def _kind_table(kind: KindReport, now: datetime) -> Table:
    made = table(f"{kind.title}: {counted(kind.records, 'record')}", "", "", "", "")
    made.show_header = False
    for slot in kind.slots:
        if slot.total is None:
            span = f"{number_text(slot.lowest)} to {_amount(slot.highest, slot.unit)}"
            row(made, slot.title, "between", span, "")
            continue
        row(made, slot.title, "total", _amount(slot.total, slot.unit), "")
        longest = max((abs(total) for _, total in slot.days), default=0)
        for day, total in slot.days if len(slot.days) > 1 else ():
            row(made, "", day_text(day, now), number_text(total), _bar(total, longest))
    for choice in kind.choices:
        row(made, choice.title, value_text(choice.value), number_text(choice.records), "")
    return made


def _amount(number: int | float, unit: str | None) -> str:
    return amount_text(number, unit) if unit else number_text(number)


def _bar(total: float, longest: float) -> str:
    return "█" * round(_BAR * abs(total) / longest) if longest else ""
