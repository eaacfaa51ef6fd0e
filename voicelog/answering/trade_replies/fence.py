"""When the fence was tested, whether it will do, and where its voltage is going."""

from __future__ import annotations

from datetime import timedelta

from voicelog.answering import sentences
from voicelog.answering.trade_replies.footing import Footing, number_of, rounded, shown
from voicelog.husbandry import (
    FenceLevel,
    FenceReading,
    FenceTrend,
    converted,
    days_since_tested,
    falls_to,
    fence_level,
    fence_trend,
    tested_every,
)
from voicelog.types import Answer, Quantity, Record

_DAYS = 30
_METER = 0.2
"""Kilovolts by which a reading may be off without anything having changed; common practice."""
_DIGITS = 6
"""Decimals to which conversion is exact."""
_SOON_DAYS = 60
"""A straight line is worth nothing farther on."""


def tested_and_how(footing: Footing) -> Answer:
    """When it was last tested, with how it is."""
    return _told(footing, "when")


def how(footing: Footing) -> Answer:
    """The newest reading, with how it is."""
    return _told(footing, "how")


def falling(footing: Footing) -> Answer:
    """Whether its voltage falls."""
    return _told(footing, "falling")


def enough(footing: Footing) -> Answer:
    """Whether the newest reading is enough."""
    return _told(footing, "enough")


def _told(footing: Footing, asked: str) -> Answer:
    readings = _readings(footing)
    if not readings:
        return footing.untold([footing.say("no_reading")])
    newest = readings[0][0]
    level = fence_level(readings[0][1])
    trend = _trend(footing, readings)
    tested = footing.day_of(newest)
    days = days_since_tested(tested, footing.today)
    parts = [
        footing.say("line_tested", day=sentences.day(tested), ago=sentences.ago(days),
                    reading=shown(level.kilovolts, 2)),
        footing.say(f"line_{level.level}", floor=shown(max(f.low for f in level.floors))),
        *_going(footing, trend, level),
    ]  # fmt: skip
    often = max(figure.high for figure in tested_every())
    if days > often:
        parts.append(footing.say("test_again", days=shown(often)))
    parts += [advice.text for advice in level.advice]
    parts.append(
        footing.sourced(
            *(f.source for f in level.floors),
            *(f.source for f in tested_every()),
            *(advice.source for advice in level.advice),
        )
    )
    kind = footing.declared.slot("volts").kind
    parts += footing.cautions([footing.ground.catalogue.kind(kind).caution])
    records = [record for record, _ in readings]
    if asked == "when":
        begins = footing.ground.begins(newest)
        return footing.told(begins, parts, records, from_=begins)
    if asked == "how":
        unit = footing.declared.units["kilovolt"]
        return footing.told(rounded(level.kilovolts, 2), parts, records, unit=unit)
    if asked == "enough":
        return footing.told(level.level == "enough", parts, records)
    if trend is None:
        return footing.untold(parts)
    return footing.told(_is_falling(trend), parts, records)


def _readings(footing: Footing) -> list[tuple[Record, float]]:
    """Readings of the last month in kilovolts, the newest first, all of one fence."""
    since = footing.midnight(footing.today - timedelta(days=_DAYS))
    places = footing.asked.question.places
    found: list[tuple[Record, float]] = []
    for record in footing.done("volts"):
        said = footing.slot(record, "volts")
        value = number_of(said)
        if isinstance(said, Quantity):
            value = converted(said.value, said.unit, footing.declared.units["kilovolt"])
        if value is None or (places and record.draft.place not in (None, *places)):
            continue
        if found and (footing.ground.begins(record) < since
                      or record.draft.place != found[0][0].draft.place):  # fmt: skip
            continue
        # Conversion leaves a hair, and what is enough begins at a whole number.
        found.append((record, round(value, _DIGITS)))
    return found


def _trend(footing: Footing, readings: list[tuple[Record, float]]) -> FenceTrend | None:
    if len({footing.ground.begins(record) for record, _ in readings}) < 2:
        return None
    return fence_trend(
        FenceReading(at=footing.ground.begins(record), kilovolts=value)
        for record, value in readings
    )


def _is_falling(trend: FenceTrend) -> bool:
    return trend.slope * trend.days <= -_METER


def _going(footing: Footing, trend: FenceTrend | None, level: FenceLevel) -> list[str]:
    if trend is None:
        return [footing.say("line_one_reading")]
    change = trend.slope * trend.days
    name = "falling" if _is_falling(trend) else "rising" if change >= _METER else "steady"
    parts = [
        footing.say(
            f"line_{name}",
            slope=shown(abs(trend.slope), 2),
            readings=trend.readings,
            days=shown(trend.days, 0),
        )
    ]
    floor = max(figure.low for figure in level.floors)
    then = falls_to(trend, floor) if name == "falling" and level.level == "enough" else None
    if then is not None and then - footing.ground.now <= timedelta(days=_SOON_DAYS):
        parts.append(
            footing.say("line_falls_to", floor=shown(floor), day=sentences.day(then.date()))
        )
    return parts
