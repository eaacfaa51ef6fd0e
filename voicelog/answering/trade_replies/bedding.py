"""How much bedding the nest boxes take, by what the question says of them."""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.answering import sentences
from voicelog.answering.trade_replies.footing import Footing, between, rounded
from voicelog.husbandry import bales_needed, bedding_depth, bedding_needed, converted
from voicelog.types import Answer, Quantity

_VOLUME = "cubic foot"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Boxes:
    """What the question says of the boxes."""

    count: int | None
    sides: tuple[float, ...]
    """Inner length and width in inches; empty where they are not said."""
    depth: float | None
    """Inches."""


def boxes(footing: Footing) -> Answer:
    """How many cubic feet they take; what is missing where it cannot be told."""
    said = _said(footing)
    stated = bedding_depth(footing.declared.values["box"][0])
    if said.count is None or len(said.sides) != 2:
        missing = [
            footing.say(name)
            for name, absent in (
                ("missing_count", said.count is None),
                ("missing_sides", len(said.sides) != 2),
            )
            if absent
        ]
        return footing.untold(
            [footing.say("filling_missing", missing=sentences.listed(missing)),
             footing.say("filling_depth", depth=between(min(f.low for f in stated),
                                                      max(f.high for f in stated))),
             footing.sourced(*(f.source for f in stated))])  # fmt: skip
    depths = (
        (min(f.low for f in stated), max(f.high for f in stated))
        if said.depth is None
        else (said.depth, said.depth)
    )
    length, width = said.sides
    low, high = (bedding_needed(length, width, depth, said.count) for depth in depths)
    parts = [
        footing.say(
            "filling_takes",
            count=said.count,
            sides=f"{length:g} by {width:g}",
            depth=between(*depths),
            need=between(low, high, 2),
        ),
        *_bales(footing, low, high),
        footing.sourced("S85", *(f.source for f in stated)),
    ]
    unit = _VOLUME
    if low == high:
        return footing.told(rounded(low, 2), parts, (), unit=unit)
    value = tuple(Quantity(value=rounded(v, 2), unit=unit) for v in (low, high))
    return footing.told(value, parts, ())


def _bales(footing: Footing, low: float, high: float) -> list[str]:
    """The same in bales, where the farm file says what one holds."""
    of = footing.declared.values["loose_stuff"]
    bale = footing.declared.units["bale"]
    held = converted(1, bale, _VOLUME, footing.ground.farm.measures, of)
    if held is None:
        return [footing.say("bale_unknown")]
    loose, packed = (
        between(
            bales_needed(low, held, compressed=compressed)[0],
            bales_needed(high, held, compressed=compressed)[1],
            2,
        )
        for compressed in (False, True)
    )
    return [footing.say("bales", loose=loose, packed=packed, holds=f"{held:g}")]


def _said(footing: Footing) -> _Boxes:
    """Numbers by where they stand: before "boxes" a count, before "deep" a depth, else sides."""
    declared, heard = footing.declared, footing.asked.heard
    count: int | None = None
    depth: float | None = None
    sides: list[float] = []
    for amount in heard.mentions.amounts:
        after = heard.words[amount.last] if amount.last < len(heard.words) else ""
        inches = None
        if amount.unit is not None:
            inches = converted(amount.value, amount.unit, declared.units["inch"])
        if after in declared.words["deep"] and inches is not None:
            depth = inches
        elif inches is not None:
            sides.append(inches)
        elif after in declared.words["by"]:
            sides.append(float(amount.value))
        elif after in declared.words["box_word"] or count is None:
            count = int(amount.value)
    if len(sides) == 1:
        sides *= 2
    return _Boxes(count=count, sides=tuple(sides), depth=depth)
