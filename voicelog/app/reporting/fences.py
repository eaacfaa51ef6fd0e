"""What each fence read, whether it will do, and where it is going."""

from __future__ import annotations

from collections.abc import Mapping

from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.laid_plots import LEAST_DAYS, MOST_SERIES
from voicelog.app.reporting.page import Fact, Level, Plot, Reading, Readings, Section, Table
from voicelog.app.reporting.wording import cited, cited_rows, day, rounded
from voicelog.husbandry import (
    Advice,
    FenceReading,
    Figure,
    days_since_tested,
    fence_level,
    fence_trend,
    fence_uses,
)
from voicelog.sentences import counted

_LEAST_FOR_TREND = 3


def fences_section(gathered: Gathered) -> Section | None:
    """The readings; None where no voltage was noted."""
    found = _readings(gathered)
    if not found:
        return None
    newest = {name: fence_level(readings[-1].kilovolts) for name, readings in found.items()}
    floors = next(iter(newest.values())).floors
    floor = max(figure.low for figure in floors)
    low = sum(one.kilovolts < floor for readings in found.values() for one in readings)
    advice: dict[str, Advice] = {one.text: one for level in newest.values() for one in level.advice}
    facts = [_low_fact(gathered, low, floor)] if low else []
    return Section(
        facts=(*facts, *_trend_facts(gathered, found)),
        tables=(_table(gathered, found),),
        plots=_plots(gathered, found, floors),
        notes=tuple(advice),
        sources=(
            *cited(gathered, "line"),
            *cited_rows(fence_level.__name__, (one.source for one in advice.values())),
        ),
    )


def _readings(gathered: Gathered) -> dict[str, list[FenceReading]]:
    (unit,) = gathered.reporting.values["kilovolt"]
    found: dict[str, list[FenceReading]] = {}
    for record in gathered.of("line_reads"):
        kilovolts = gathered.amount(record, "line_reads", unit)
        if kilovolts is not None and kilovolts >= 0:
            name = record.draft.place or gathered.say("line_series")
            one = FenceReading(at=gathered.at(record), kilovolts=kilovolts)
            found.setdefault(name, []).append(one)
    return found


def _low_fact(gathered: Gathered, low: int, floor: float) -> Fact:
    unit = gathered.say("reading")
    return Fact(
        name="low_readings",
        label=gathered.say("line_low"),
        text=gathered.say("line_low_text", count=counted(low, unit), number=rounded(floor)),
        value=low,
        unit=unit,
    )


def _trend_facts(gathered: Gathered, found: Mapping[str, list[FenceReading]]) -> list[Fact]:
    facts = []
    for name, readings in found.items():
        if len({reading.at.date() for reading in readings}) < _LEAST_FOR_TREND:
            continue
        slope = fence_trend(readings).slope
        text = gathered.say("trend_text", name=name, slope=f"{slope:+.2f}")
        facts.append(
            Fact(
                name="trend",
                label=gathered.say("trend"),
                text=text,
                value=round(slope, 3),
                unit="kilovolt a day",
            )
        )
    return facts


def _table(gathered: Gathered, found: Mapping[str, list[FenceReading]]) -> Table:
    rows = []
    for name, readings in found.items():
        last = readings[-1]
        level = fence_level(last.kilovolts).level
        rows.append(
            (
                name,
                str(len(readings)),
                f"{rounded(min(one.kilovolts for one in readings))} kV",
                f"{rounded(last.kilovolts)} kV, {day(last.at.date())}",
                gathered.say(f"level_{level}"),
                str(days_since_tested(last.at.date(), gathered.last)),
            )
        )
    keys = ("line", "readings", "lowest_reading", "newest", "level", "tested")
    return Table(
        name="readings",
        title=gathered.say("line_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(rows),
    )


def _plots(
    gathered: Gathered, found: Mapping[str, list[FenceReading]], floors: tuple[Figure, ...]
) -> tuple[Plot, ...]:
    shown = sorted(found, key=lambda name: -len(found[name]))[:MOST_SERIES]
    if len({one.at.date() for name in shown for one in found[name]}) < LEAST_DAYS:
        return ()
    readings = tuple(
        Readings(
            label=name,
            readings=tuple(Reading(at=one.at, value=one.kilovolts) for one in found[name]),
        )
        for name in shown
    )
    floor = max(floors, key=lambda figure: figure.low)
    label = gathered.say(
        "line_least", use=fence_uses()[0], number=rounded(floor.low), source=floor.source
    )
    return (
        Plot(
            name="lines",
            title=gathered.say("line_plot"),
            x_label=gathered.day_axis,
            y_label=gathered.say("line_axis"),
            days=gathered.days,
            readings=readings,
            levels=(Level(label=label, value=floor.low),),
        ),
    )
