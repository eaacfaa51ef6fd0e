"""Pieces of text on a sheet of paper: measured first, drawn where there is room.

All lengths are points, 72 to the inch; `y` runs downwards from the top of the sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING

from voicelog.app.reporting.page import Table
from voicelog.sentences import shortened

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.ft2font import FT2Font

INK = "#1d1d1f"
GREY = "#4a4d55"
_LEADING = 1.18
_MEASURED = 24.0
_FIXED_POINT = 65536
_GAP = 7.0
"""Between the columns of a table."""


@dataclass(frozen=True, kw_only=True)
class Item:
    """A piece with its height, and how it is drawn with its left upper corner somewhere."""

    height: float
    draw: Callable[[Figure, float, float], None]
    keeps_next: bool = False
    """True for what must not stand alone at the foot of a column."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """Letters of one size within one width."""

    size: float
    width: float
    colour: str = INK
    bold: bool = False
    indent: float = field(default=0.0)


@lru_cache(maxsize=20_000)
def text_width(text: str, size: float, bold: bool) -> float:
    """How wide a text is."""
    # Letters are as wide as their size says: each is measured once, at one size.
    return sum(_letter_width(letter, bold) for letter in text) * size / _MEASURED + 0.5


@lru_cache(maxsize=2_000)
def _letter_width(letter: str, bold: bool) -> float:
    """How far a letter moves the pen at the size that all are measured at."""
    return float(_font(bold).load_char(ord(letter)).linearHoriAdvance) / _FIXED_POINT


@lru_cache(maxsize=2)
def _font(bold: bool) -> FT2Font:
    """A font of our own, since the drawing sets the size of those that it shares."""
    from matplotlib.font_manager import FontProperties, findfont
    from matplotlib.ft2font import FT2Font

    family = FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal")
    font = FT2Font(findfont(family))
    font.set_size(_MEASURED, 72)
    return font


def wrapped(text: str, pen: Pen, first: float = 0.0) -> list[str]:
    """A text in lines that fit; the first line begins `first` points in."""
    lines, line = [], ""
    room = pen.width - pen.indent - first
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, pen.size, pen.bold) > room:
            lines.append(line)
            line, room = word, pen.width - pen.indent
        else:
            line = longer
    return [*lines, line]


def paragraph(text: str, pen: Pen, label: str = "") -> Item:
    """A text, with a label in bold before it."""
    lead = text_width(f"{label}  ", pen.size, True) if label else 0.0
    lines = wrapped(text, pen, lead)
    step = pen.size * _LEADING

    def draw(figure: Figure, x: float, y: float) -> None:
        if label:
            put(figure, x + pen.indent, y, label, Pen(size=pen.size, width=pen.width, bold=True))
        for at, line in enumerate(lines):
            put(figure, x + pen.indent + (0 if at else lead), y + at * step, line, pen)

    return Item(height=len(lines) * step + pen.size * 0.15, draw=draw)


def heading(text: str, pen: Pen) -> Item:
    """The title of a part, with a line above it."""
    step = pen.size * _LEADING

    def draw(figure: Figure, x: float, y: float) -> None:
        rule(figure, x, y + pen.size * 0.5, pen.width, 1.2)
        put(figure, x, y + pen.size * 0.75, text, pen)

    return Item(height=step + pen.size * 0.85, draw=draw, keeps_next=True)


def caution(text: str, pen: Pen) -> Item:
    """A text in a frame."""
    inner = Pen(size=pen.size * 0.95, width=pen.width - 9, bold=True)
    lines = wrapped(text, inner)
    step = pen.size * _LEADING
    tall = len(lines) * step + pen.size * 0.5

    def draw(figure: Figure, x: float, y: float) -> None:
        frame(figure, x, y + 1, pen.width, tall)
        for at, line in enumerate(lines):
            put(figure, x + 6, y + 1 + pen.size * 0.25 + at * step, line, inner)

    return Item(height=tall + pen.size * 0.6, draw=draw)


def table_items(table: Table, pen: Pen, most: int, more: str, letters: int = 400) -> list[Item]:
    """A table row by row; no more rows than `most`, then a word about those left out.

    Args:
        table: what stands in it.
        pen: size and width.
        most: rows.
        more: told below where rows are left out, with their `count`.
        letters: of one cell; longer ones end in an ellipsis.
    """
    kept = table.rows if len(table.rows) <= most else table.rows[: max(1, most)]
    shown = tuple(tuple(shortened(cell, letters) for cell in row) for row in kept)
    widths = _widths((table.columns, *shown), pen)
    title = paragraph(table.title, Pen(size=pen.size, width=pen.width, bold=True))
    items = [Item(height=title.height, draw=title.draw, keeps_next=True)]
    head = Pen(size=pen.size * 0.93, width=pen.width, colour=GREY)
    items.append(_row(table.columns, widths, head, keeps_next=True))
    items += [_row(row, widths, pen) for row in shown]
    if len(shown) < len(table.rows):
        told = more.format(count=len(table.rows) - len(shown))
        items.append(paragraph(told, Pen(size=pen.size, width=pen.width, colour=GREY)))
    items.append(Item(height=pen.size * 0.4, draw=lambda _figure, _x, _y: None))
    return items


def _widths(rows: Sequence[Sequence[str]], pen: Pen) -> list[float]:
    """What each column needs; where that is too much, the widest ones give way."""
    columns = list(zip(*rows, strict=True))
    wide = [max(text_width(cell, pen.size, False) for cell in column) for column in columns]
    least = [
        max(
            (text_width(word, pen.size, False) for cell in column for word in cell.split()),
            default=0,
        )
        for column in columns
    ]
    over = sum(wide) + _GAP * (len(wide) - 1) - pen.width
    while over > 0.01:
        spare = [have - need for have, need in zip(wide, least, strict=True)]
        widest = max(range(len(wide)), key=lambda at: wide[at] if spare[at] > 0.01 else -1)
        if spare[widest] <= 0.01:
            break
        cut = min(spare[widest], over, max(1.0, wide[widest] * 0.1))
        wide[widest] -= cut
        over -= cut
    return wide


def _row(cells: Sequence[str], widths: list[float], pen: Pen, *, keeps_next: bool = False) -> Item:
    wraps = [
        wrapped(cell, Pen(size=pen.size, width=width + 0.6))
        for cell, width in zip(cells, widths, strict=True)
    ]
    step = pen.size * _LEADING
    tall = max(len(lines) for lines in wraps) * step

    def draw(figure: Figure, x: float, y: float) -> None:
        at = x
        for lines, width in zip(wraps, widths, strict=True):
            for down, line in enumerate(lines):
                put(figure, at, y + down * step, line, pen)
            at += width + _GAP
        rule(figure, x, y + tall + pen.size * 0.1, pen.width, 0.3)

    return Item(height=tall + pen.size * 0.25, draw=draw, keeps_next=keeps_next)


def put(figure: Figure, x: float, y: float, text: str, pen: Pen) -> None:
    """One line of text."""
    wide, tall = (inches * 72 for inches in figure.get_size_inches())
    figure.text(
        x / wide,
        1 - (y + pen.size) / tall,
        text,
        fontsize=pen.size,
        fontweight="bold" if pen.bold else "normal",
        color=pen.colour,
        va="baseline",
        parse_math=False,
    )


def rule(figure: Figure, x: float, y: float, length: float, thick: float) -> None:
    """A line across."""
    from matplotlib.lines import Line2D

    wide, tall = (inches * 72 for inches in figure.get_size_inches())
    ends, level = (x / wide, (x + length) / wide), 1 - y / tall
    figure.add_artist(Line2D(ends, (level, level), color=INK, linewidth=thick))


def frame(figure: Figure, x: float, y: float, length: float, height: float) -> None:
    """A box with a thick left side."""
    from matplotlib.patches import Rectangle

    wide, tall = (inches * 72 for inches in figure.get_size_inches())
    corner = (x / wide, 1 - (y + height) / tall)
    box = Rectangle(corner, length / wide, height / tall, fill=False, edgecolor=INK, linewidth=0.8)
    bar = Rectangle(corner, 3 / wide, height / tall, facecolor=INK, edgecolor=INK)
    figure.add_artist(box)
    figure.add_artist(bar)
