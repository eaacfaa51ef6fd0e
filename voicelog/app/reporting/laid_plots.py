"""Pictures of what was laid: each day by place, and the rate beside what is expected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.page import Band, Plot, Series
from voicelog.husbandry import ExpectedRate, LaidRow, hen_day_percent

if TYPE_CHECKING:
    from voicelog.app.reporting.gatherings import Gathering

MOST_SERIES = 5
"""More than this many cannot be told apart in grey; the smaller ones are drawn as one."""
LEAST_DAYS = 2
"""One day's bar is no picture."""


def laid_plot(gathered: Gathered, found: Sequence[Gathering]) -> Plot | None:
    """Bars of each day by place, all that is held back apart; None for less than two days."""
    if len({one.day for one in found}) < LEAST_DAYS:
        return None
    totals = Counter[str]()
    for one in found:
        totals[one.place] += one.laid
    shown = [place for place, _ in totals.most_common(MOST_SERIES)]
    other = gathered.say("other_places")
    held = gathered.say("held_series")
    sums: dict[str, Counter[date]] = {}
    for one in found:
        place = one.place if one.place in shown else other
        sums.setdefault(held if one.held else place, Counter())[one.day] += one.laid
    bars = [
        Series(
            label=label,
            values=tuple(float(days[on]) if on in days else None for on in gathered.days),
            held=label == held,
        )
        for label in (*shown, other, held)
        if (days := sums.get(label)) is not None
    ]
    return Plot(
        name="laid",
        title=gathered.say("laid_plot"),
        x_label=gathered.day_axis,
        y_label=gathered.say("laid_axis"),
        days=gathered.days,
        bars=tuple(bars),
    )


def rate_plot(
    gathered: Gathered,
    first: date,
    rows: Sequence[LaidRow],
    expected: Sequence[ExpectedRate | None],
) -> Plot | None:
    """The rate of each gathering over all the days it covers, and the band of its days."""
    rates = rates_by_day(first, rows)
    values = tuple(rates.get(on) for on in gathered.days)
    if sum(value is not None for value in values) < LEAST_DAYS:
        return None
    by_day = {first + timedelta(days=at): band for at, band in enumerate(expected)}
    bands = [by_day.get(on) for on in gathered.days]
    known = any(band is not None for band in bands)
    band = Band(
        label=gathered.say("expected_band"),
        low=tuple(None if band is None else band.low for band in bands),
        high=tuple(None if band is None else band.high for band in bands),
    )
    return Plot(
        name="rate",
        title=gathered.say("rate_plot"),
        x_label=gathered.day_axis,
        y_label=gathered.say("rate_axis"),
        days=gathered.days,
        lines=(Series(label=gathered.say("rate_series"), values=values),),
        bands=(band,) if known else (),
    )


def rates_by_day(first: date, rows: Sequence[LaidRow]) -> dict[date, float]:
    """The rate on each day of a gathering: over it and the days before that nobody gathered."""
    found: dict[date, float] = {}
    hen_days = 0.0
    for at, row in enumerate(rows):
        hen_days += row.hen_days
        if row.laid is None:
            continue
        if hen_days:
            found[first + timedelta(days=at)] = hen_day_percent(row.laid, hen_days)
        hen_days = 0.0
    return found
