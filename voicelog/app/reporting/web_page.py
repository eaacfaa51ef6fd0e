"""The page as one HTML file: pictures inside, nothing loaded from anywhere, readable on a phone."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from voicelog.app.reporting.drawing import need_drawing, svg
from voicelog.app.reporting.page import Fact, Page, Plot, Section, Table
from voicelog.catalogue.reporting import load_reporting

_STYLE = """
:root { color-scheme: light; }
body { font: 16px/1.45 system-ui, sans-serif; color: #1d1d1f; background: #fff;
  margin: 0 auto; padding: 0.8rem; max-width: 46rem; }
h1 { font-size: 1.4rem; margin: 0; }
h2 { font-size: 1.15rem; margin: 1.6rem 0 0.4rem; border-bottom: 2px solid #27346b; }
h3 { font-size: 1rem; margin: 1rem 0 0.3rem; }
.sub { color: #4a4d55; margin: 0.1rem 0 0; }
dl { margin: 0.4rem 0; display: grid; grid-template-columns: minmax(7rem, 34%) 1fr;
  gap: 0.2rem 0.8rem; }
dt { color: #4a4d55; } dd { margin: 0; font-weight: 600; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-size: 0.92rem; }
th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.6rem 0.25rem 0;
  border-bottom: 1px solid #d7dbe2; }
th { font-weight: 600; color: #4a4d55; }
figure { margin: 1rem 0; } figure svg { width: 100%; height: auto; display: block; }
.note { color: #4a4d55; margin: 0.3rem 0; font-size: 0.92rem; }
.caution { border: 2px solid #1d1d1f; border-left-width: 8px; padding: 0.4rem 0.6rem;
  margin: 0.6rem 0; font-weight: 600; }
footer { font-size: 0.82rem; color: #4a4d55; }
footer li { overflow-wrap: anywhere; }
@media print { body { max-width: none; font-size: 11px; } figure, table { break-inside: avoid; } }
"""


def web_page(page: Page) -> str:
    """The whole file as text.

    Raises:
        RequestError: matplotlib is not installed.
    """
    need_drawing()
    say = load_reporting().say
    body = "\n".join(_section(section) for section in page.sections)
    if not page.sections:
        body = f"<p>{escape(say('nothing'))}</p>"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(page.title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        f'<header><h1>{escape(page.title)}</h1><p class="sub">{escape(page.subtitle)}</p></header>'
        f"\n<main>\n{body}\n</main>\n{_sources(page)}</body>\n</html>\n"
    )


def _section(section: Section) -> str:
    parts = [f'<section id="{section.name}">\n<h2>{escape(section.title)}</h2>']
    say = load_reporting().say
    parts += [
        f'<p class="caution">{escape(say("caution", text=caution.text))}</p>'
        for caution in section.cautions
    ]
    if section.facts:
        parts.append(f"<dl>{''.join(_fact(fact) for fact in section.facts)}</dl>")
    parts += [_figure(plot) for plot in section.plots]
    parts += [_table(table) for table in section.tables]
    parts += [f'<p class="note">{escape(note)}</p>' for note in section.notes]
    return "\n".join((*parts, "</section>"))


def _fact(fact: Fact) -> str:
    return f"<dt>{escape(fact.label)}</dt><dd>{escape(fact.text)}</dd>"


def _figure(plot: Plot) -> str:
    named = svg(plot).replace("<svg ", f'<svg role="img" aria-label="{escape(plot.title)}" ', 1)
    return f"<figure>{named}</figure>"


def _table(table: Table) -> str:
    head = _row("th", table.columns)
    rows = "".join(_row("td", row) for row in table.rows)
    return (
        f'<h3>{escape(table.title)}</h3>\n<div class="wide"><table><thead>{head}</thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )


def _row(tag: str, cells: Iterable[str]) -> str:
    return "<tr>" + "".join(f"<{tag}>{escape(cell)}</{tag}>" for cell in cells) + "</tr>"


def _sources(page: Page) -> str:
    lines = [*source_lines(page), *(f"{one.id}: {one.title}" for one in page.publications)]
    if not lines:
        return ""
    title = escape(load_reporting().say("sources"))
    rows = "\n".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<footer>\n<h2>{title}</h2>\n<ul>\n{rows}\n</ul>\n</footer>\n"


def source_lines(page: Page) -> tuple[str, ...]:
    """One line for each function whose published figures stand on the page."""
    say = load_reporting().say
    found: dict[tuple[str, str], list[str]] = {}
    for section in page.sections:
        for source in section.sources:
            found.setdefault((source.function, source.rest), []).extend(source.ids)
    return tuple(
        say(
            "source_of",
            function=function,
            publications="; ".join(part for part in (", ".join(dict.fromkeys(ids)), rest) if part),
        )
        for (function, rest), ids in found.items()
    )
