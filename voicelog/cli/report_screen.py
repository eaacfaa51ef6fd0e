"""The page of a report on a terminal: the same parts as on paper, its pictures in letters."""

from __future__ import annotations

from voicelog.app.reporting.page import Fact, Page, Section, Table
from voicelog.app.reporting.web_page import source_lines
from voicelog.catalogue.reporting import load_reporting
from voicelog.cli.common import say
from voicelog.cli.report_pictures import picture
from voicelog.cli.screens import row, show, table

_WIDTH = 80
_LABEL = 26
"""Widest label of a number, in letters."""


def show_page(page: Page) -> None:
    """Print the page on stdout, no line wider than 80 where that is no terminal."""
    words = load_reporting()
    say(page.title)
    say(page.subtitle)
    if not page.sections:
        say(words.say("nothing"))
    for section in page.sections:
        _show_section(section)
    lines = [*source_lines(page), *(f"{one.id}: {one.title}" for one in page.publications)]
    if lines:
        say()
        say(words.say("sources"))
        made = table("", "")
        made.show_header = False
        for line in lines:
            row(made, line)
        show(made)


def _show_section(section: Section) -> None:
    words = load_reporting()
    say()
    say(f"── {section.title} ".ljust(_WIDTH, "─"))
    for caution in section.cautions:
        _paragraph(words.say("caution", text=caution.text))
    if section.facts:
        _facts(section.facts)
    for plot in section.plots:
        for line in picture(plot):
            say(line)
        say()
    for one in section.tables:
        _table(one)
    for note in section.notes:
        _paragraph(note)


def _facts(facts: tuple[Fact, ...]) -> None:
    made = table("", "", "")
    made.show_header = False
    made.columns[0].max_width = _LABEL
    for fact in facts:
        row(made, fact.label, fact.text)
    show(made)


def _table(one: Table) -> None:
    made = table(one.title, *one.columns)
    for cells in one.rows:
        row(made, *cells)
    show(made)


def _paragraph(text: str) -> None:
    made = table("", "")
    made.show_header = False
    made.box = None
    row(made, text)
    show(made)
