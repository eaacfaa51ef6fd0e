"""Water as far as its amount was noted, beside what the birds may need."""

from __future__ import annotations

from datetime import date

from voicelog.app.reporting.flock_book import FlockBook
from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.laid_plots import LEAST_DAYS
from voicelog.app.reporting.page import Band, Fact, Plot, Section, Series
from voicelog.app.reporting.wording import cited, plural, rounded
from voicelog.errors import RequestError
from voicelog.husbandry import Drinkers, WaterAmount, water_in, water_need
from voicelog.sentences import cautions_of, counted


def drunk(gathered: Gathered, book: FlockBook) -> Section | None:
    """Water noted; None where none was."""
    records = gathered.of("watered")
    if not records:
        return None
    unit = gathered.unit_of("volume")
    fluid = gathered.reporting.values["fluid"]
    sums: dict[date, float] = {}
    unmeasured = 0
    for record in records:
        said = gathered.amount(record, "watered", unit, fluid)
        if said is None:
            unmeasured += 1
        else:
            sums[gathered.day(record)] = sums.get(gathered.day(record), 0.0) + said
    cautions = cautions_of(record.draft for record in records)
    told = counted(unmeasured, gathered.say("one_drink"))
    notes = (gathered.say("drunk_part", times=told),) if unmeasured else ()
    if not sums:
        return Section(notes=notes, cautions=cautions)
    needs = tuple(_need(book, on, unit) for on in gathered.days)
    plot = _plot(gathered, sums, needs, unit)
    return Section(
        facts=(_fact(gathered, sums, needs, unit),),
        plots=(plot,) if plot is not None else (),
        notes=notes,
        cautions=cautions,
        sources=cited(gathered, "drunk") if any(needs) else (),
    )


def _need(book: FlockBook, on: date, unit: str) -> WaterAmount | None:
    """What all birds need on a day of mild weather; None where a flock's count is not known."""
    drinkers = []
    for flock in book.flocks:
        if not flock.groups:
            return None
        (alive,) = flock.alive(on, on)
        if not alive:
            continue
        hatched = flock.flock.hatched
        age = None if hatched is None else float(max(0, (on - hatched).days))
        drinkers.append(Drinkers(class_=flock.flock.class_, count=alive, age_days=age))
    try:
        return water_in(water_need(drinkers), unit) if drinkers else None
    except RequestError:
        # No source speaks of a class at that age: then nothing is expected of the whole farm.
        return None


def _fact(
    gathered: Gathered,
    sums: dict[date, float],
    needs: tuple[WaterAmount | None, ...],
    unit: str,
) -> Fact:
    total = sum(sums.values())
    known = [need for need in needs if need is not None]
    days = counted(len(sums), "day")
    if not known:
        text = gathered.say("drunk_plain", number=rounded(total), unit=plural(unit), days=days)
    else:
        text = gathered.say(
            "drunk_text",
            number=rounded(total),
            unit=plural(unit),
            days=days,
            low=rounded(min(need.low for need in known)),
            high=rounded(max(need.high for need in known)),
        )
    return Fact(
        name="watered",
        label=gathered.say("watered"),
        text=text,
        value=round(total, 2),
        unit=unit,
    )


def _plot(
    gathered: Gathered,
    sums: dict[date, float],
    needs: tuple[WaterAmount | None, ...],
    unit: str,
) -> Plot | None:
    if len(sums) < LEAST_DAYS:
        return None
    band = Band(
        label=gathered.say("drunk_band"),
        low=tuple(None if need is None else need.low for need in needs),
        high=tuple(None if need is None else need.high for need in needs),
    )
    return Plot(
        name="watered",
        minor=True,
        title=gathered.say("watered_plot"),
        x_label=gathered.day_axis,
        y_label=gathered.say("drunk_axis", unit=plural(unit)),
        days=gathered.days,
        bars=(
            Series(
                label=gathered.say("drunk_series"),
                values=tuple(sums.get(on) for on in gathered.days),
            ),
        ),
        bands=(band,) if any(needs) else (),
    )
