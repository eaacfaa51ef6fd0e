"""Birds whose eggs are set, and the days they take, read from `data/husbandry/species.toml`."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.spelling import expand_all
from voicelog.catalogue.stated import read_source

_KEYS = {
    "words", "hatch", "last_turn", "source", "grade", "candle", "candle_source", "candle_grade",
    "note",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Species:
    """How long the eggs of a sort of bird take; the day of setting is day 0."""

    name: str
    words: tuple[str, ...]
    """Notations of the words that say it."""
    hatch: tuple[int, int]
    """First and last day on which the sources have it hatch."""
    last_turn: tuple[int, int]
    """First and last day that the sources give for the last turning."""
    source: str
    grade: str
    candle: tuple[int, ...]
    """Days for holding eggs against a light."""
    candle_source: str
    candle_grade: str
    note: str

    def said_as(self, word: str) -> bool:
        """Whether a word says this sort of bird."""
        return word.strip().casefold() in (self.name, *expand_all(self.words))


@lru_cache(maxsize=1)
def load_species() -> tuple[Species, ...]:
    """What the package states, read once; the commonest first.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    return read_species(files("voicelog.catalogue") / "data" / "husbandry" / "species.toml")


def read_species(file: Traversable) -> tuple[Species, ...]:
    """What a file laid out like `data/husbandry/species.toml` states.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    rows = reader.open(file)
    found = tuple(_species(reader, name, row) for name, row in rows.items())
    reader.refuse_faults(f"The file {file.name}")
    return found


def _species(reader: FieldReader, name: str, row: dict[str, Any]) -> Species:
    reader.known(row, name, _KEYS)
    source, grade = read_source(reader, row, name)
    candle = {"source": row.get("candle_source"), "grade": row.get("candle_grade")}
    candle_source, candle_grade = read_source(reader, candle, f"{name}.candle")
    days = _days(reader, row, "candle", name)
    hatch, turn = _days(reader, row, "hatch", name), _days(reader, row, "last_turn", name)
    if len(hatch) != 2 or len(turn) != 2 or not days:
        reader.fault(name, "lacks days", "write hatch and last_turn as [first, last], candle")
        hatch = turn = (0, 0)
    if [*days, hatch[0]] != sorted({*days, hatch[0]}) or turn[1] > hatch[1] or turn[0] > hatch[0]:
        reader.fault(name, "its days run backwards", "candle, last_turn, then hatch")
    return Species(
        name=name,
        words=reader.texts(row, "words", name),
        hatch=(hatch[0], hatch[1]),
        last_turn=(turn[0], turn[1]),
        source=source,
        grade=grade,
        candle=days,
        candle_source=candle_source,
        candle_grade=candle_grade,
        note=row.get("note", ""),
    )


def _days(reader: FieldReader, row: dict[str, Any], name: str, key: str) -> tuple[int, ...]:
    value = row.get(name)
    if not isinstance(value, list) or not all(type(day) is int and day >= 0 for day in value):
        reader.fault(f"{key}.{name}", f"{value!r} are no days", "write them as [7, 14]")
        return ()
    return tuple(value)
