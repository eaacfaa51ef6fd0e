"""Temperatures and weather as they were noted."""

from __future__ import annotations

from collections import Counter

from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.laid_plots import LEAST_DAYS
from voicelog.app.reporting.page import Fact, Plot, Reading, Readings, Section
from voicelog.app.reporting.wording import span
from voicelog.catalogue.units import find_unit
from voicelog.sentences import value_text
from voicelog.types import Quantity


def weather(gathered: Gathered) -> Section | None:
    """Temperatures by the unit they were said in, and what the sky did; None where none is."""
    readings: dict[str, list[Reading]] = {}
    conditions: Counter[str] = Counter()
    for record in gathered.of("temperature"):
        said = gathered.slot(record, "temperature")
        if isinstance(said, Quantity):
            one = Reading(at=gathered.at(record), value=said.value)
            readings.setdefault(said.unit, []).append(one)
        condition = gathered.slot(record, "condition")
        if condition is not None:
            conditions[value_text(condition)] += 1
    if not readings and not conditions:
        return None
    facts = [_fact(gathered, unit, found) for unit, found in readings.items()]
    if conditions:
        text = ", ".join(
            f"{name} {count}×" if count > 1 else name for name, count in conditions.most_common()
        )
        facts.append(Fact(name="conditions", label=gathered.say("conditions"), text=text))
    plots = [
        _plot(gathered, unit, found)
        for unit, found in readings.items()
        if len({reading.at.date() for reading in found}) >= LEAST_DAYS
    ]
    return Section(facts=tuple(facts), plots=tuple(plots))


def _fact(gathered: Gathered, unit: str, found: list[Reading]) -> Fact:
    low = min(reading.value for reading in found)
    high = max(reading.value for reading in found)
    return Fact(
        name="temperature",
        label=gathered.say("temperature"),
        text=gathered.say("temperature_text", span=span(low, high), unit=_called(gathered, unit)),
        unit=unit,
        low=low,
        high=high,
    )


def _plot(gathered: Gathered, unit: str, found: list[Reading]) -> Plot:
    return Plot(
        name=f"temperature_{unit}",
        minor=True,
        title=gathered.say("temperature_plot"),
        x_label=gathered.day_axis,
        y_label=gathered.say("temperature_axis", unit=_called(gathered, unit)),
        days=gathered.days,
        readings=(Readings(label=gathered.say("temperature"), readings=tuple(found)),),
    )


def _called(gathered: Gathered, unit: str) -> str:
    """The unit; degrees of which nobody said the scale are called so."""
    known = find_unit(unit)
    sure = known is not None and known.library is not None
    return unit if sure else gathered.say("degrees_as_said")
