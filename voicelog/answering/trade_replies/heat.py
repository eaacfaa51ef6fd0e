"""Whether it is too hot for the birds, by the temperatures recorded today and yesterday."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.answering.trade_replies.footing import Footing, shown
from voicelog.catalogue.standards import load_standards
from voicelog.husbandry import converted, heat_step
from voicelog.types import Answer, Quantity, Record

_MILD_BELOW = 27.0
"""A bare number below it is mild weather or cold in both scales."""
_FAHRENHEIT_FROM = 50.0
"""A bare number above it can only be meant in Fahrenheit."""
_DIGITS = 6
"""Decimals to which conversion is exact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Warmth:
    """The highest temperature recorded on a day."""

    record: Record
    fahrenheit: float
    celsius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Unclear:
    """A bare number that is hot in Celsius and cold in Fahrenheit."""

    record: Record
    value: float


def too_hot(footing: Footing) -> Answer:
    """Whether today's heat asks for more than a look."""
    warmth = warmest(footing, footing.today)
    if warmth is None:
        return footing.untold([footing.say("no_temperature")])
    if isinstance(warmth, Unclear):
        return footing.untold([weather(footing, warmth)])
    before = warmest(footing, footing.today - timedelta(days=1))
    yesterday = before.fahrenheit if isinstance(before, Warmth) else None
    panting = [
        r for r in footing.done("ailing", since=footing.midnight(footing.today))
        if footing.is_one_of(r, "ailing", "hot_sign")
    ]  # fmt: skip
    step = heat_step(warmth.fahrenheit, yesterday, panting=bool(panting))
    records = [warmth.record, *panting, *([before.record] if before else [])]
    if step is None:
        parts = [weather(footing, warmth), footing.say("not_hot"), footing.sourced("from memory")]
        return footing.told(False, parts, records)
    parts = [
        weather(footing, warmth),
        footing.say("heat_step", step=step.name, because=footing.say(f"because_{step.because}")),
        *step.do,
        footing.say("heat_rule"),
        footing.sourced("S12", "S16", "S15", "from memory"),
        *footing.cautions([step.caution]),
    ]
    # The mildest step only asks for a look at the birds.
    return footing.told(step.name != load_standards().heat[0].name, parts, records)


def warmest(footing: Footing, day: date) -> Warmth | Unclear | None:
    """The highest temperature recorded on a day; None where none is.

    Degrees without a scale are Fahrenheit where they can be nothing else or where it is mild
    either way; between, nobody knows and the keeper is asked.
    """
    found: list[Warmth] = []
    units = footing.declared.units
    start, end = footing.midnight(day), footing.midnight(day + timedelta(days=1))
    for record in footing.done("degrees", since=start, until=end):
        said = footing.slot(record, "degrees")
        if not isinstance(said, Quantity):
            continue
        fahrenheit = converted(said.value, said.unit, units["fahrenheit"])
        if fahrenheit is None:
            if _MILD_BELOW <= said.value <= _FAHRENHEIT_FROM:
                return Unclear(record=record, value=said.value)
            fahrenheit = float(said.value)
        # Conversion leaves a hair, and a step begins at a whole degree.
        fahrenheit = round(fahrenheit, _DIGITS)
        celsius = converted(fahrenheit, units["fahrenheit"], units["celsius"])
        assert celsius is not None
        found.append(Warmth(record=record, fahrenheit=fahrenheit, celsius=celsius))
    return max(found, key=lambda one: one.fahrenheit, default=None)


def weather(footing: Footing, warmth: Warmth | Unclear | None) -> str:
    """What is known of the day's heat, in words."""
    if warmth is None:
        return footing.say("mild_taken")
    if isinstance(warmth, Unclear):
        return footing.say("which_scale", degrees=shown(warmth.value))
    return footing.say(
        "warmest", degrees=shown(warmth.fahrenheit, 0), celsius=shown(warmth.celsius, 0)
    )
