"""What the page of a report is made of, read from `data/reporting.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.loader import load_catalogue
from voicelog.catalogue.schema import Catalogue

_KEYS = {"use", "value", "section", "source", "words"}
_SECTION_KEYS = {"name", "title", "kinds", "caution"}
_SOURCE_KEYS = {"function", "ids", "rest"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """A slot that numbers of the page are read from."""

    kind: str
    slot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionWords:
    """A part of the page."""

    name: str
    title: str
    kinds: tuple[str, ...]
    """Kinds of record that it rests on."""
    caution: str | None
    """Name of the caution that is always shown with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceWords:
    """Where a published figure on the page comes from."""

    function: str
    """Of `voicelog.husbandry`."""
    ids: tuple[str, ...]
    """Publications that the function names."""
    rest: str
    """What comes from elsewhere; empty where nothing does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reporting:
    """Where the numbers of the page stand, and its words."""

    uses: Mapping[str, Use]
    values: Mapping[str, tuple[str, ...]]
    sections: tuple[SectionWords, ...]
    sources: Mapping[str, SourceWords]
    words: Mapping[str, str]

    def say(self, key: str, **fields: object) -> str:
        """A label or sentence with its fields filled in."""
        return self.words[key].format(**fields)


@lru_cache(maxsize=1)
def load_reporting() -> Reporting:
    """What the package declares, read once.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    return read_reporting(files("voicelog.catalogue") / "data" / "reporting.toml", load_catalogue())


def read_reporting(file: Traversable, catalogue: Catalogue) -> Reporting:
    """What a file laid out like `data/reporting.toml` declares.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    table = reader.open(file)
    reader.known(table, "", _KEYS)
    found = Reporting(
        uses=MappingProxyType(
            {name: _use(reader, catalogue, table, name) for name in table.get("use", {})}
        ),
        values=MappingProxyType(
            {name: reader.texts(table["value"], name, "value") for name in table.get("value", {})}
        ),
        sections=tuple(
            _section(reader, catalogue, row, f"section[{at}]")
            for at, row in enumerate(table.get("section", []), start=1)
        ),
        sources=MappingProxyType(
            {name: _source(reader, row, name) for name, row in table.get("source", {}).items()}
        ),
        words=MappingProxyType(
            {name: reader.text(table["words"], name, "words") for name in table.get("words", {})}
        ),
    )
    reader.refuse_faults(f"The file {file.name}")
    return found


def _use(reader: FieldReader, catalogue: Catalogue, table: dict[str, Any], name: str) -> Use:
    said = reader.text(table["use"], name, "use")
    kind, _, slot = said.partition(".")
    if not catalogue.has_kind(kind) or catalogue.kind(kind).slot(slot) is None:
        reader.fault(f"use.{name}", f"{said!r} is no slot", "write kind.slot")
    return Use(kind=kind, slot=slot)


def _section(
    reader: FieldReader, catalogue: Catalogue, row: dict[str, Any], key: str
) -> SectionWords:
    reader.known(row, key, _SECTION_KEYS)
    kinds = reader.texts(row, "kinds", key)
    for kind in kinds:
        if not catalogue.has_kind(kind):
            reader.fault(f"{key}.kinds", f"{kind!r} is no kind of record", "name one")
    caution = row.get("caution")
    if caution is not None and caution not in {known.name for known in catalogue.cautions}:
        reader.fault(f"{key}.caution", f"{caution!r} is not declared", "see cautions.toml")
    return SectionWords(
        name=reader.text(row, "name", key),
        title=reader.text(row, "title", key),
        kinds=kinds,
        caution=caution,
    )


def _source(reader: FieldReader, row: dict[str, Any], name: str) -> SourceWords:
    key = f"source.{name}"
    reader.known(row, key, _SOURCE_KEYS)
    rest = row.get("rest", "")
    if not isinstance(rest, str):
        reader.fault(f"{key}.rest", f"{rest!r} is no text", "write it in quotes")
    return SourceWords(
        function=reader.text(row, "function", key),
        ids=reader.texts(row, "ids", key),
        rest=str(rest),
    )
