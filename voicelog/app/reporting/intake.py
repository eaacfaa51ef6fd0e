"""What was eaten and drunk as far as it was noted, and the weather."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date

from voicelog.app.reporting.drinking import drunk
from voicelog.app.reporting.flock_book import FlockBook, flocks_meant
from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.laid_plots import LEAST_DAYS, MOST_SERIES
from voicelog.app.reporting.page import Cited, Fact, Plot, Section, Series, Table
from voicelog.app.reporting.weather import weather
from voicelog.app.reporting.wording import amount, cited_rows, plural, rounded, span
from voicelog.husbandry import (
    Compared,
    compared,
    converted,
    feed_per_dozen,
    intake_compared,
    per_dozen_usual,
)
from voicelog.sentences import amount_text, counted, listed, value_text
from voicelog.types import Quantity, Record

_POUND = "pound"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed:
    """One feeding of the period."""

    day: date
    sort: str
    """As it is shown."""
    weight: float | None
    """In the unit of the page; None where none was said, or it does not convert."""
    said: Quantity | None
    for_layers: bool


def intake_section(gathered: Gathered, book: FlockBook, laid: int) -> Section | None:
    """Feed, water and weather; None where none of them was noted.

    Args:
        gathered: the records.
        book: how many birds there are.
        laid: eggs gathered in the period.
    """
    unit = gathered.unit_of("weight")
    feedings = [_fed(gathered, record, unit) for record in gathered.of("fed")]
    water = drunk(gathered, book)
    sky = weather(gathered)
    if not (feedings or water or sky):
        return None
    eaten = _eaten_by_layers(gathered, book, feedings, unit, laid)
    tables = [_fed_table(gathered, feedings, unit)] if feedings else []
    plots = [_fed_plot(gathered, feedings, unit)]
    parts = [eaten, *(part for part in (water, sky) if part is not None)]
    return Section(
        facts=tuple(fact for part in parts for fact in part.facts),
        tables=(*tables, *(table for part in parts for table in part.tables)),
        plots=(
            *(plot for plot in plots if plot is not None),
            *(plot for part in parts for plot in part.plots),
        ),
        notes=tuple(note for part in parts for note in part.notes),
        cautions=tuple(caution for part in parts for caution in part.cautions),
        sources=tuple(source for part in parts for source in part.sources),
    )


def _fed(gathered: Gathered, record: Record, unit: str) -> Fed:
    sort = gathered.slot(record, "fed_sort")
    said = gathered.slot(record, "fed")
    words = [str(sort)] if sort else []
    layers = gathered.laying.class_
    for_layers = gathered.says(record, "fed_sort", "eaten_by_layers") or (
        sort is None and {f.class_ for f in flocks_meant(gathered, record.draft)} == {layers}
    )
    return Fed(
        day=gathered.day(record),
        sort=value_text(sort) if sort else gathered.say("any_sort"),
        weight=gathered.amount(record, "fed", unit, words),
        said=said if isinstance(said, Quantity) else None,
        for_layers=for_layers,
    )


def _fed_table(gathered: Gathered, feedings: list[Fed], unit: str) -> Table:
    rows = []
    for sort, times in Counter(fed.sort for fed in feedings).most_common():
        mine = [fed for fed in feedings if fed.sort == sort]
        weighed = [fed.weight for fed in mine if fed.weight is not None]
        said: dict[str, float] = {}
        for fed in mine:
            if fed.said is not None:
                said[fed.said.unit] = said.get(fed.said.unit, 0) + fed.said.value
        rows.append(
            (
                sort,
                str(times),
                amount(sum(weighed), unit) if weighed else "—",
                listed([amount_text(number, one) for one, number in said.items()]) or "—",
            )
        )
    keys = ("fed_sort", "times", "by_weight", "as_said")
    return Table(
        name="fed",
        title=gathered.say("fed_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(rows),
    )


def _fed_plot(gathered: Gathered, feedings: list[Fed], unit: str) -> Plot | None:
    sums: dict[str, dict[date, float]] = {}
    for fed in feedings:
        if fed.weight is not None:
            days = sums.setdefault(fed.sort, {})
            days[fed.day] = days.get(fed.day, 0.0) + fed.weight
    largest = sorted(sums, key=lambda sort: -sum(sums[sort].values()))[:MOST_SERIES]
    if len({day for sort in largest for day in sums[sort]}) < LEAST_DAYS:
        return None
    return Plot(
        name="fed",
        minor=True,
        title=gathered.say("fed_plot"),
        x_label=gathered.day_axis,
        y_label=gathered.say("fed_axis", unit=plural(unit)),
        days=gathered.days,
        bars=tuple(
            Series(
                label=sort,
                values=tuple(sums[sort].get(on) for on in gathered.days),
            )
            for sort in largest
        ),
    )


def _eaten_by_layers(
    gathered: Gathered, book: FlockBook, feedings: list[Fed], unit: str, laid: int
) -> Section:
    """What the layers ate: for a dozen, and for each bird and day, beside what is usual."""
    unweighed = sum(fed.weight is None for fed in feedings)
    told = counted(unweighed, gathered.say("one_meal"))
    notes = (gathered.say("without_amount", times=told),) if unweighed else ()
    weighed = [fed.weight for fed in feedings if fed.for_layers and fed.weight is not None]
    if not weighed:
        return Section(notes=notes)
    total, class_ = sum(weighed), gathered.laying.class_
    facts, sources = [], list[Cited]()
    if laid:
        usual = compared(_pounds(feed_per_dozen(total, laid), unit), per_dozen_usual(class_))
        facts.append(_beside_usual(gathered, "per_dozen_eaten", usual, unit))
        sources += cited_rows(per_dozen_usual.__name__, (f.source for f in usual.figures))
    eaters = book.of_class((class_, *gathered.reporting.values["eats_with_layers"]))
    bird_days = sum(sum(flock.alive(gathered.noted_from, gathered.last)) for flock in eaters)
    if bird_days and all(flock.groups for flock in eaters):
        usual = intake_compared(_pounds(total / bird_days, unit), class_)
        facts.append(_beside_usual(gathered, "each_eaten", usual, unit))
        sources += cited_rows(intake_compared.__name__, (f.source for f in usual.figures))
    return Section(
        facts=tuple(facts),
        notes=notes,
        sources=tuple(sources),
    )


def _beside_usual(gathered: Gathered, name: str, usual: Compared, unit: str) -> Fact:
    number, low, high = (
        converted(value, _POUND, unit) or 0.0 for value in (usual.value, usual.low, usual.high)
    )
    return Fact(
        name=name,
        label=gathered.say(name),
        text=gathered.say(
            f"{name}_text",
            amount=amount(number, unit, 2),
            usual=span(low, high, 2) if low else gathered.say("at_most", high=rounded(high, 2)),
            position=usual.position,
        ),
        value=round(number, 3),
        unit=unit,
        low=round(low, 3),
        high=round(high, 3),
    )


def _pounds(value: float, unit: str) -> float:
    """In the unit of the published figures."""
    return converted(value, unit, _POUND) or 0.0
