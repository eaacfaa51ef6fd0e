"""How much water the birds need today."""

from __future__ import annotations

from voicelog.answering import sentences
from voicelog.answering.trade_replies.birds import alive
from voicelog.answering.trade_replies.footing import Footing, between, rounded
from voicelog.answering.trade_replies.heat import Warmth, warmest, weather
from voicelog.errors import RequestError
from voicelog.farm import Flock
from voicelog.husbandry import Drinkers, heat_step, water_in, water_need
from voicelog.types import Answer, Quantity, Record

_FEW = 2
_FINE = 2
"""Decimals shown below a few buckets."""


def water(footing: Footing) -> Answer:
    """The least and the most that the flocks drink today."""
    warmth = warmest(footing, footing.today)
    flocks = _flocks(footing)
    groups: list[tuple[str, Drinkers]] = []
    left_out: list[str] = []
    records: list[Record] = []
    for flock in flocks:
        birds = alive(footing, [flock])
        records += birds.records
        group = Drinkers(
            class_=flock.class_,
            count=birds.on(footing.today),
            age_days=None if flock.hatched is None else (footing.today - flock.hatched).days,
        )
        try:
            water_need([group])
        except RequestError:
            left_out.append(flock.name)
            continue
        if flock.count is None:
            left_out.append(flock.name)
        else:
            groups.append((flock.name, group))
    if not groups:
        return footing.untold([footing.say("no_thirst")])
    celsius = warmth.celsius if isinstance(warmth, Warmth) else None
    need = water_need([group for _, group in groups], celsius)
    unit, of = footing.declared.units["bucket"], footing.declared.values["drunk"]
    measures = footing.ground.farm.measures
    try:
        amount = water_in(need, unit, measures, of)
        unmeasured = False
    except RequestError:
        unit, unmeasured = footing.declared.units["gallon"], True
        amount = water_in(need, unit)
    digits = _FINE if amount.high < _FEW else 1
    gallons = water_in(need, footing.declared.units["gallon"])
    parts = [
        footing.say(
            "thirst",
            birds=sentences.listed(f"{g.count} {name}" for name, g in groups),
            need=between(amount.low, amount.high, digits),
            unit=sentences.plural(unit, 2),
            gallons=between(gallons.low, gallons.high),
        ),
        weather(footing, warmth),
        footing.say("thirst_rule"),
    ]
    if unmeasured:
        parts.append(footing.say("measure_bucket"))
    if left_out:
        parts.append(footing.say("no_thirst_of", flocks=sentences.listed(left_out)))
    parts.append(footing.sourced(*dict.fromkeys(one.source for one in need.by_source)))
    if isinstance(warmth, Warmth):
        step = heat_step(warmth.fahrenheit)
        parts += footing.cautions([step.caution] if step else [])
    value = tuple(Quantity(value=rounded(v, digits), unit=unit) for v in (amount.low, amount.high))
    seen = () if warmth is None else (warmth.record,)
    return footing.told(value, parts, (*seen, *records))


def _flocks(footing: Footing) -> list[Flock]:
    """The flocks asked about; all of the farm where none is named."""
    ground, general = footing.ground, footing.declared.values["any_class"]
    farm = ground.farm.flocks
    named = [f for f in footing.asked.question.flocks if ground.class_of(f) not in general]
    own = [flock for flock in farm if flock.name in named]
    classes = {ground.class_of(f) for f in named if ground.is_class_word(f)}
    of_class = [flock for flock in farm if flock.class_ in classes and flock not in own]
    chosen = [*own, *of_class] or list(farm)
    places = set(footing.asked.question.places)
    return [flock for flock in chosen if not places or flock.place in places]
