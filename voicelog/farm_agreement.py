"""Whether the parts of a farm file agree with each other and with the catalogue.

What would be read without a word and then never fit anything, such as a flock at a place that
is not there, is a fault. What may be meant so, such as an empty file, is only remarked on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from voicelog.catalogue.laying import load_laying
from voicelog.catalogue.schema import Catalogue, Kind, SlotType
from voicelog.catalogue.spelling import expand_all
from voicelog.catalogue.units import find_unit
from voicelog.farm import Bird, Chore, Farm, Flock, Measure, Place

Tell = Callable[[str, str, str], None]
"""Notes a fault: the key, what is wrong with it, and a hint."""


def tell_disagreements(farm: Farm, catalogue: Catalogue, tell: Tell) -> None:
    """Tell every name that names nothing, or two things, and every value that cannot be."""
    _tell_flocks(farm, tell)
    _tell_names(farm, tell)
    for number, measure in enumerate(farm.measures, start=1):
        _tell_measure(farm, measure, f"measure[{number}]", catalogue, tell)
    for number, chore in enumerate(farm.chores, start=1):
        _tell_match(farm, chore, f"chore[{number}]", catalogue, tell)


def remarks_on(farm: Farm, catalogue: Catalogue) -> tuple[str, ...]:
    """Sentences about what is no fault and yet may not be meant so."""
    if not (farm.places or farm.flocks or farm.birds or farm.measures or farm.chores):
        return ("The file names no places, flocks, birds, measures or chores.",)
    words = {word for kind in catalogue.kinds for word in expand_all(kind.about)}
    words |= {word for group in catalogue.classes for word in expand_all(group.words)}
    return tuple(
        f"{word!r} names a bird and is a word of the trade too; a memo with it may be misread."
        for bird in farm.birds
        for word in (bird.name, *bird.also)
        if word.casefold() in words
    )


def _tell_flocks(farm: Farm, tell: Tell) -> None:
    flocks = [flock.name for flock in farm.flocks]
    places = [place.name for place in farm.places]
    for number, bird in enumerate(farm.birds, start=1):
        if bird.flock is not None and bird.flock not in flocks:
            hint = f"flocks of this farm are {_listed(flocks)}"
            tell(f"bird[{number}].flock", f"there is no flock {bird.flock!r}", hint)
    for number, flock in enumerate(farm.flocks, start=1):
        if flock.place is not None and flock.place not in places:
            hint = f"places of this farm are {_listed(places)}"
            tell(f"flock[{number}].place", f"there is no place {flock.place!r}", hint)


def _tell_names(farm: Farm, tell: Tell) -> None:
    owners: dict[str, tuple[str, str]] = {}
    for what, key, named in _named(farm):
        for word in (named.name, *named.also):
            plain = " ".join(word.casefold().split())
            owner = owners.setdefault(plain, (what, named.name))
            # The same name twice in one part is told by the reader of that part.
            if plain and owner != (what, named.name):
                problem = f"{word!r} is also the {owner[0]} {owner[1]!r}"
                tell(key, problem, "call one of them otherwise")


def _named(farm: Farm) -> Iterator[tuple[str, str, Place | Flock | Bird]]:
    parts: tuple[tuple[str, tuple[Place | Flock | Bird, ...]], ...] = (
        ("place", farm.places),
        ("flock", farm.flocks),
        ("bird", farm.birds),
    )
    for what, rows in parts:
        for number, row in enumerate(rows, start=1):
            yield what, f"{what}[{number}]", row


def _tell_measure(farm: Farm, measure: Measure, key: str, catalogue: Catalogue, tell: Tell) -> None:
    number, _, unit = measure.holds.strip().partition(" ")
    unit = unit.strip()
    if not measure.holds:
        return
    if not (_is_above_zero(number) and unit):
        hint = 'write a number in digits and a unit, like "3.2 lb"'
        tell(f"{key}.holds", f"{measure.holds!r} is no amount", hint)
    elif not _is_unit(unit, farm, catalogue):
        hint = 'write one like "lb", "kg", "gallon" or "litre"'
        tell(f"{key}.holds", f"the unit {unit!r} is not known", hint)


def _is_above_zero(number: str) -> bool:
    try:
        return 0 < float(number) < float("inf")
    except ValueError:
        return False


def _is_unit(unit: str, farm: Farm, catalogue: Catalogue) -> bool:
    """Whether it is a unit, a measure of the farm, or a thing that is counted one by one."""
    if find_unit(unit) is not None or any(unit == measure.unit for measure in farm.measures):
        return True
    each = expand_all((f"{load_laying().each}+",))
    counted = {word for group in catalogue.classes for word in expand_all(group.words)}
    return unit.casefold() in counted.union(each)


def _tell_match(farm: Farm, chore: Chore, key: str, catalogue: Catalogue, tell: Tell) -> None:
    kind = catalogue.kind(chore.record)
    for name, value in chore.match.items():
        legal = _legal(name, kind, farm, catalogue)
        if legal and value not in legal:
            told = f"{value!r} is no value of that slot"
            tell(f"{key}.match.{name}", told, f"one of {', '.join(legal)}")


def _legal(name: str, kind: Kind, farm: Farm, catalogue: Catalogue) -> list[str]:
    """What a record may hold there; empty where it may be anything."""
    slot = kind.slot(name)
    if slot is not None:
        return [value.name for value in slot.values] if slot.type is SlotType.CHOICE else []
    if name != "flock":
        return []
    return [*(flock.name for flock in farm.flocks), *(group.word for group in catalogue.classes)]


def _listed(names: Iterable[str]) -> str:
    return ", ".join(sorted(name for name in names if name)) or "not given"
