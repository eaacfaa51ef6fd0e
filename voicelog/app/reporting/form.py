"""The page as JSON has it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from voicelog.app.reporting.page import Band, Page, Plot, Section, Series


def page_form(page: Page) -> dict[str, Any]:
    """What the page adds to a report: its parts and the publications they cite."""
    return {
        "farm": page.farm,
        "title": page.title,
        "sections": [_section(section) for section in page.sections],
        "publications": [{"id": one.id, "title": one.title} for one in page.publications],
    }


def _section(section: Section) -> dict[str, Any]:
    return {
        "name": section.name,
        "title": section.title,
        "facts": [
            {
                "name": fact.name,
                "label": fact.label,
                "value": fact.value,
                "unit": fact.unit,
                "low": fact.low,
                "high": fact.high,
                "text": fact.text,
            }
            for fact in section.facts
        ],
        "tables": [
            {
                "name": table.name,
                "title": table.title,
                "columns": list(table.columns),
                "rows": [list(row) for row in table.rows],
            }
            for table in section.tables
        ],
        "plots": [_plot(plot) for plot in section.plots],
        "notes": list(section.notes),
        "cautions": [{"name": one.name, "text": one.text} for one in section.cautions],
        "sources": [
            {"function": one.function, "publications": list(one.ids), "rest": one.rest}
            for one in section.sources
        ],
    }


def _plot(plot: Plot) -> dict[str, Any]:
    return {
        "name": plot.name,
        "title": plot.title,
        "x": plot.x_label,
        "y": plot.y_label,
        "days": [day.isoformat() for day in plot.days],
        "series": _series((*plot.bars, *plot.lines)),
        "bands": [_band(band) for band in plot.bands],
        "readings": [
            {
                "label": one.label,
                "readings": [{"at": r.at.isoformat(), "value": r.value} for r in one.readings],
            }
            for one in plot.readings
        ],
        "levels": [{"label": level.label, "value": level.value} for level in plot.levels],
        "stays": [
            {
                "row": stay.row,
                "who": stay.who,
                "from": stay.first.isoformat(),
                "to": stay.last.isoformat(),
            }
            for stay in plot.stays
        ],
    }


def _series(series: Iterable[Series]) -> list[dict[str, Any]]:
    return [
        {"label": one.label, "values": list(one.values), "not_for_eating_or_selling": one.held}
        for one in series
    ]


def _band(band: Band) -> dict[str, Any]:
    return {"label": band.label, "low": list(band.low), "high": list(band.high)}
