"""A number held against what the sources give for it, all of them, none averaged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite

from voicelog.catalogue.stated import Figure
from voicelog.errors import RequestError


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A number beside what is usual."""

    value: float
    low: float
    """The lowest that any source gives."""
    high: float
    """The highest that any source gives."""
    position: str
    """`below`, `within` or `above` all that the sources give together."""
    disputed: bool
    """True where it is usual by some of the sources and not by others."""
    figures: tuple[Figure, ...]


def compared(value: float, figures: Iterable[Figure]) -> Compared:
    """Where a number stands beside the ranges of all sources.

    Unit: that of the figures, which must all have the same.
    Range: that of the figures, from the lowest to the highest that any source gives.
    Source: the figures' own; the comparison is arithmetic, grade D.

    Raises:
        RequestError: there are no figures, their units differ, or the value is no number.
    """
    listed = tuple(figures)
    if not isfinite(value) or len({figure.unit for figure in listed}) != 1:
        raise RequestError(
            f"{value} cannot be held against what is usual: there is no range in one unit.",
            kept="Nothing was reckoned.",
            todo="Give a number, and something for which a range is known.",
        )
    low, high = min(f.low for f in listed), max(f.high for f in listed)
    fitting = sum(figure.low <= value <= figure.high for figure in listed)
    return Compared(
        value=value,
        low=low,
        high=high,
        position="below" if value < low else "above" if value > high else "within",
        disputed=low <= value <= high and fitting < len(listed),
        figures=listed,
    )


def of_week(figures: Iterable[Figure], week: float) -> tuple[Figure, ...]:
    """Those of the figures that are given for a week of life.

    Unit: that of the figures.
    Range: none where no source gives a figure for that age.
    Source: the figures' own, grade as each says; picking them is arithmetic, grade D.

    Args:
        figures: of any ages.
        week: of life, the first one being 1.
    """
    return tuple(
        figure
        for figure in figures
        if (figure.first_week is None or figure.first_week <= week)
        and (figure.last_week is None or week <= figure.last_week)
    )
