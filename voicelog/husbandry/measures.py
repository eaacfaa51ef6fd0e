"""An amount in another unit: by the farm's own measures, by counts, and else by a units library.

What a scoop holds differs from one feed to the next ("a scoop of corn is not the same thing",
S55, A), so it is weighed once for each and written into the farm file; nothing is assumed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Protocol

from voicelog.catalogue.units import Unit, find_unit, parts_per_whole
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero
from voicelog.types import Quantity

_DOZEN = 12
_CASE_DOZENS = 30
_CONTAINER = "container"
"""The dimension of units that hold what the farm says."""
_WEIGHED = frozenset({"mass", "volume"})
"""Dimensions of which one becomes the other by weighing a measure."""


class FarmMeasure(Protocol):
    """What one measure of a farm holds, as a farm file says it; `voicelog.farm.Measure` is one."""

    @property
    def unit(self) -> str:
        """What it is called: scoop."""

    @property
    def holds(self) -> str:
        """A number and a unit: 3.2 lb."""

    @property
    def of(self) -> str | None:
        """What it was weighed with; None for anything."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """A measure that can be used here."""

    unit: str
    held: float
    held_unit: str


def convert(
    amount: Quantity, wish: str, measures: Iterable[FarmMeasure] = (), of: Sequence[str] = ()
) -> Quantity:
    """An amount in another unit.

    Unit: `wish`.
    Range: any amount.
    Source: the farm's own measures; the units library for ordinary units, grade A.

    Args:
        amount: with its unit as said.
        wish: the unit wanted; a word that is no unit counts single things.
        measures: what the farm's measures hold.
        of: words for what is measured.

    Raises:
        RequestError: the units do not convert, or a measure is not known; then the error says
            which one to weigh.
    """
    listed = tuple(measures)
    value = converted(amount.value, amount.unit, wish, listed, of)
    if value is None:
        raise _not_convertible(amount.unit, wish, listed, of)
    return Quantity(value=value, unit=wish)


def converted(
    value: float,
    unit: str,
    wish: str,
    measures: Iterable[FarmMeasure] = (),
    of: Sequence[str] = (),
) -> float | None:
    """As `convert`, for callers that go on without: None where it does not convert.

    Unit: `wish`.
    Range: any amount.
    Source: as of `convert`, grade A.
    """
    listed = tuple(measures)
    named = frozenset(_name(measure.unit) for measure in listed)
    usable = _usable(listed, of)
    open_: deque[tuple[float, str]] = deque([(value, unit)])
    # Each measure is gone through once, in either direction, the nearest way first.
    while open_:
        here, at = open_.popleft()
        if (found := _plainly(here, at, wish, named)) is not None:
            return found
        for measure in tuple(usable):
            if (count := _plainly(here, at, measure.unit, named)) is not None:
                open_.append((count * measure.held, measure.held_unit))
            elif (count := _plainly(here, at, measure.held_unit, named)) is not None:
                open_.append((count / measure.held, measure.unit))
            else:
                continue
            usable.remove(measure)
    return None


def case_weight(ounces_a_dozen: float, dozens: float = _CASE_DOZENS) -> float:
    """Net weight of a case of eggs from the weight of its dozens.

    Unit: pounds.
    Range: 28 (peewee) to 56 (jumbo) for thirty dozen; the law's table rounds to half pounds.
    Source: S20, grade A.

    Raises:
        RequestError: a number is below 0.
    """
    at_least_zero(ounces_a_dozen, "The weight of a dozen")
    ounces = ounces_a_dozen * at_least_zero(dozens, "The number of dozens")
    return convert(Quantity(value=ounces, unit="ounce"), "pound").value


def weight_of_one(ounces_a_dozen: float) -> float:
    """Mean weight of one egg from the weight of a dozen.

    Unit: grams.
    Range: 35 (peewee) to 71 (jumbo).
    Source: S22, grade C, which arithmetic bears out.

    Raises:
        RequestError: the weight is below 0.
    """
    ounces = at_least_zero(ounces_a_dozen, "The weight of a dozen") / _DOZEN
    return convert(Quantity(value=ounces, unit="ounce"), "gram").value


def mass_per_volume(mass: Quantity, volume: Quantity, mass_unit: str, volume_unit: str) -> float:
    """What one measure of volume weighs, from a weighed volume.

    Unit: `mass_unit` for each `volume_unit`.
    Range: 34 to 45 lb a cubic foot for corn, flaked to shelled (S55, A); 40 for pellets of wheat
        middlings (S56, A).
    Source: S55, grade A.

    Raises:
        RequestError: the units are not of mass and of volume, or the volume is not above 0.
    """
    weight = convert(mass, mass_unit).value
    space = convert(volume, volume_unit).value
    return at_least_zero(weight, "The weight") / above_zero(space, "The volume")


def _usable(measures: tuple[FarmMeasure, ...], of: Sequence[str]) -> list[_Known]:
    """Measures of this stuff; those weighed with it come before those of anything."""
    said = {word for text in of for word in _words(text)}
    fitting = [m for m in measures if m.of is None or _words(m.of) <= said]
    fitting.sort(key=lambda measure: measure.of is None)
    return [known for measure in fitting if (known := _known(measure)) is not None]


def _words(text: str) -> set[str]:
    return set(text.casefold().replace("_", " ").split())


def _known(measure: FarmMeasure) -> _Known | None:
    number, _, unit = measure.holds.strip().partition(" ")
    try:
        held = float(number)
    except ValueError:
        return None
    if not 0 < held < float("inf") or not unit.strip():
        return None
    return _Known(unit=measure.unit, held=held, held_unit=unit.strip())


def _plainly(value: float, unit: str, wish: str, named: frozenset[str]) -> float | None:
    """Without any measure of the farm; None where that cannot be."""
    if _name(unit) == _name(wish):
        return value
    one, other = _count(unit, named), _count(wish, named)
    if one is not None and other is not None:
        return value * one / other
    known, wished = find_unit(unit), find_unit(wish)
    if known is None or wished is None or known.dimension != wished.dimension:
        return None
    if (parts := parts_per_whole(known.name, wished.name)) is not None:
        return value / parts
    if (whole := parts_per_whole(wished.name, known.name)) is not None:
        return value * whole
    if known.library and wished.library:
        return _by_library(value, known.library, wished.library)
    return None


def _count(unit: str, named: frozenset[str]) -> int | None:
    """How many single things one holds; None for what is no count, or the farm's own measure."""
    if _name(unit) in named:
        return None
    known = find_unit(unit)
    return 1 if known is None else known.factor


def _name(unit: str) -> str:
    known = find_unit(unit)
    return unit.casefold() if known is None else known.name


def _by_library(value: float, unit: str, wish: str) -> float | None:
    from pint import PintError

    try:
        return float(_registry().Quantity(value, unit).to(wish).magnitude)
    except PintError:
        return None


@lru_cache(maxsize=1)
def _registry() -> Any:
    # Slow to import and to fill, and most amounts need no conversion.
    from pint import UnitRegistry

    return UnitRegistry(cache_folder=None, autoconvert_offset_to_baseunit=True)


def _not_convertible(
    unit: str, wish: str, measures: tuple[FarmMeasure, ...], of: Sequence[str]
) -> RequestError:
    """What stands between two units, and what would bring them together."""
    units = {_name(unit), _name(wish)}
    for measure in measures:
        if _name(measure.unit) in units and _known(measure) is None:
            return RequestError(
                f"What one {measure.unit} holds is written as {measure.holds!r}, which is no "
                "number and unit.",
                kept="Nothing was converted.",
                todo="Write it in the farm file like this: 3.2 lb.",
            )
    usable = {_name(measure.unit) for measure in _usable(measures, of)}
    known, wished = find_unit(unit), find_unit(wish)
    to_weigh = next(
        (name for name, found in ((unit, known), (wish, wished))
         if _is_own(found) and _name(name) not in usable), None)  # fmt: skip
    if to_weigh is None and known and wished and {known.dimension, wished.dimension} == _WEIGHED:
        to_weigh = unit if known.dimension == "volume" else wish
    if to_weigh is not None:
        return _weigh(to_weigh, measures, of)
    return RequestError(
        f"{unit!r} and {wish!r} do not measure the same, so one does not convert to the other.",
        kept="Nothing was converted.",
        todo="Ask for a unit of the same sort.",
    )


def _is_own(unit: Unit | None) -> bool:
    """Whether only a farm can say what one holds."""
    return unit is None or (unit.dimension == _CONTAINER and unit.factor is None)


def _weigh(unit: str, measures: tuple[FarmMeasure, ...], of: Sequence[str]) -> RequestError:
    stuff = " ".join(text.replace("_", " ") for text in of)
    others = [m.of for m in measures if m.of is not None and _name(m.unit) == _name(unit)]
    told = f" (the farm file tells it of {', '.join(others)})" if others else ""
    one = unit if find_unit(unit) is None else f"level {unit}"
    return RequestError(
        f"What one {unit}{f' of {stuff}' if stuff else ''} comes to is not known{told}.",
        kept="Nothing was converted.",
        todo=f"Weigh one {one} and write it into the farm file as a [[measure]] with unit, of "
        'and holds, such as holds = "3.2 lb".',
    )
