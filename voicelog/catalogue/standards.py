"""Tables of the trade that published sources print, read from `data/husbandry/standards.toml`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, TypeVar

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.stated import read_source

_UNITS = {"gallon/100": 37.85411784, "litre/1000": 1.0}
"""Millilitres a bird for one of each (US gallon, standard definition)."""
_Row = TypeVar("_Row")


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeStandard:
    """A weight class of eggs."""

    name: str
    ounces: float
    """Least net weight of a dozen, in ounces."""
    single: float | None
    """Least rate of a single one, in ounces a dozen; None where none is printed."""
    source: str
    grade: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeStandard:
    """A quality grade of eggs."""

    name: str
    air_cell: float | None
    """Deepest air cell, in inches; None for any."""
    haugh: float
    """Least Haugh units."""
    stained: bool
    """Whether a slight stain is allowed."""
    spots: float
    """Blood and meat spots allowed, in inches altogether."""
    source: str
    grade: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrinkStandard:
    """What one bird of a class drinks in a day by one source."""

    class_: str
    days: tuple[float, ...]
    """Ages in days, rising."""
    low: tuple[float, ...]
    """Millilitres at each age."""
    high: tuple[float, ...]
    onward: bool
    """Whether the last age's amount holds from then on."""
    warm: float
    """Degrees Celsius up to which the amounts hold."""
    hot: tuple[float, ...]
    """Degrees Celsius, low factor, high factor; empty where the source is silent on heat."""
    source: str
    grade: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatStandard:
    """One step of heat and what is done at it."""

    name: str
    from_f: float
    """Degrees Fahrenheit."""
    jump_f: float | None
    """Rise over yesterday above which it holds in the heat; None for none."""
    panting: bool
    """Whether it holds as soon as birds pant."""
    do: tuple[str, ...]
    caution: str
    """Name of the catalogue's caution that is shown with it."""
    source: str
    grade: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Standards:
    """All tables, each in the order of the file."""

    sizes: tuple[SizeStandard, ...]
    grades: tuple[GradeStandard, ...]
    drinks: tuple[DrinkStandard, ...]
    heat: tuple[HeatStandard, ...]


@lru_cache(maxsize=1)
def load_standards() -> Standards:
    """What the package declares, read once.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    return read_standards(files("voicelog.catalogue") / "data" / "husbandry" / "standards.toml")


def read_standards(file: Traversable) -> Standards:
    """What a file laid out like `data/husbandry/standards.toml` declares.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    tables = reader.open(file)
    reader.known(tables, "", {"size", "grade", "drinks", "heat"})
    standards = Standards(
        sizes=_rows(reader, tables, "size", _size),
        grades=_rows(reader, tables, "grade", _grade),
        drinks=_rows(reader, tables, "drinks", _drinks),
        heat=_rows(reader, tables, "heat", _heat),
    )
    reader.refuse_faults(f"The file {file.name}")
    return standards


def _rows(
    reader: FieldReader,
    tables: dict[str, Any],
    name: str,
    read: Callable[[FieldReader, dict[str, Any], str], _Row],
) -> tuple[_Row, ...]:
    rows = tables.get(name, [])
    if not isinstance(rows, list) or not rows:
        reader.fault(name, "is missing", f"give each row as [[{name}]]")
        return ()
    return tuple(read(reader, row, f"{name}.{at}") for at, row in enumerate(rows, start=1))


def _size(reader: FieldReader, row: dict[str, Any], key: str) -> SizeStandard:
    reader.known(row, key, {"name", "ounces", "single", "source", "grade"})
    source, grade = read_source(reader, row, key)
    return SizeStandard(
        name=reader.text(row, "name", key),
        ounces=_number(reader, row, "ounces", key),
        single=_number_or_none(reader, row, "single", key),
        source=source,
        grade=grade,
    )


def _grade(reader: FieldReader, row: dict[str, Any], key: str) -> GradeStandard:
    names = {"name", "air_cell", "haugh", "stained", "spots", "source", "grade"}
    reader.known(row, key, names)
    source, grade = read_source(reader, row, key)
    return GradeStandard(
        name=reader.text(row, "name", key),
        air_cell=_number_or_none(reader, row, "air_cell", key),
        haugh=_number(reader, row, "haugh", key),
        stained=reader.flag(row, "stained", key),
        spots=_number(reader, row, "spots", key),
        source=source,
        grade=grade,
    )


def _drinks(reader: FieldReader, row: dict[str, Any], key: str) -> DrinkStandard:
    names = {"class", "days", "low", "high", "onward", "warm", "hot", "unit", "source", "grade"}
    reader.known(row, key, names)
    unit = reader.text(row, "unit", key)
    if unit not in _UNITS:
        reader.fault(f"{key}.unit", f"{unit!r} is not known", f"one of {', '.join(_UNITS)}")
    each = _UNITS.get(unit, 1.0)
    columns = [_numbers(reader, row, name, key) for name in ("days", "low", "high")]
    days, low, high = columns
    if len({len(column) for column in columns}) > 1 or not days or list(days) != sorted(set(days)):
        reader.fault(f"{key}.days", "does not fit low and high", "give rising ages, one for each")
    hot = _numbers(reader, row, "hot", key) if "hot" in row else ()
    warm = _number(reader, row, "warm", key)
    if hot and (len(hot) != 3 or hot[0] <= warm):
        reader.fault(f"{key}.hot", "is no [degrees, low, high] above warm", "give three numbers")
    source, grade = read_source(reader, row, key)
    return DrinkStandard(
        class_=reader.text(row, "class", key),
        days=days,
        low=tuple(amount * each for amount in low),
        high=tuple(amount * each for amount in high),
        onward=reader.flag(row, "onward", key),
        warm=warm,
        hot=hot,
        source=source,
        grade=grade,
    )


def _heat(reader: FieldReader, row: dict[str, Any], key: str) -> HeatStandard:
    reader.known(
        row, key, {"name", "from_f", "jump_f", "at_sign", "do", "caution", "source", "grade"}
    )
    do = reader.texts(row, "do", key)
    if not do:
        reader.fault(f"{key}.do", "is missing", "say what is done")
    source, grade = read_source(reader, row, key)
    return HeatStandard(
        name=reader.text(row, "name", key),
        from_f=_number(reader, row, "from_f", key),
        jump_f=_number_or_none(reader, row, "jump_f", key),
        panting=reader.flag(row, "at_sign", key),
        do=do,
        caution=reader.text(row, "caution", key),
        source=source,
        grade=grade,
    )


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _number(reader: FieldReader, row: dict[str, Any], name: str, key: str) -> float:
    value = row.get(name)
    if not _is_number(value):
        reader.fault(f"{key}.{name}", "is missing or no number", "write a number")
        return 0.0
    return float(row[name])


def _number_or_none(reader: FieldReader, row: dict[str, Any], name: str, key: str) -> float | None:
    return _number(reader, row, name, key) if name in row else None


def _numbers(reader: FieldReader, row: dict[str, Any], name: str, key: str) -> tuple[float, ...]:
    value = row.get(name)
    if not isinstance(value, list) or not all(_is_number(item) for item in value):
        reader.fault(f"{key}.{name}", "is missing or no list of numbers", "write [1, 2]")
        return ()
    return tuple(float(item) for item in value)
