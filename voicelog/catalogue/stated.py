"""Figures and advice of the trade with their sources, read from `data/husbandry/*.toml`.

A file holds tables of three sorts, each row named by `of` (one or more names):

    [[figure]]   of, low, high, unit, source, grade; optional: note, first_week, last_week
    [[advice]]   of, text, source, grade; optional: caution, first_day, last_day, met_by
    [[word]]     of, text: how a thing is called on screens

A source is the id of a publication, or says `common practice, no source` or `from memory`. Two
sources that disagree are two rows: nothing is averaged here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from math import isfinite
from typing import Any

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.loader import load_catalogue
from voicelog.catalogue.marks import Mark, read_mark
from voicelog.catalogue.schema import Catalogue

STATED = ("broody", "depths", "eating", "fencing", "incubator", "losses", "rearing")
"""Names of the files that are laid out so."""
FROM_MEMORY = "from memory"
COMMON_PRACTICE = "common practice, no source"
_GRADES = "ABCDM"
_ID = re.compile(r"\bS\d+\b")
_FIGURE_KEYS = {
    "of", "low", "high", "unit", "source", "grade", "note", "first_week", "last_week",
}  # fmt: skip
_ADVICE_KEYS = {"of", "text", "source", "grade", "caution", "first_day", "last_day", "met_by"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What one source gives for one thing."""

    low: float
    high: float
    """Equal to `low` where the source gives one number."""
    unit: str
    source: str
    """Id of the publication, `from memory`, or `common practice, no source`."""
    grade: str
    """A to D, or M; see `voicelog.husbandry`."""
    note: str = ""
    first_week: float | None = None
    last_week: float | None = None
    """Weeks of life for which it is given, the first one counted as 1; None without limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One thing to do or to know, with what it stands on."""

    text: str
    source: str
    grade: str
    caution: str | None = None
    """Name of the catalogue's caution that is shown with it."""
    first_day: int | None = None
    last_day: int | None = None
    """Days after which it is due, where it hangs on an age."""
    met_by: Mark | None = None
    """What a record says that shows it done; None where no record can."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """What one file states."""

    figures: tuple[tuple[str, Figure], ...]
    advice: tuple[tuple[str, Advice], ...]
    words: tuple[tuple[str, str], ...]

    def figures_of(self, name: str) -> tuple[Figure, ...]:
        """What the sources give for it; empty where none is stated."""
        return tuple(figure for of, figure in self.figures if of == name)

    def advice_of(self, name: str) -> tuple[Advice, ...]:
        """What is to be done or known about it, in order; empty where nothing is stated."""
        return tuple(advice for of, advice in self.advice if of == name)

    def words_of(self, name: str) -> tuple[str, ...]:
        """How it is called; empty where nothing is stated."""
        return tuple(text for of, text in self.words if of == name)


@lru_cache(maxsize=16)
def load_stated(name: str) -> Stated:
    """What the package states in `data/husbandry/NAME.toml`, read once.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    file = files("voicelog.catalogue") / "data" / "husbandry" / f"{name}.toml"
    return read_stated(file, load_catalogue())


def read_stated(file: Traversable, catalogue: Catalogue) -> Stated:
    """What a file laid out like those of `data/husbandry/` states.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    table = reader.open(file)
    reader.known(table, "", {"figure", "advice", "word"})
    stated = Stated(
        figures=tuple(
            (name, figure)
            for at, row in enumerate(table.get("figure", []), start=1)
            for figure in [_figure(reader, row, f"figure[{at}]")]
            for name in _names(reader, row, f"figure[{at}]")
        ),
        advice=tuple(
            (name, advice)
            for at, row in enumerate(table.get("advice", []), start=1)
            for advice in [read_advice(reader, row, f"advice[{at}]", catalogue)]
            for name in _names(reader, row, f"advice[{at}]")
        ),
        words=tuple(
            (name, reader.text(row, "text", f"word[{at}]"))
            for at, row in enumerate(table.get("word", []), start=1)
            for name in _names(reader, row, f"word[{at}]")
        ),
    )
    reader.refuse_faults(f"The file {file.name}")
    return stated


def read_advice(reader: FieldReader, row: dict[str, Any], key: str, catalogue: Catalogue) -> Advice:
    """One row of advice; what is wrong with it is noted as a fault."""
    reader.known(row, key, _ADVICE_KEYS)
    caution = row.get("caution")
    if caution is not None and caution not in {known.name for known in catalogue.cautions}:
        reader.fault(f"{key}.caution", f"{caution!r} is not declared", "see cautions.toml")
    source, grade = read_source(reader, row, key)
    first, last = row.get("first_day"), row.get("last_day")
    if (first is None) is not (last is None) or (first is not None and last < first):
        reader.fault(f"{key}.first_day", "is no span", "give first_day and a last_day after it")
    return Advice(
        text=reader.text(row, "text", key),
        source=source,
        grade=grade,
        caution=caution,
        first_day=first,
        last_day=last,
        met_by=_met_by(reader, row, key, catalogue),
    )


def _met_by(
    reader: FieldReader, row: dict[str, Any], key: str, catalogue: Catalogue
) -> Mark | None:
    if "met_by" not in row:
        return None
    mark = read_mark(reader.text(row, "met_by", key), catalogue)
    if mark is None:
        reader.fault(f"{key}.met_by", f"{row['met_by']!r} is no mark", "write kind.slot.value")
    return mark


def read_source(reader: FieldReader, row: dict[str, Any], key: str) -> tuple[str, str]:
    """Source and grade of a row; a fault where it names none, or the two do not fit."""
    source, grade = reader.text(row, "source", key), reader.text(row, "grade", key)
    unnamed = source in (FROM_MEMORY, COMMON_PRACTICE)
    if not unnamed and not _ID.search(source):
        hint = f"name a publication by its id, or write {COMMON_PRACTICE!r} or {FROM_MEMORY!r}"
        reader.fault(f"{key}.source", f"{source!r} names none", hint)
    if grade not in tuple(_GRADES) or unnamed is not (grade == "M"):
        hint = f"one of {', '.join(_GRADES)}; M for what names no publication, and only there"
        reader.fault(f"{key}.grade", f"{grade!r} does not fit", hint)
    return source, grade


def _figure(reader: FieldReader, row: dict[str, Any], key: str) -> Figure:
    reader.known(row, key, _FIGURE_KEYS)
    low = _number(reader, row, "low", key)
    high = _number(reader, row, "high", key) if "high" in row else low
    if high < low:
        reader.fault(f"{key}.high", f"{high} is below {low}", "write the larger number here")
    source, grade = read_source(reader, row, key)
    return Figure(
        low=low,
        high=high,
        unit=reader.text(row, "unit", key),
        source=source,
        grade=grade,
        note=row.get("note", ""),
        first_week=row.get("first_week"),
        last_week=row.get("last_week"),
    )


def _number(reader: FieldReader, row: dict[str, Any], name: str, key: str) -> float:
    value = row.get(name)
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        reader.fault(f"{key}.{name}", f"{value!r} is no number", "write a number")
        return 0.0
    return value


def _names(reader: FieldReader, row: dict[str, Any], key: str) -> tuple[str, ...]:
    named = row.get("of")
    if isinstance(named, str) and named:
        return (named,)
    if named is None or named == []:
        reader.fault(f"{key}.of", "is missing", "name what the row is about")
        return ()
    return reader.texts(row, "of", key)
