"""The farm file: places, flocks, birds, measures and chores of one farm.

Every fault of a file is told at once, each with its key and a hint. The format is TOML; the
demonstration farm in `voicelog/demo/farm.toml` is an example of every part.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from pathlib import Path
from types import MappingProxyType

from voicelog.errors import FarmFileError
from voicelog.types import SlotValue


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A coop, pen, paddock or other place."""

    name: str
    kind: str
    also: tuple[str, ...] = ()
    sounds_like: str | None = None
    """Common words that sound as the name does, for names that are said otherwise than written."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flock:
    """A flock and how many birds it had when it was written down."""

    name: str
    class_: str
    count: int | None = None
    since: date | None = None
    hatched: date | None = None
    place: str | None = None
    also: tuple[str, ...] = ()
    sounds_like: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bird:
    """A bird with a name."""

    name: str
    flock: str | None = None
    breed: str | None = None
    also: tuple[str, ...] = ()
    sounds_like: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What a measure of this farm holds: one scoop of layer feed is 3.2 lb."""

    unit: str
    holds: str
    of: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Every:
    """How often a chore is due: a number of days, weeks or months."""

    count: int
    unit: str
    """`day`, `week` or `month`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chore:
    """Something to be done again and again."""

    record: str
    """The record kind that shows it was done."""
    places: tuple[str, ...]
    """One chore for each; empty for a chore of the whole farm."""
    every: Every
    by: time | None
    match: Mapping[str, SlotValue]
    """Slot values that the record must have."""
    words: str
    """How it is called in the list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Farm:
    """One farm."""

    name: str = "farm"
    timezone: str = "UTC"
    latitude: float | None = None
    longitude: float | None = None
    currency: str = "dollar"
    places: tuple[Place, ...] = ()
    flocks: tuple[Flock, ...] = ()
    birds: tuple[Bird, ...] = ()
    measures: tuple[Measure, ...] = ()
    chores: tuple[Chore, ...] = ()
    helpers: tuple[str, ...] = field(default=())
    """People who help, by the names used in memos."""
    helpers_sound_like: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """For helpers whose name is said otherwise than written, common words that sound so."""

    def place(self, name: str) -> Place | None:
        """The place of that name, or None."""
        return next((place for place in self.places if place.name == name), None)


EMPTY_FARM = Farm()
"""A farm about which nothing was written down."""


def load_farm(path: Path) -> Farm:
    """Read a farm file.

    Raises:
        FarmFileError: the file cannot be read, or has faults; all of them are told.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        raise FarmFileError(
            f"The farm file {path} cannot be read: {problem}.",
            kept="Nothing was changed.",
            todo="Give the path of a farm file with --farm, or make one with `voicelog farm new`.",
        ) from problem
    return read_farm(text, file=path.name)


def read_farm(text: str, *, file: str = "farm.toml") -> Farm:
    """Read the text of a farm file.

    Raises:
        FarmFileError: the text has faults; all of them are told.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise FarmFileError(
            f"The farm file {file} is not well-formed TOML: {problem}.",
            kept="Nothing was changed.",
            todo="Mend the place named and try again.",
        ) from problem
    from voicelog.farm_reading import FarmReader

    reader = FarmReader(file)
    farm = reader.farm(data)
    if reader.faults:
        lines = "\n".join(f"  {fault.line()}" for fault in reader.faults)
        count = "1 fault" if len(reader.faults) == 1 else f"{len(reader.faults)} faults"
        raise FarmFileError(
            f"The farm file {file} has {count}:\n{lines}.",
            kept="Nothing was changed.",
            todo="Mend them and run `voicelog farm check`.",
        )
    return farm
