"""How well a flock lays: by the birds alive each day, and by the birds there at the start.

Only females old enough to lay belong in the count of birds; a bird that dies or leaves during a
day is counted for the whole day or for half of it, but always in the same way. (Source: none,
bookkeeping judgement; grade M.)
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from voicelog.husbandry.bounds import above_zero, at_least_zero

_PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidRow:
    """One line of a laying book: a day, or a longer stretch already summed."""

    laid: int | None
    """Eggs gathered; None where nobody gathered, which is not the same as 0."""
    hen_days: float
    """Birds alive, added up over the days of the row: for one day the birds alive on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LayingPeriod:
    """What the rows of a period come to."""

    laid: int
    hen_days: float
    """Only of the rows that the gathered eggs cover."""
    percent: float
    """Hen-day production."""
    uncovered: int
    """Rows at the end whose eggs were not gathered yet, left out of both sums."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowSum:
    """A column added up, beside the total that was written under it."""

    total: float
    typed: float | None
    off_by: float | None
    """Sum less typed total; None where no total was given. Anything but 0 is a slip."""


def hen_day_percent(laid: float, hen_days: float) -> float:
    """Hen-day production: eggs for every hundred days of a living hen.

    For one day `hen_days` is the hens alive on it; for a period, the hens alive each day added
    up; for one hen, the days.

    Unit: percent.
    Range: 0 to 100; about 73 over a year for commercial white hens (S7, B), 85 and above as a
        commercial target (S1, A). Above 100 a day is missing or a count is wrong.
    Source: S1, grade A.

    Raises:
        RequestError: `laid` is below 0, or `hen_days` not above 0.
    """
    at_least_zero(laid, "The number laid")
    return laid / above_zero(hen_days, "The sum of birds alive each day") * _PERCENT


def hen_housed_percent(laid: float, housed: int, days: int) -> float:
    """Hen-housed production of a period: deaths count against it.

    Equal to hen-day production where no hen died or left, else below it.

    Unit: percent.
    Range: 0 to 100; 80 and above as a commercial target for a year (S1, A).
    Source: S3, grade A.

    Args:
        laid: eggs of the whole period.
        housed: hens there at its start.
        days: length of the period.

    Raises:
        RequestError: `laid` is below 0, or `housed` or `days` not above 0.
    """
    at_least_zero(laid, "The number laid")
    start = above_zero(housed, "The number of birds at the start")
    return laid / (start * above_zero(days, "The number of days")) * _PERCENT


def hen_housed_count(laid: float, housed: int) -> float:
    """Hen-housed production of a period as a count.

    Unit: eggs a hen housed.
    Range: 295 in a year as a commercial target (S1, A).
    Source: S1, grade A.

    Raises:
        RequestError: `laid` is below 0, or `housed` not above 0.
    """
    at_least_zero(laid, "The number laid")
    return laid / above_zero(housed, "The number of birds at the start")


def laying_period(rows: Iterable[LaidRow]) -> LayingPeriod:
    """Hen-day production of a period from its rows, in the order of the days.

    What is gathered after a day without gathering covers that day too, so its hen-days count;
    days at the end that nobody gathered are not covered yet and stay out.

    Unit: percent, see `hen_day_percent`.
    Range: as of `hen_day_percent`.
    Source: S1, grade A, for the formula; none for the days without gathering (bookkeeping
        judgement, grade M).

    Raises:
        RequestError: nothing was gathered in any row, or a number is below 0.
    """
    listed = list(rows)
    gathered = [at for at, row in enumerate(listed) if row.laid is not None]
    covered = listed[: gathered[-1] + 1] if gathered else []
    laid = sum(int(at_least_zero(row.laid or 0, "The number laid")) for row in covered)
    hen_days = fsum(at_least_zero(row.hen_days, "The number of birds alive") for row in covered)
    return LayingPeriod(
        laid=laid,
        hen_days=hen_days,
        percent=hen_day_percent(laid, hen_days),
        uncovered=len(listed) - len(covered),
    )


def sum_of_rows(rows: Iterable[float], typed: float | None = None) -> RowSum:
    """A column added up row by row; a typed total is compared, never trusted.

    Unit: that of the rows.
    Range: any; `off_by` is 0 where the typed total is right.
    Source: S4, grade C, whose printed total differs from its own rows by a hundred.

    Raises:
        RequestError: a row is below 0 or no number.
    """
    total = fsum(at_least_zero(row, "A row") for row in rows)
    return RowSum(total=total, typed=typed, off_by=None if typed is None else total - typed)
