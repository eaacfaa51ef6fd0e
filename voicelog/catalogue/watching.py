"""What comes due beside the chores and what is warned of, read from `data/watching.toml`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from string import Formatter
from types import MappingProxyType
from typing import Any, TypeVar

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.loader import load_catalogue
from voicelog.catalogue.marks import Mark, read_mark
from voicelog.catalogue.schema import Catalogue
from voicelog.types import Draft, SlotValue

_KEYS = {"mark", "class", "number", "line"}
_NUMBER_KEYS = {"name", "value", "unit", "source", "note"}
_LINE_KEYS = {"name", "words", "because", "caution", "gravity"}
_Row = TypeVar("_Row")


@dataclass(frozen=True, slots=True, kw_only=True)
class Decider:
    """A number that decides, and where it comes from."""

    value: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """How something is told."""

    words: str
    because: str
    caution: str | None
    """Name of the catalogue's caution that goes with it."""
    gravity: int
    """Of several warnings the one with the highest is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watching:
    """Everything that the file declares, by name."""

    marks: Mapping[str, tuple[Mark, ...]]
    classes: Mapping[str, tuple[str, ...]]
    numbers: Mapping[str, Decider]
    lines: Mapping[str, Line]

    def days(self, name: str) -> int:
        """A number of days."""
        return round(self.numbers[name].value)

    def says(self, name: str, draft: Draft) -> bool:
        """Whether a record says one of the marks of that name."""
        return any(mark.on(draft) for mark in self.marks[name])

    def said(self, name: str, draft: Draft) -> SlotValue | None:
        """The value that a record has in a slot of that name; None where it has none."""
        slots = (m.slot for m in self.marks[name] if m.slot and m.kind == draft.kind)
        return next((draft.slots[slot] for slot in slots if slot in draft.slots), None)

    def kinds(self, *names: str) -> tuple[str, ...]:
        """The kinds of record that the marks of these names are of, each once."""
        return tuple(dict.fromkeys(mark.kind for name in names for mark in self.marks[name]))


@lru_cache(maxsize=1)
def load_watching() -> Watching:
    """What the package declares, read once.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    return read_watching(files("voicelog.catalogue") / "data" / "watching.toml", load_catalogue())


def read_watching(file: Traversable, catalogue: Catalogue) -> Watching:
    """What a file laid out like `data/watching.toml` declares.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    table = reader.open(file)
    reader.known(table, "", _KEYS)
    marks, classes = table.get("mark", {}), table.get("class", {})
    watching = Watching(
        marks=MappingProxyType(
            {name: _marks(reader, marks, name, catalogue) for name in sorted(marks)}
        ),
        classes=MappingProxyType(
            {name: _classes(reader, classes, name, catalogue) for name in sorted(classes)}
        ),
        numbers=_rows(reader, table, "number", _number),
        lines=_rows(reader, table, "line", lambda r, row, key: _line(r, row, key, catalogue)),
    )
    reader.refuse_faults(f"The file {file.name}")
    return watching


def _marks(
    reader: FieldReader, row: dict[str, Any], name: str, catalogue: Catalogue
) -> tuple[Mark, ...]:
    found = []
    for text in reader.texts(row, name, "mark"):
        mark = read_mark(text, catalogue)
        if mark is None:
            reader.fault(f"mark.{name}", f"{text!r} is no mark", "write kind.slot.value")
        else:
            found.append(mark)
    if not found:
        reader.fault(f"mark.{name}", "names nothing", 'write ["kind.slot.value"]')
    return tuple(found)


def _classes(
    reader: FieldReader, row: dict[str, Any], name: str, catalogue: Catalogue
) -> tuple[str, ...]:
    known = [group.name for group in catalogue.classes]
    named = reader.texts(row, name, "class")
    for class_ in named:
        if class_ not in known:
            reader.fault(f"class.{name}", f"{class_!r} is no class", f"one of {', '.join(known)}")
    return named


def _rows(
    reader: FieldReader,
    table: dict[str, Any],
    name: str,
    read: Callable[[FieldReader, dict[str, Any], str], _Row],
) -> Mapping[str, _Row]:
    found: dict[str, _Row] = {}
    for at, row in enumerate(table.get(name, []), start=1):
        called = reader.text(row, "name", f"{name}[{at}]")
        if called in found:
            reader.fault(f"{name}[{at}].name", f"{called!r} stands twice", "name each once")
        found[called] = read(reader, row, f"{name}.{called or at}")
    return MappingProxyType(found)


def _number(reader: FieldReader, row: dict[str, Any], key: str) -> Decider:
    reader.known(row, key, _NUMBER_KEYS)
    value = row.get("value")
    if isinstance(value, bool) or not isinstance(value, int | float) or value < 0:
        reader.fault(f"{key}.value", f"{value!r} is no number", "write a number of 0 or more")
        value = 0
    return Decider(
        value=value,
        unit=reader.text(row, "unit", key),
        source=reader.text(row, "source", key),
    )


def _line(reader: FieldReader, row: dict[str, Any], key: str, catalogue: Catalogue) -> Line:
    reader.known(row, key, _LINE_KEYS)
    caution = row.get("caution")
    if caution is not None and caution not in {known.name for known in catalogue.cautions}:
        reader.fault(f"{key}.caution", f"{caution!r} is not declared", "see cautions.toml")
    texts = {name: reader.text(row, name, key) for name in ("words", "because")}
    for name, text in texts.items():
        if not _fillable(text):
            reader.fault(f"{key}.{name}", "its braces do not pair", "write {name} in braces")
    gravity = row.get("gravity", 0)
    if type(gravity) is not int or gravity < 0:
        reader.fault(f"{key}.gravity", f"{gravity!r} is no rank", "write a whole number")
        gravity = 0
    return Line(words=texts["words"], because=texts["because"], caution=caution, gravity=gravity)


def _fillable(text: str) -> bool:
    try:
        return all(field is None or field.isidentifier() for _, field, _, _ in
                   Formatter().parse(text))  # fmt: skip
    except ValueError:
        return False
