"""Pictures of a report in letters: a line a day, or a week where there are many days."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.app.reporting.page import Plot, Stay
from voicelog.sentences import number_text, printable

_MOST_DAYS = 31
"""More than this many lines are drawn a week at a time."""
_SCALE = 44
"""Letters from one end of a scale to the other."""
_FILLS = "█▒▓░▚◊"
_HELD = "×"
_MARKS = "●■▲◆▼✚"
_BAND, _LEVEL = "·", "┊"
_WEEK = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stretch:
    """A day, or the days of a week that lie in the period."""

    first: date
    days: tuple[int, ...]
    """Where they stand among the days of the plot."""


def picture(plot: Plot) -> Iterator[str]:
    """The lines of a picture, no wider than 80 letters."""
    stretches = _stretches(plot.days)
    weekly = any(len(one.days) > 1 for one in stretches)
    yield plot.title + (" (mean of each week)" if weekly and not plot.stays else "")
    if plot.stays:
        yield from _stays(plot)
        return
    yield from _bars(plot, stretches) if plot.bars else _marks(plot, stretches)


def _stretches(days: Sequence[date]) -> list[_Stretch]:
    if len(days) <= _MOST_DAYS:
        return [_Stretch(first=day, days=(at,)) for at, day in enumerate(days)]
    found: dict[date, list[int]] = {}
    for at, day in enumerate(days):
        found.setdefault(day - timedelta(days=day.weekday()), []).append(at)
    return [_Stretch(first=days[ats[0]], days=tuple(ats)) for ats in found.values()]


def _mean(values: Sequence[float | None], days: Sequence[int]) -> float | None:
    known = [value for at in days if (value := values[at]) is not None]
    return sum(known) / len(known) if known else None


def _day(day: date) -> str:
    return f"{day.day:>2} {day:%b}"


def _bars(plot: Plot, stretches: list[_Stretch]) -> Iterator[str]:
    sums = [
        [_mean(series.values, stretch.days) or 0.0 for series in plot.bars] for stretch in stretches
    ]
    highs = [value for band in plot.bands for value in band.high if value is not None]
    top = max([sum(values) for values in sums] + highs) or 1.0
    fills = _fills(plot)
    for stretch, values in zip(stretches, sums, strict=True):
        line, done = "", 0.0
        for fill, value in zip(fills, values, strict=True):
            done += value
            line += fill * (round(done / top * _SCALE) - len(line))
        marked = _with_band(plot, stretch, line, top)
        yield f"  {_day(stretch.first)} {number_text(round(sum(values), 1)):>7}  {marked}".rstrip()
    names = [f"{fill} {series.label}" for fill, series in zip(fills, plot.bars, strict=True)]
    names += [f"{_LEVEL} {band.label}" for band in plot.bands]
    yield from _legend(plot, names)


def _with_band(plot: Plot, stretch: _Stretch, line: str, top: float) -> str:
    cells = list(line.ljust(_SCALE + 1))
    for band in plot.bands:
        for edge in (band.low, band.high):
            value = _mean(edge, stretch.days)
            if value is not None:
                cells[round(value / top * _SCALE)] = _LEVEL
    return "".join(cells).rstrip()


def _fills(plot: Plot) -> list[str]:
    free = iter(_FILLS * len(plot.bars))
    return [_HELD if series.held else next(free) for series in plot.bars]


def _marks(plot: Plot, stretches: list[_Stretch]) -> Iterator[str]:
    """A mark for each value on a scale, with the band and the levels behind."""
    names, rows = _values(plot, stretches)
    edges = [edge for band in plot.bands for edge in (*band.low, *band.high) if edge is not None]
    known = [value for row in rows for values in row for value in values]
    known += edges + [level.value for level in plot.levels]
    low, high = min(known), max(known)
    spread = high - low or 1.0

    def at(value: float) -> int:
        return round((value - low) / spread * _SCALE)

    for stretch, row in zip(stretches, rows, strict=True):
        cells = [" "] * (_SCALE + 1)
        for band in plot.bands:
            ends = [_mean(edge, stretch.days) for edge in (band.low, band.high)]
            if ends[0] is not None and ends[1] is not None:
                for cell in range(at(ends[0]), at(ends[1]) + 1):
                    cells[cell] = _BAND
        for level in plot.levels:
            cells[at(level.value)] = _LEVEL
        for mark, values in zip(_MARKS * len(row), row, strict=False):
            for value in values:
                cells[at(value)] = mark
        shown = [value for values in row for value in values]
        ends_text = "–".join(dict.fromkeys(number_text(round(v, 1)) for v in _ends(shown)))
        yield f"  {_day(stretch.first)} {ends_text:>11}  {''.join(cells)}".rstrip()
    legend = [f"{mark} {name}" for mark, name in zip(_MARKS * len(names), names, strict=False)]
    legend += [f"{_BAND} {band.label}" for band in plot.bands]
    legend += [f"{_LEVEL} {level.label}" for level in plot.levels]
    yield from _legend(plot, legend)


def _ends(values: Sequence[float]) -> tuple[float, ...]:
    return (min(values), max(values)) if values else ()


def _values(
    plot: Plot, stretches: list[_Stretch]
) -> tuple[list[str], list[list[tuple[float, ...]]]]:
    """Names of what is marked, and for each stretch the values of each."""
    names = [one.label for one in plot.lines] + [one.label for one in plot.readings]
    rows = []
    for stretch in stretches:
        row: list[tuple[float, ...]] = []
        for line in plot.lines:
            mean = _mean(line.values, stretch.days)
            row.append(() if mean is None else (mean,))
        days = {plot.days[at] for at in stretch.days}
        for one in plot.readings:
            row.append(tuple(r.value for r in one.readings if r.at.date() in days))
        rows.append(row)
    return names, rows


def _stays(plot: Plot) -> Iterator[str]:
    """A line for each piece of ground and who was on it; a letter a day, or a few days."""
    step = -(-len(plot.days) // _SCALE)
    for name in plot.rows:
        who_there = dict.fromkeys(stay.who for stay in plot.stays if stay.row == name)
        for who in who_there:
            mine = [stay for stay in plot.stays if stay.row == name and stay.who == who]
            cells = "".join(
                _FILLS[0] if _there(mine, plot.days[at : at + step]) else _BAND
                for at in range(0, len(plot.days), step)
            )
            label = printable(f"{name}, {who}")
            label = label if len(label) <= 30 else f"{label[:29]}…"
            yield f"  {label:<30}  {cells}"
    each = "1 day" if step == 1 else f"{step} days"
    first, last = (_day(day).strip() for day in (plot.days[0], plot.days[-1]))
    yield f"  {'':<30}  {first} to {last}, {each} a letter"


def _there(stays: Sequence[Stay], days: Sequence[date]) -> bool:
    return any(stay.first <= day <= stay.last for stay in stays for day in days)


def _legend(plot: Plot, names: Sequence[str]) -> Iterator[str]:
    line = f"  {plot.y_label}:"
    for name in names:
        if len(line) + len(name) + 2 > 80:
            yield line
            line = "   "
        line += f"  {name}"
    yield line
