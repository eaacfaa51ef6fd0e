"""The units that amounts are said in, read from `data/units.toml`.

What a scoop or a bucket of a farm holds is the farm file's to say; how units convert is a units
library's. Here is only what they are called and which is a part of which.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any

from voicelog.catalogue.fields import FieldReader

_KEYS = {
    "name", "dimension", "library", "forms", "before", "wary", "whole", "parts", "factor",
    "rest", "source",
}  # fmt: skip
_WORD = re.compile(r"[^\W\d_]+|\S")


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One unit and every way to say it."""

    name: str
    dimension: str
    """What it measures: mass, volume, container, money …; only like adds to like."""
    forms: tuple[tuple[str, ...], ...]
    """For each way to call it, the singular and then its other spellings."""
    library: str | None = None
    """Its name for the conversion library; None for money and for measures of a farm."""
    before: tuple[str, ...] = ()
    """Spellings that may stand before the number, such as a currency's sign."""
    wary: tuple[str, ...] = ()
    """Spellings that are also common words or letters: units only right behind a figure."""
    whole: str | None = None
    """The name of the larger unit that this one is a part of."""
    parts: int | None = None
    """How many of this unit make the whole."""
    factor: int | None = None
    """How many single things one holds."""
    rest: int | None = None
    """How many of what a bare number behind it counts make one: two dollars fifty."""
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spelling:
    """One way to write a unit."""

    unit: Unit
    singular: str
    """What a record keeps for this spelling."""
    plural: bool
    """True where it says more than one: the spelling is not the singular of its form."""
    wary: bool
    before: bool


def load_units() -> tuple[Unit, ...]:
    """Every unit of the package's table, read once.

    Raises:
        CatalogueError: the table has faults; all of them are told.
    """
    return _carried()[0]


def spellings() -> Mapping[str, Spelling]:
    """Every spelling (see `spelling_key`) of the package's table."""
    return _carried()[1]


def find_unit(spelling: str) -> Unit | None:
    """The unit that a spelling calls, whatever its case; None where it calls none."""
    found = spellings().get(spelling_key(spelling))
    return found.unit if found else None


def singular(spelling: str) -> str | None:
    """The singular that a record keeps: "pounds" gives pound, "LBS" gives lb."""
    found = spellings().get(spelling_key(spelling))
    return found.singular if found else None


@lru_cache(maxsize=1)
def unit_words() -> frozenset[str]:
    """Every word a unit is said with, for the recogniser's vocabulary; no marks or letters."""
    return frozenset(
        word
        for key in spellings()
        for word in key.split()
        if word.isalpha() and len(word) > 1 and set("aeiouy") & set(word)
    )


@lru_cache(maxsize=4096)
def parts_per_whole(part: str, whole: str) -> int | None:
    """How many of the unit named `part` make one of `whole`; None where they do not nest."""
    by_name = {unit.name: unit for unit in load_units()}
    count = 1
    unit = by_name.get(part)
    for _ in by_name:
        if unit is None or unit.whole is None or unit.parts is None:
            return None
        count *= unit.parts
        if unit.whole == whole:
            return count
        unit = by_name.get(unit.whole)
    return None


def spelling_key(spelling: str) -> str:
    """A spelling as it is looked up: lower case, marks and words apart by one space."""
    return " ".join(_WORD.findall(spelling.lower()))


@lru_cache(maxsize=1)
def _carried() -> tuple[tuple[Unit, ...], Mapping[str, Spelling]]:
    return read_units(files("voicelog.catalogue") / "data" / "units.toml")


def read_units(file: Traversable) -> tuple[tuple[Unit, ...], Mapping[str, Spelling]]:
    """The units of a file laid out like `data/units.toml`, and their spellings.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    rows = reader.open(file).get("unit", [])
    units = tuple(_unit(reader, row, place) for place, row in enumerate(rows, start=1))
    found = _spellings(reader, units)
    _check_wholes(reader, units)
    reader.refuse_faults("The table of units")
    return units, MappingProxyType(found)


def _unit(reader: FieldReader, row: dict[str, Any], place: int) -> Unit:
    key = f"unit.{row.get('name', place)}"
    for name in row:
        if name not in _KEYS:
            reader.fault(f"{key}.{name}", "is not known", f"known here: {', '.join(sorted(_KEYS))}")
    return Unit(
        name=reader.text(row, "name", key),
        dimension=reader.text(row, "dimension", key),
        forms=_forms(reader, row, key),
        library=row.get("library"),
        before=reader.texts(row, "before", key),
        wary=reader.texts(row, "wary", key),
        whole=row.get("whole"),
        parts=_count(reader, row, "parts", key),
        factor=_count(reader, row, "factor", key),
        rest=_count(reader, row, "rest", key),
        source=row.get("source", ""),
    )


def _forms(reader: FieldReader, row: dict[str, Any], key: str) -> tuple[tuple[str, ...], ...]:
    forms = row.get("forms")
    right = isinstance(forms, list) and forms
    if not right or not all(
        isinstance(form, list) and form and all(isinstance(word, str) and word for word in form)
        for form in forms or ()
    ):
        reader.fault(f"{key}.forms", "is no list of forms", 'write [["pound", "pounds"], ["lb"]]')
        return ()
    return tuple(tuple(form) for form in forms or ())


def _count(reader: FieldReader, row: dict[str, Any], name: str, key: str) -> int | None:
    value = row.get(name)
    if value is None or (isinstance(value, int) and value > 0):
        return value
    reader.fault(f"{key}.{name}", f"{value!r} is no count", "write a whole number above 0")
    return None


def _spellings(reader: FieldReader, units: tuple[Unit, ...]) -> dict[str, Spelling]:
    found: dict[str, Spelling] = {}
    for unit in units:
        before = {spelling_key(word) for word in unit.before}
        wary = {spelling_key(word) for word in unit.wary}
        for form in unit.forms:
            for place, word in enumerate(form):
                key = spelling_key(word)
                if key in found:
                    other = found[key].unit.name
                    hint = f"it already means {other}: leave it to one of them"
                    reader.fault(f"unit.{unit.name}.forms", f"{word!r} stands twice", hint)
                found[key] = Spelling(
                    unit=unit,
                    singular=form[0],
                    plural=place > 0,
                    wary=key in wary,
                    before=key in before,
                )
        for word in sorted((before | wary) - found.keys()):
            reader.fault(f"unit.{unit.name}", f"{word!r} is none of its forms", "add it to forms")
    return found


def _check_wholes(reader: FieldReader, units: tuple[Unit, ...]) -> None:
    dimensions = {unit.name: unit.dimension for unit in units}
    for unit in units:
        key = f"unit.{unit.name}.whole"
        if (unit.whole is None) != (unit.parts is None):
            reader.fault(key, "whole and parts go together", "give both or neither")
        elif unit.whole is not None and dimensions.get(unit.whole) != unit.dimension:
            hint = f"name a unit of dimension {unit.dimension}"
            reader.fault(key, f"{unit.whole!r} is no unit of its dimension", hint)
