"""Pictures drawn by matplotlib: told apart by marks, hatches and line styles, not by colour alone.

The colours differ in lightness as well as in hue, so that they stay apart in grey and for eyes
that see few colours. The library is loaded only when a picture is asked for.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Any

from voicelog.app.reporting.page import Band, Level, Plot, Readings, Series, Stay
from voicelog.errors import RequestError

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLOURS = ("#27346b", "#d98032", "#4fa38f", "#e6cf73", "#8d5a97", "#b9bec6")
"""From dark to light: about 22, 62, 62, 83, 45 and 77 of lightness; neighbours lie apart."""
HATCHES = ("", "///", "...", "\\\\\\", "xx", "oo")
MARKS = ("o", "s", "^", "D", "v", "P")
STROKES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)), (0, (1, 1)))
_HELD_HATCH = "xxxx"
_HELD_FACE = "#ffffff"
_INK = "#1d1d1f"
_BAND_FACE = "#d7dbe2"
_DPI = 150
_PNG_INCHES = (7.2, 4.2)
_WEB_INCHES = (4.9, 3.5)
_MOST_LEGEND_COLUMNS = 2
_MOST_DAYS_NAMED = 7
_DAY_LETTERS = 8
_NUMBER_LETTERS = 4
_DAY = timedelta(days=1)
_LETTER = 0.5
"""How wide a letter is on the average, for its size."""
_WIDE_LETTER = 0.62
"""The same for figures and capitals."""
_POINTS = 72
"""In an inch."""


def need_drawing() -> None:
    """Make sure that pictures can be drawn.

    Raises:
        RequestError: matplotlib is not installed; the error says how to add it.
    """
    try:
        import matplotlib
    except ImportError as problem:
        raise RequestError(
            "Pictures need matplotlib, which is not installed.",
            kept="Nothing was written; the report as text works without it.",
            todo="Run `pip install '.[report]'` in the program's folder, or leave the option out.",
        ) from problem
    # Agg draws into memory: no screen is asked for, whatever the user's settings say.
    matplotlib.use("Agg")


def style(size: float) -> Any:
    """Settings of the library for a size of letters in points."""
    return {
        "font.size": size,
        "font.family": "DejaVu Sans",
        "axes.titlesize": size + 0.5,
        "axes.titleweight": "bold",
        "axes.titlelocation": "left",
        "axes.edgecolor": _INK,
        "axes.labelcolor": _INK,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "hatch.linewidth": 0.6,
        "legend.fontsize": size - 0.5,
        "legend.frameon": False,
        "svg.fonttype": "path",
        "pdf.fonttype": 42,
    }


def png(plot: Plot) -> bytes:
    """One picture as PNG."""
    figure = figure_of(plot, _PNG_INCHES, 10)
    out = BytesIO()
    figure.savefig(out, format="png", dpi=_DPI)
    return out.getvalue()


def svg(plot: Plot) -> str:
    """One picture as SVG to stand inside a page: no links, and ids of its own."""
    import matplotlib

    out = StringIO()
    with matplotlib.rc_context({"svg.hashsalt": plot.name, "svg.fonttype": "path"}):
        figure = figure_of(plot, _WEB_INCHES, 9.5)
        figure.savefig(out, format="svg", metadata={"Date": None})
    drawn = out.getvalue()
    drawn = re.sub(r"<metadata>.*?</metadata>", "", drawn[drawn.index("<svg") :], flags=re.DOTALL)
    drawn = re.sub(r'\sxmlns(:\w+)?="[^"]*"', "", drawn)
    drawn = re.sub(r'\bid="', f'id="{plot.name}-', drawn)
    return re.sub(r'(href="#|url\(#)', rf"\g<1>{plot.name}-", drawn)


def figure_of(plot: Plot, inches: tuple[float, float], size: float) -> Figure:
    """A figure with one picture, laid out so that nothing overlaps."""
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(style(size)):
        figure = Figure(figsize=inches, layout="constrained")
        draw(plot, figure.add_subplot(), inches[0] * _POINTS)
    return figure


def draw(plot: Plot, axes: Axes, room: float) -> None:
    """Draw a picture: bands first, then bars, lines, readings and levels.

    Args:
        plot: what is in it.
        axes: where.
        room: its whole width with its letters, in points.
    """
    for band in plot.bands:
        _band(axes, plot.days, band)
    _bars(axes, plot)
    for at, line in enumerate(plot.lines):
        _line(axes, plot.days, line, at)
    for at, readings in enumerate(plot.readings):
        _readings(axes, readings, at)
    for level in plot.levels:
        _level(axes, level)
    if plot.stays:
        _stays(axes, plot.stays, plot.rows)
    _axes(axes, plot, room)
    if len(plot.labels) > 1 or plot.stays:
        _legend(axes, room)


def _at(day: date) -> datetime:
    """Noon of a day: where its bar and its mark stand."""
    return datetime.combine(day, time(12), tzinfo=UTC)


def _number(value: float | None) -> float:
    return float("nan") if value is None else value


def _band(axes: Axes, days: Sequence[date], band: Band) -> None:
    # Stretched to the edges of its first and last day, so that one day shows too.
    known = [(day, low, high) for day, low, high in zip(days, band.low, band.high, strict=True)]
    at: list[datetime] = []
    lows: list[float] = []
    highs: list[float] = []
    for day, low, high in known:
        begins = datetime.combine(day, time(), tzinfo=UTC)
        at += [begins, begins + _DAY]
        lows += [_number(low)] * 2
        highs += [_number(high)] * 2
    axes.fill_between(
        at,  # type: ignore[arg-type]
        lows,
        highs,
        label=band.label,
        facecolor=_BAND_FACE,
        edgecolor="#6b7280",
        linewidth=0.8,
        zorder=0.5,
    )


def _bars(axes: Axes, plot: Plot) -> None:
    below = [0.0] * len(plot.days)
    names = list(dict.fromkeys(series.label for series in plot.bars if not series.held))
    free = 0
    for series in plot.bars:
        values = [value or 0.0 for value in series.values]
        axes.bar(
            [_at(day) for day in plot.days],  # type: ignore[arg-type]
            values,
            0.8,
            below,
            label=series.label,
            edgecolor=_INK,
            linewidth=0.5,
            zorder=2,
            **_look(series, free if not series.held else 0),
        )
        free += not series.held
        below = [low + value for low, value in zip(below, values, strict=True)]
    assert free == len(names)


def _look(series: Series, at: int) -> dict[str, Any]:
    if series.held:
        return {"facecolor": _HELD_FACE, "hatch": _HELD_HATCH}
    which = at % len(COLOURS)
    return {"facecolor": COLOURS[which], "hatch": HATCHES[which]}


def _line(axes: Axes, days: Sequence[date], series: Series, at: int) -> None:
    which = at % len(COLOURS)
    known = [(_at(day), v) for day, v in zip(days, series.values, strict=True) if v is not None]
    axes.plot(
        [when for when, _ in known],  # type: ignore[arg-type]
        [value for _, value in known],
        label=series.label,
        color=COLOURS[which],
        marker=MARKS[which],
        linestyle=STROKES[which],
        markersize=3.5,
        linewidth=1.3,
        zorder=3,
    )


def _readings(axes: Axes, readings: Readings, at: int) -> None:
    which = at % len(COLOURS)
    axes.plot(
        [one.at.replace(tzinfo=UTC) for one in readings.readings],  # type: ignore[arg-type]
        [one.value for one in readings.readings],
        label=readings.label,
        color=COLOURS[which],
        marker=MARKS[which],
        linestyle=STROKES[which],
        markersize=4,
        markeredgecolor=_INK,
        markeredgewidth=0.5,
        linewidth=1.2,
        zorder=3,
    )


def _level(axes: Axes, level: Level) -> None:
    axes.axhline(level.value, color=_INK, linestyle=(0, (1, 2)), linewidth=1.4, label=level.label)


def _stays(axes: Axes, stays: Sequence[Stay], rows: Sequence[str]) -> None:
    movers = list(dict.fromkeys(stay.who for stay in stays))
    height = 0.8 / len(movers)
    named: set[str] = set()
    for stay in stays:
        lane = movers.index(stay.who)
        which = lane % len(COLOURS)
        begin = datetime.combine(stay.first, time(), tzinfo=UTC)
        axes.barh(
            rows.index(stay.row) - 0.4 + height * (lane + 0.5),
            datetime.combine(stay.last, time(), tzinfo=UTC) + _DAY - begin,  # type: ignore[arg-type]
            height * 0.9,
            begin,  # type: ignore[arg-type]
            label="_" + stay.who if stay.who in named else stay.who,
            facecolor=COLOURS[which],
            hatch=HATCHES[which],
            edgecolor=_INK,
            linewidth=0.5,
            zorder=2,
        )
        named.add(stay.who)
    axes.set_yticks(range(len(rows)), rows)
    axes.set_ylim(len(rows) - 0.5, -0.5)


def _axes(axes: Axes, plot: Plot, room: float) -> None:
    axes.set_title(plot.title)
    axes.set_xlabel(plot.x_label)
    axes.set_ylabel(plot.y_label)
    begin = datetime.combine(plot.days[0], time(), tzinfo=UTC)
    axes.set_xlim(begin, begin + len(plot.days) * _DAY)  # type: ignore[arg-type]
    # Each name stands below the middle of its day, where the bars and marks are.
    size = float(axes.xaxis.label.get_fontsize())
    beside = max((len(row) for row in plot.rows), default=_NUMBER_LETTERS)
    names = (room - (beside + 6) * size * _WIDE_LETTER) / (_DAY_LETTERS * size * _WIDE_LETTER)
    step = -(-len(plot.days) // max(2, min(_MOST_DAYS_NAMED, int(names))))
    named = plot.days[::step]
    axes.set_xticks([_at(day) for day in named], [f"{day.day} {day:%b}" for day in named])  # type: ignore[arg-type]
    axes.grid(axis="x" if plot.stays else "y", color="#d0d3d8", linewidth=0.5, zorder=0)
    axes.set_axisbelow(True)
    if not plot.stays:
        axes.set_ylim(bottom=0 if plot.bars or plot.levels or plot.bands else None)
        low, high = axes.get_ylim()
        axes.set_ylim(low, high + (high - low) * 0.04)


def _legend(axes: Axes, room: float) -> None:
    from matplotlib.transforms import ScaledTranslation

    handles, labels = axes.get_legend_handles_labels()
    figure = axes.get_figure()
    assert figure is not None
    size = float(axes.xaxis.label.get_fontsize())
    longest = max(len(label) for label in labels) * size * _LETTER + 4 * size
    columns = max(1, min(_MOST_LEGEND_COLUMNS, len(labels), int(room // longest)))
    # Below the picture and the name of its axis, where it can hide nothing.
    below = axes.transAxes + ScaledTranslation(0, -3.3 * size / _POINTS, figure.dpi_scale_trans)
    axes.legend(
        handles,
        labels,
        loc="upper center",
        bbox_to_anchor=(0.5, 0),
        bbox_transform=below,
        ncols=columns,
        handlelength=2.6,
        handleheight=1.2,
        borderaxespad=0,
        columnspacing=1.2,
    )
