"""Where the sums of laying find their numbers, read from `data/laying.toml`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.loader import load_catalogue
from voicelog.catalogue.schema import Catalogue

_KEYS = {"count", "class", "title", "each", "unit", "basis"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Laying:
    """Which slot and which birds the rate of lay is about, and what it is called."""

    kind: str
    slot: str
    """Counts what was laid."""
    class_: str
    """The class of birds that lay."""
    title: str
    each: str
    """One thing that is laid."""
    unit: str
    """One bird alive on one day."""
    basis: str
    """Where the number of birds comes from."""


@lru_cache(maxsize=1)
def load_laying() -> Laying:
    """What the package declares, read once.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    return read_laying(files("voicelog.catalogue") / "data" / "laying.toml", load_catalogue())


def read_laying(file: Traversable, catalogue: Catalogue) -> Laying:
    """What a file laid out like `data/laying.toml` declares.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    table = reader.open(file)
    reader.known(table, "", _KEYS)
    said = {key: reader.text(table, key, "") for key in sorted(_KEYS)}
    kind, _, slot = said["count"].partition(".")
    if not catalogue.has_kind(kind) or catalogue.kind(kind).slot(slot) is None:
        reader.fault("count", f"{said['count']!r} is no slot", "write kind.slot")
    classes = [group.name for group in catalogue.classes]
    if said["class"] not in classes:
        reader.fault("class", f"{said['class']!r} is no class", f"one of {', '.join(classes)}")
    reader.refuse_faults(f"The file {file.name}")
    return Laying(
        kind=kind,
        slot=slot,
        class_=said["class"],
        title=said["title"],
        each=said["each"],
        unit=said["unit"],
        basis=said["basis"],
    )
