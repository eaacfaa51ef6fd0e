"""What was laid, by place, how much of it is held back, and how well that is for the birds' age."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

from voicelog.app.reporting.flock_book import FlockBook, FlockDays
from voicelog.app.reporting.gathered import Gathered, days_between
from voicelog.app.reporting.gatherings import Gathering, Rates, not_all_gathered
from voicelog.app.reporting.holding import Holds
from voicelog.app.reporting.laid_plots import laid_plot, rate_plot
from voicelog.app.reporting.laid_tables import held_notes, held_table, laid_notes, place_table
from voicelog.app.reporting.page import Fact, Plot, Section
from voicelog.app.reporting.wording import (
    cited,
    laid_text,
    rounded,
)
from voicelog.husbandry import (
    ExpectedRate,
    day_length,
    expected_rate,
    laying_period,
)
from voicelog.husbandry import laying_days as rows_of
from voicelog.records import Wanted
from voicelog.sentences import counted
from voicelog.types import Status

_WEEK = 7
_MOST = 100


def laid_section(
    gathered: Gathered, holds: Holds, book: FlockBook, found: tuple[Gathering, ...]
) -> Section | None:
    """Eggs and rate of lay; None where nothing was gathered."""
    active = [hold for hold in holds.holds if hold.meets(gathered.first, gathered.last)]
    if not found and not active and not holds.vague:
        return None
    layers = book.of_class((gathered.laying.class_,))
    rates = rates_of(gathered, layers, found)
    facts = [*_laid_facts(gathered, found), *_rate_facts(gathered, rates)]
    tables = [place_table(gathered, found)] if found else []
    sources = ["rate", "laying_age"] if rates else []
    sources += ["expected"] if rates and any(rates.expected) else []
    cautions = []
    if active or holds.vague:
        caution = gathered.catalogue.kind(gathered.use("given_hold").kind).caution
        cautions = [gathered.catalogue.caution(caution)] if caution else []
    if active:
        tables.append(held_table(gathered, holds, found))
        sources.append("hold")
    plots: list[Plot | None] = [laid_plot(gathered, found)]
    if rates:
        plots.append(rate_plot(gathered, rates.first, rates.rows, rates.expected))
    return Section(
        facts=tuple(facts),
        tables=tuple(tables),
        plots=tuple(plot for plot in plots if plot is not None),
        notes=(*held_notes(gathered, holds), *laid_notes(gathered, layers, found, rates)),
        cautions=tuple(cautions),
        sources=cited(gathered, *sources),
    )


def rates_of(
    gathered: Gathered, layers: tuple[FlockDays, ...], found: tuple[Gathering, ...]
) -> Rates | None:
    """The laying book; None where the birds alive are not known, or nothing was gathered."""
    if not found or not layers or not all(flock.groups for flock in layers):
        return None
    first = _begins(gathered, found)
    laid = Counter[date]()
    for one in found:
        laid[one.day] += one.laid
    last = gathered.last
    if not_all_gathered(gathered, found):
        del laid[last]
        last -= timedelta(days=1)
    by_flock = [flock.alive(first, last, laying=True) for flock in layers]
    alive = [sum(birds) for birds in zip(*by_flock, strict=True)]
    rows = rows_of(alive, first, laid)
    covered = rows[: (max(laid) - first).days + 1]
    if not sum(row.hen_days for row in covered):
        return None
    days = days_between(first, last)
    return Rates(
        first=first,
        rows=rows,
        period=laying_period(rows),
        expected=tuple(
            _expected(gathered, layers, [birds[at] for birds in by_flock], on)
            for at, on in enumerate(days)
        ),
    )


def _begins(gathered: Gathered, found: tuple[Gathering, ...]) -> date:
    """From which day the birds count: the one after the last gathering before the period."""
    wanted = Wanted(
        kinds=(gathered.laying.kind,),
        statuses=(Status.DONE,),
        when_to=gathered.begin(gathered.first),
        as_of=gathered.now,
    )
    before = gathered.notebook.reading.find(wanted, limit=1)
    if not before:
        return min(one.day for one in found)
    return min(gathered.first, gathered.day(before[0]) + timedelta(days=1))


def _expected(
    gathered: Gathered, layers: tuple[FlockDays, ...], alive: list[int], on: date
) -> ExpectedRate | None:
    """The band of all flocks together, each by its age and its birds alive."""
    latitude = gathered.farm.latitude
    hours = None if latitude is None else day_length(on, latitude)
    low = high = 0.0
    short, year = False, 0
    if not sum(alive) or any(
        birds and flock.flock.hatched is None for flock, birds in zip(layers, alive, strict=True)
    ):
        return None
    for flock, birds in zip(layers, alive, strict=True):
        if not birds or flock.flock.hatched is None:
            continue
        age = max(0, (on - flock.flock.hatched).days) / _WEEK
        one = expected_rate(age, hours)
        low += one.low * birds / sum(alive)
        high += one.high * birds / sum(alive)
        short, year = short or one.short_day, max(year, one.year_of_lay)
    return ExpectedRate(low=low, high=high, year_of_lay=year, short_day=short)


def _laid_facts(gathered: Gathered, found: tuple[Gathering, ...]) -> list[Fact]:
    if not found:
        return []
    total = sum(one.laid for one in found)
    days = len({one.day for one in found})
    each = gathered.laying.each
    facts = [
        Fact(
            name="laid",
            label=gathered.say("laid"),
            text=gathered.say(
                "laid_text", laid=laid_text(gathered, total), days=counted(days, "day")
            ),
            value=total,
            unit=each,
        )
    ]
    for key, label, chosen in (
        ("held", "held", [one for one in found if one.held and not one.unsaid]),
        ("held_unsaid", "held_unsaid", [one for one in found if one.unsaid]),
    ):
        if chosen:
            count = sum(one.laid for one in chosen)
            text = gathered.say("held_text", laid=laid_text(gathered, count))
            facts.append(
                Fact(name=key, label=gathered.say(label), text=text, value=count, unit=each)
            )
    return facts


def _rate_facts(gathered: Gathered, rates: Rates | None) -> list[Fact]:
    if rates is None:
        return []
    period = rates.period
    covered = [band for band in rates.expected[: len(rates.rows) - period.uncovered] if band]
    facts = [
        Fact(
            name="rate",
            label=gathered.say("rate"),
            text=gathered.say(
                "rate_text",
                percent=rounded(period.percent),
                laid=laid_text(gathered, period.laid),
                hen_days=rounded(period.hen_days, 0),
            ),
            value=round(period.percent, 2),
            unit="percent",
        )
    ]
    if covered and len(covered) == len(rates.rows) - period.uncovered:
        low = sum(band.low for band in covered) / len(covered)
        high = sum(band.high for band in covered) / len(covered)
        facts.append(
            Fact(
                name="expected",
                label=gathered.say("expected"),
                text=gathered.say(
                    f"expected_{_beside(period.percent, low, high)}",
                    low=rounded(low, 0),
                    high=rounded(high, 0),
                ),
                unit="percent",
                low=round(low, 2),
                high=round(high, 2),
            )
        )
    return facts


def _beside(percent: float, low: float, high: float) -> str:
    return "below" if percent < low else "above" if percent > high else "within"
