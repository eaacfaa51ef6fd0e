"""The page as one sheet of paper (PDF): two columns, set as large as fits.

Letters and pictures shrink step by step; where even the smallest do not fit, long tables are cut,
which the sheet says. Cautions are never cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from typing import TYPE_CHECKING

from voicelog.app.reporting.drawing import draw, need_drawing, style
from voicelog.app.reporting.page import Page, Plot, Section
from voicelog.app.reporting.sheet_items import (
    GREY,
    Item,
    Pen,
    caution,
    heading,
    paragraph,
    put,
    table_items,
)
from voicelog.app.reporting.web_page import source_lines
from voicelog.catalogue.reporting import load_reporting
from voicelog.errors import RequestError

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PAPERS = {"a4": (595.3, 841.9), "letter": (612.0, 792.0)}
"""Width and height in points."""
_MARGIN = 24.0
_GUTTER = 12.0
_HEAD = 32.0
_TRIED = 7.0
_SAFE = 1.05
"""Letters are measured at one size; numbers along the axes may differ a little at another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Set:
    """One way to set the sheet."""

    columns: int
    size: float
    """Of letters, in points."""
    plot: float
    """Height of a picture without its letters, in points."""
    most: int = 99
    """Rows of a table."""
    minor: bool = True
    """Whether the lesser pictures stand on it."""
    letters: int = 400
    """Of one cell of a table."""
    titles: bool = True
    """Whether publications are named in full, and not by id only."""


_WAYS = (
    _Set(columns=2, size=9, plot=130),
    _Set(columns=2, size=8, plot=112),
    _Set(columns=2, size=7.2, plot=98),
    _Set(columns=3, size=7.2, plot=90),
    _Set(columns=3, size=6.6, plot=80),
    _Set(columns=3, size=6.6, plot=72, most=9, letters=110, titles=False),
    _Set(columns=3, size=6.6, plot=70, most=9, letters=100, titles=False, minor=False),
    _Set(columns=3, size=6.4, plot=64, most=7, letters=90, titles=False, minor=False),
    _Set(columns=3, size=6.2, plot=58, most=6, letters=80, titles=False, minor=False),
    _Set(columns=3, size=6.2, plot=54, most=5, letters=70, titles=False, minor=False),
    _Set(columns=3, size=6, plot=52, most=4, letters=70, titles=False, minor=False),
    _Set(columns=3, size=6, plot=48, most=3, letters=60, titles=False, minor=False),
    _Set(columns=3, size=5.8, plot=46, most=2, letters=60, titles=False, minor=False),
    _Set(columns=3, size=5.6, plot=42, most=1, letters=50, titles=False, minor=False),
)
"""The first one that fits is taken."""


def sheet(page: Page, paper: str | None = None) -> bytes:
    """The page as a PDF of one sheet.

    Args:
        page: what stands on it.
        paper: one of `PAPERS`; by default what is usual where the farm is.

    Raises:
        RequestError: matplotlib is not installed, or the page does not fit on one sheet.
    """
    need_drawing()
    import matplotlib

    wide, tall = PAPERS[paper or page.paper]
    for way in _WAYS:
        width = (wide - 2 * _MARGIN - _GUTTER * (way.columns - 1)) / way.columns
        with matplotlib.rc_context(style(way.size * 0.95)):
            room = tall - 2 * _MARGIN - _HEAD
            items = _items(page, way, width)
            placed = _placed(items, room, way.columns)
            if placed is not None:
                return _pdf(page, placed, (wide, tall), width)
    raise RequestError(
        "The report does not fit on one sheet of paper.",
        kept="Nothing was written.",
        todo="Ask for fewer kinds with --kind, for a shorter period, or for --html.",
    )


def _items(page: Page, way: _Set, width: float) -> list[Item]:
    say = load_reporting().say
    items: list[Item] = []
    told: dict[str, str] = {}
    for section in page.sections:
        items += _section_items(section, way, width, told)
    if not page.sections:
        items.append(paragraph(say("nothing"), Pen(size=way.size, width=width)))
    left_out = [plot.title for plot in page.plots if plot.minor and not way.minor]
    grey = Pen(size=way.size, width=width, colour=GREY)
    if left_out:
        items.append(paragraph(say("left_out", titles="; ".join(left_out)), grey))
    lines = [*source_lines(page), *_named(page, way)]
    if lines:
        small = Pen(size=max(5.0, way.size * 0.85), width=width, colour=GREY)
        items.append(heading(say("sources"), Pen(size=way.size, width=width, bold=True)))
        items += [paragraph(" · ".join(lines), small)]
    return items


def _named(page: Page, way: _Set) -> list[str]:
    if way.titles:
        return [f"{one.id}: {one.title}" for one in page.publications]
    return [load_reporting().say("named_elsewhere")] if page.publications else []


def _section_items(section: Section, way: _Set, width: float, told: dict[str, str]) -> list[Item]:
    """One part. `told` holds where each caution stands already, which one sheet shows once."""
    say = load_reporting().say
    pen = Pen(size=way.size, width=width)
    items = [heading(section.title, Pen(size=way.size * 1.2, width=width, bold=True))]
    for one in section.cautions:
        text = say("caution", text=one.text)
        if one.name in told:
            called = one.name.replace("_", " ")
            text = say("caution_told", name=called, title=told[one.name])
        told.setdefault(one.name, section.title)
        items.append(caution(text, pen))
    items += [paragraph(fact.text, pen, f"{fact.label}:") for fact in section.facts]
    items += [_plot_item(plot, way, width) for plot in section.plots if way.minor or not plot.minor]
    for table in section.tables:
        more = load_reporting().words["more_rows"]
        items += table_items(table, pen, way.most, more, way.letters)
    grey = Pen(size=way.size, width=width, colour=GREY)
    items += [paragraph(" ".join(section.notes), grey)] if section.notes else []
    items.append(Item(height=way.size * 0.3, draw=lambda _figure, _x, _y: None))
    return items


def _plot_item(plot: Plot, way: _Set, width: float) -> Item:
    """A picture in its own box, with room for its letters."""
    left, right, above, below = _room(plot, way.size, width)

    def place(figure: Figure, x: float, y: float) -> None:
        wide, tall = (inches * 72 for inches in figure.get_size_inches())
        box = (
            (x + left) / wide,
            1 - (y + above + way.plot) / tall,
            (width - left - right) / wide,
            way.plot / tall,
        )
        _drawn(plot, figure, box, width)

    return Item(height=above + way.plot + below + way.size * 0.6, draw=place)


def _drawn(
    plot: Plot, figure: Figure, box: tuple[float, float, float, float], width: float
) -> Axes:
    axes = figure.add_axes(box)
    draw(plot, axes, width)
    axes.tick_params(length=2, pad=2)
    return axes


def _room(plot: Plot, size: float, width: float) -> tuple[float, float, float, float]:
    """What stands left, right, above and below of the axes: letters, numbers and the legend."""
    left, above, below = (part * size * _SAFE for part in _letters(plot, width))
    return left, size, above, below


@lru_cache(maxsize=64)
def _letters(plot: Plot, width: float) -> tuple[float, float, float]:
    """What stands left, above and below for each point of the letters' size, drawn once."""
    import matplotlib
    from matplotlib.figure import Figure

    tall = 400.0
    with matplotlib.rc_context(style(_TRIED)):
        figure = Figure(figsize=(width / 72, tall / 72), dpi=72)
        axes = _drawn(plot, figure, (0.25, 0.5, 0.7, 0.25), width)
        figure.draw_without_rendering()
    whole, inner = axes.get_tightbbox(), axes.get_window_extent()
    beside = axes.yaxis.get_tightbbox(None)
    assert whole is not None
    assert beside is not None
    # A legend wider than the axes is centred below them and may stand out on both sides.
    around = (inner.x0 - beside.x0, whole.y1 - inner.y1, inner.y0 - whole.y0)
    return tuple(max(0.0, float(part)) / _TRIED for part in around)  # type: ignore[return-value]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    item: Item
    column: int
    y: float


def _placed(items: list[Item], room: float, columns: int) -> list[_Placed] | None:
    """Where each item stands; None where they do not fit."""
    found, column, y = [], 0, 0.0
    for at, item in enumerate(items):
        needed = item.height
        following = at
        while items[following].keeps_next and following + 1 < len(items):
            following += 1
            needed += items[following].height
        if y + needed > room and y:
            column, y = column + 1, 0.0
        if column >= columns or item.height > room:
            return None
        found.append(_Placed(item=item, column=column, y=y))
        y += item.height
    return found


def _pdf(page: Page, placed: list[_Placed], paper: tuple[float, float], width: float) -> bytes:
    from matplotlib.figure import Figure

    wide, tall = paper
    figure = Figure(figsize=(wide / 72, tall / 72))
    put(figure, _MARGIN, _MARGIN - 6, page.title, Pen(size=15, width=wide, bold=True))
    put(figure, _MARGIN, _MARGIN + 13, page.subtitle, Pen(size=8, width=wide, colour=GREY))
    for one in placed:
        x = _MARGIN + one.column * (width + _GUTTER)
        one.item.draw(figure, x, _MARGIN + _HEAD + one.y)
    out = BytesIO()
    figure.savefig(out, format="pdf", metadata={"Title": page.title, "CreationDate": None})
    return out.getvalue()
