"""`report`: a day, a week, a month or a season on one page."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from voicelog import forms
from voicelog.cli.common import Desk, add_command, say, with_common, write
from voicelog.errors import RequestError

if TYPE_CHECKING:
    from voicelog.app.reporting.page import Plot

_REPORT = """
Show a day, a week, a month or a season on one page: what was gathered and how good that is, what
was eaten, lost, moved, read, bought and sold, what is due, and cautions where they belong.

The week is the calendar week (Monday first), the month and the season (from the first of March,
June, September or December) those of --now, cut off at now. Only parts with records are shown.
With --kind, the sums of these kinds are shown instead.

Pictures and files need matplotlib: `pip install '.[report]'` in the program's folder.
"""


class Period(StrEnum):
    """What a report covers."""

    DAY = "day"
    WEEK = "week"
    MONTH = "month"
    SEASON = "season"


class Paper(StrEnum):
    """Sizes of paper."""

    A4 = "a4"
    LETTER = "letter"


def add_to(app: typer.Typer) -> None:
    """Add the command of this file to the program."""
    add_command(app, "report", report, _REPORT, brief="A day, week, month or season on a page.")


@with_common
def report(
    desk: Desk,
    period: Annotated[Period, typer.Argument(help="What to cover.")] = Period.DAY,
    kind: Annotated[
        list[str] | None, typer.Option("--kind", help="Only this kind of record; repeatable.")
    ] = None,
    pdf: Annotated[
        Path | None, typer.Option("--pdf", metavar="FILE", help="Write one sheet of paper.")
    ] = None,
    html: Annotated[
        Path | None, typer.Option("--html", metavar="FILE", help="Write one HTML file.")
    ] = None,
    png: Annotated[
        Path | None, typer.Option("--png", metavar="DIR", help="Write a PNG file for each plot.")
    ] = None,
    paper: Annotated[
        Paper | None, typer.Option("--paper", help="For --pdf; else as usual where the farm is.")
    ] = None,
) -> None:
    """Show or write the report of a period."""
    from voicelog.app.report import of_kinds, report_form, report_of
    from voicelog.app.reporting.form import page_form
    from voicelog.app.reporting.pages import page_of

    now = desk.now()
    only = of_kinds(tuple(kind or ()))
    files = tuple(file for file in (pdf, html, png) if file is not None)
    if files:
        from voicelog.app.reporting.drawing import need_drawing

        need_drawing()
    if only and not desk.json and not files:
        from voicelog.cli.screens import show_report

        show_report(report_of(desk.notebook, period.value, now, only), now)
        return
    page = page_of(desk.notebook, period.value, now, only)
    if pdf is not None:
        from voicelog.app.reporting.sheet import sheet

        _keep(pdf, sheet(page, None if paper is None else paper.value))
    if html is not None:
        from voicelog.app.reporting.web_page import web_page

        _keep(html, web_page(page).encode("utf-8"))
    written = _pictures(png, page.plots) if png is not None else 0
    if desk.json:
        found = report_of(desk.notebook, period.value, now, only)
        write(forms.line(report_form(found) | page_form(page)))
        return
    if not files:
        from voicelog.cli.report_screen import show_page

        show_page(page)
        return
    for file in files:
        say(f"{file}: {written} pictures" if file is png else str(file))


def _pictures(folder: Path, plots: tuple[Plot, ...]) -> int:
    from voicelog.app.reporting.drawing import png

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise _not_written(folder, problem) from problem
    for plot in plots:
        _keep(folder / f"{plot.name}.png", png(plot))
    return len(plots)


def _keep(file: Path, content: bytes) -> None:
    """Write a file whole: a fault half way leaves what was there."""
    beside = file.with_name(f".{file.name}.part")
    try:
        beside.write_bytes(content)
        beside.replace(file)
    except OSError as problem:
        raise _not_written(file, problem) from problem


def _not_written(file: Path, problem: OSError) -> RequestError:
    return RequestError(
        f"{file} cannot be written: {problem.strerror}.",
        kept="What was there before is left as it was.",
        todo="Name another file or folder.",
    )
