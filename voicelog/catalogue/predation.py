"""What animals leave behind and what keeps them out, read from `data/husbandry/predators.toml`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.loader import load_catalogue
from voicelog.catalogue.schema import Catalogue
from voicelog.catalogue.stated import Advice, read_advice, read_source

_KEYS = {"ask", "sign", "suspect", "keep_out", "protection"}
_SUSPECT_KEYS = {
    "title", "typical", "possible", "against", "signature", "limits", "source", "grade",
    "protected",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class PredatorSign:
    """One thing that was found, seen or left behind."""

    name: str
    group: str
    title: str
    words: tuple[str, ...]
    """Notations of phrases that say it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """An animal that kills or takes birds, and what it leaves."""

    name: str
    title: str
    typical: tuple[str, ...]
    """Names of the signs that the sources give for it."""
    possible: tuple[str, ...]
    """Names of signs that fit it as well."""
    against: tuple[str, ...]
    """Names of signs that speak against it."""
    signature: str
    """What the sources describe."""
    limits: str
    """What it is mistaken for."""
    source: str
    grade: str
    protected: bool
    """By federal law; others may be by a state's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Predation:
    """Everything that is stated about animals that take birds."""

    questions: tuple[tuple[str, str], ...]
    """Group of signs, and the question that they answer."""
    signs: tuple[PredatorSign, ...]
    suspects: tuple[Suspect, ...]
    keep_out: tuple[tuple[tuple[str, ...], Advice], ...]
    """Names of the animals, empty for all, and what keeps them out."""
    protection: tuple[tuple[tuple[str, ...], Advice], ...]
    """Names of the animals, and what the law says."""


@lru_cache(maxsize=1)
def load_predation() -> Predation:
    """What the package states, read once.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    file = files("voicelog.catalogue") / "data" / "husbandry" / "predators.toml"
    return read_predation(file, load_catalogue())


def read_predation(file: Traversable, catalogue: Catalogue) -> Predation:
    """What a file laid out like `data/husbandry/predators.toml` states.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    table = reader.open(file)
    reader.known(table, "", _KEYS)
    asked = table.get("ask", {})
    questions = tuple((group, reader.text(asked, group, "ask")) for group in asked)
    signs = tuple(
        _sign(reader, name, row, set(asked)) for name, row in table.get("sign", {}).items()
    )
    known = {sign.name for sign in signs}
    predation = Predation(
        questions=questions,
        signs=signs,
        suspects=tuple(
            _suspect(reader, name, row, known) for name, row in table.get("suspect", {}).items()
        ),
        keep_out=_told(reader, table, "keep_out", catalogue),
        protection=_told(reader, table, "protection", catalogue),
    )
    reader.refuse_faults(f"The file {file.name}")
    return predation


def _sign(reader: FieldReader, name: str, row: dict[str, Any], groups: set[str]) -> PredatorSign:
    key = f"sign.{name}"
    reader.known(row, key, {"group", "title", "words"})
    group = reader.text(row, "group", key)
    if group not in groups:
        reader.fault(f"{key}.group", f"{group!r} answers no question", "see ask")
    return PredatorSign(
        name=name,
        group=group,
        title=reader.text(row, "title", key),
        words=reader.texts(row, "words", key),
    )


def _suspect(reader: FieldReader, name: str, row: dict[str, Any], known: set[str]) -> Suspect:
    key = f"suspect.{name}"
    reader.known(row, key, _SUSPECT_KEYS)
    typical, possible, against = (
        reader.texts(row, sort, key) for sort in ("typical", "possible", "against")
    )
    listed = (*typical, *possible, *against)
    for sign in sorted(set(listed) - known):
        reader.fault(key, f"{sign!r} is no sign", "declare it under sign")
    for sign in sorted({sign for sign in listed if listed.count(sign) > 1}):
        reader.fault(key, f"{sign!r} stands twice", "write it once")
    source, grade = read_source(reader, row, key)
    return Suspect(
        name=name,
        title=reader.text(row, "title", key),
        typical=typical,
        possible=possible,
        against=against,
        signature=reader.text(row, "signature", key),
        limits=reader.text(row, "limits", key),
        source=source,
        grade=grade,
        protected=reader.flag(row, "protected", key),
    )


def _told(
    reader: FieldReader, table: dict[str, Any], name: str, catalogue: Catalogue
) -> tuple[tuple[tuple[str, ...], Advice], ...]:
    """Rows of advice, each with the names of the animals that it is about."""
    told = []
    for at, row in enumerate(table.get(name, []), start=1):
        key = f"{name}[{at}]"
        rest = {field: value for field, value in row.items() if field != "of"}
        told.append((reader.texts(row, "of", key), read_advice(reader, rest, key, catalogue)))
    return tuple(told)
