"""The farm file: places, flocks, birds, measures and chores of one farm.

Every fault of a file is told at once, each with its key and a hint. The format is TOML; the
demonstration farm in `voicelog/demo/farm.toml` is an example of every part.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from voicelog.catalogue import Catalogue, load_catalogue
from voicelog.catalogue.faults import CatalogueFault
from voicelog.errors import FarmFileError
from voicelog.types import SlotValue, frozen_slots


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A coop, pen, paddock or other place."""

    name: str
    kind: str
    also: tuple[str, ...] = ()


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Bird:
    """A bird with a name."""

    name: str
    flock: str | None = None
    breed: str | None = None
    also: tuple[str, ...] = ()


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

    def place(self, name: str) -> Place | None:
        """The place of that name, or None."""
        return next((place for place in self.places if place.name == name), None)


EMPTY_FARM = Farm()
"""A farm about which nothing was written down."""

_EVERY = re.compile(r"(?:(\d+)\s+)?(day|week|month)s?")


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
    reader = _Reader(file, load_catalogue())
    farm = reader.farm(data)
    if reader.faults:
        lines = "\n".join(f"  {fault.line()}" for fault in reader.faults)
        raise FarmFileError(
            f"The farm file {file} has {len(reader.faults)} fault(s):\n{lines}\n",
            kept="Nothing was changed.",
            todo="Mend them and run `voicelog farm check`.",
        )
    return farm


class _Reader:
    """Reads the tables of a farm file and gathers faults instead of stopping at the first."""

    def __init__(self, file: str, catalogue: Catalogue) -> None:
        self.file = file
        self.catalogue = catalogue
        self.faults: list[CatalogueFault] = []

    def fault(self, key: str, problem: str, hint: str) -> None:
        """Note a fault and go on."""
        self.faults.append(CatalogueFault(file=self.file, key=key, problem=problem, hint=hint))

    def farm(self, data: dict[str, Any]) -> Farm:
        """The whole file."""
        self.known(data, "", _TOP)
        places = tuple(self.place(row, key) for row, key in self.rows(data, "place"))
        flocks = tuple(self.flock(row, key) for row, key in self.rows(data, "flock"))
        names = {place.name for place in places}
        self.repeated([place.name for place in places], "place")
        self.repeated([flock.name for flock in flocks], "flock")
        return Farm(
            name=self.text(data, "name", "", default="farm"),
            timezone=self.timezone(data),
            latitude=self.degrees(data, "latitude", 90),
            longitude=self.degrees(data, "longitude", 180),
            currency=self.text(data, "currency", "", default="dollar"),
            places=places,
            flocks=flocks,
            birds=tuple(self.bird(row, key) for row, key in self.rows(data, "bird")),
            measures=tuple(self.measure(row, key) for row, key in self.rows(data, "measure")),
            chores=tuple(self.chore(row, key, names) for row, key in self.rows(data, "chore")),
            helpers=self.texts(data, "helpers", ""),
        )

    def place(self, row: dict[str, Any], key: str) -> Place:
        """One `[[place]]`."""
        self.known(row, key, {"name", "kind", "also"})
        kinds = [kind.name for kind in self.catalogue.places]
        return Place(
            name=self.text(row, "name", key),
            kind=self.one_of(row, "kind", key, kinds, default="other"),
            also=self.texts(row, "also", key),
        )

    def flock(self, row: dict[str, Any], key: str) -> Flock:
        """One `[[flock]]`."""
        self.known(row, key, {"name", "class", "count", "since", "hatched", "place", "also"})
        classes = [group.name for group in self.catalogue.classes]
        return Flock(
            name=self.text(row, "name", key),
            class_=self.one_of(row, "class", key, classes, default="other"),
            count=self.whole(row, "count", key),
            since=self.day(row, "since", key),
            hatched=self.day(row, "hatched", key),
            place=self.text(row, "place", key, default="") or None,
            also=self.texts(row, "also", key),
        )

    def bird(self, row: dict[str, Any], key: str) -> Bird:
        """One `[[bird]]`."""
        self.known(row, key, {"name", "flock", "breed", "also"})
        return Bird(
            name=self.text(row, "name", key),
            flock=self.text(row, "flock", key, default="") or None,
            breed=self.text(row, "breed", key, default="") or None,
            also=self.texts(row, "also", key),
        )

    def measure(self, row: dict[str, Any], key: str) -> Measure:
        """One `[[measure]]`."""
        self.known(row, key, {"unit", "of", "holds"})
        return Measure(
            unit=self.text(row, "unit", key),
            holds=self.text(row, "holds", key),
            of=self.text(row, "of", key, default="") or None,
        )

    def chore(self, row: dict[str, Any], key: str, places: set[str]) -> Chore:
        """One `[[chore]]`."""
        self.known(row, key, {"record", "places", "every", "by", "match", "words"})
        kinds = [kind.name for kind in self.catalogue.kinds]
        record = self.one_of(row, "record", key, kinds, default=kinds[0])
        named = self.texts(row, "places", key)
        for place in named:
            if place not in places:
                hint = f"places of this farm are {', '.join(sorted(places)) or 'not given'}"
                self.fault(f"{key}.places", f"there is no place {place!r}", hint)
        kind = self.catalogue.kind(record)
        match = row.get("match", {})
        legal = {slot.name for slot in kind.slots} | {"flock"}
        for name in match:
            if name not in legal:
                hint = f"slots of {record} are {', '.join(sorted(legal))}"
                self.fault(f"{key}.match.{name}", "is no slot of that record", hint)
        return Chore(
            record=record,
            places=named,
            every=self.every(row, key),
            by=self.clock(row, "by", key),
            match=frozen_slots(match),
            words=self.text(row, "words", key, default="") or self._chore_words(record, match),
        )

    def _chore_words(self, record: str, match: Mapping[str, SlotValue]) -> str:
        said = ", ".join(str(value).replace("_", " ") for value in match.values())
        chore = self.catalogue.kind(record).chore
        return f"{chore} ({said})" if said else chore

    def every(self, row: dict[str, Any], key: str) -> Every:
        """`day`, `2 days`, `week`, `month` …"""
        text = self.text(row, "every", key, default="day")
        found = _EVERY.fullmatch(text.strip())
        if not found or int(found[1] or 1) < 1:
            hint = 'write "day", "2 days", "week" or "month"'
            self.fault(f"{key}.every", f"{text!r} is not understood", hint)
            return Every(count=1, unit="day")
        return Every(count=int(found[1] or 1), unit=found[2])

    def timezone(self, data: dict[str, Any]) -> str:
        """An IANA zone that this machine knows."""
        name = self.text(data, "timezone", "", default="UTC")
        try:
            ZoneInfo(name)
        except (ValueError, OSError, KeyError):
            self.fault("timezone", f"{name!r} is not known", 'write one like "Europe/Oslo"')
            return "UTC"
        return name

    def degrees(self, data: dict[str, Any], name: str, limit: float) -> float | None:
        """A latitude or longitude."""
        value = data.get(name)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > limit:
            self.fault(name, f"{value!r} is no such angle", f"degrees from -{limit} to {limit}")
            return None
        return float(value)

    def clock(self, row: dict[str, Any], name: str, key: str) -> time | None:
        """A time of day, as TOML time or as text."""
        value = row.get(name)
        if value is None or isinstance(value, time):
            return value
        try:
            return time.fromisoformat(str(value))
        except ValueError:
            self.fault(f"{key}.{name}", f"{value!r} is no time of day", 'write it like "07:30"')
            return None

    def rows(self, data: dict[str, Any], name: str) -> list[tuple[dict[str, Any], str]]:
        """The tables of one name, each with its key."""
        value = data.get(name, [])
        if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
            self.fault(name, "is not a list of tables", f"begin each with [[{name}]]")
            return []
        return [(row, f"{name}[{number}]") for number, row in enumerate(value, start=1)]

    def known(self, row: dict[str, Any], key: str, names: set[str]) -> None:
        """Fault every key that is not one of `names`."""
        for name in row:
            if name not in names:
                where = f"{key}.{name}" if key else name
                self.fault(where, "is not known", f"known here: {', '.join(sorted(names))}")

    def repeated(self, names: list[str], key: str) -> None:
        """Fault names given twice."""
        for name in sorted({name for name in names if name and names.count(name) > 1}):
            self.fault(key, f"{name!r} is given twice", "give each its own name")

    def text(
        self, row: dict[str, Any], name: str, key: str, *, default: str | None = None
    ) -> str:
        """A text; a fault where it is missing and has no default."""
        where = f"{key}.{name}" if key else name
        value = row.get(name, default)
        if value is None:
            self.fault(where, "is missing", "add it")
            return ""
        if not isinstance(value, str):
            self.fault(where, f"{value!r} is no text", "put it in quotes")
            return ""
        return value.strip()

    def texts(self, row: dict[str, Any], name: str, key: str) -> tuple[str, ...]:
        """A list of texts."""
        value = row.get(name, [])
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            where = f"{key}.{name}" if key else name
            self.fault(where, "is not a list of texts", f'write {name} = ["…", "…"]')
            return ()
        return tuple(value)

    def one_of(
        self, row: dict[str, Any], name: str, key: str, choices: list[str], *, default: str
    ) -> str:
        """One of the declared choices."""
        value = self.text(row, name, key)
        if value and value not in choices:
            self.fault(f"{key}.{name}", f"{value!r} is not known", f"one of {', '.join(choices)}")
        return value if value in choices else default

    def whole(self, row: dict[str, Any], name: str, key: str) -> int | None:
        """A whole number, zero or more."""
        value = row.get(name)
        if value is not None and (isinstance(value, bool) or not isinstance(value, int)):
            self.fault(f"{key}.{name}", f"{value!r} is no whole number", "write it in digits")
            return None
        if value is not None and value < 0:
            self.fault(f"{key}.{name}", f"{value} is below zero", "write how many there are")
            return None
        return value

    def day(self, row: dict[str, Any], name: str, key: str) -> date | None:
        """A date, as TOML date or as text."""
        value = row.get(name)
        try:
            return date.fromisoformat(value) if isinstance(value, str) else value
        except ValueError:
            self.fault(f"{key}.{name}", f"{value!r} is no date", "write it like 2027-03-01")
            return None


_TOP = {
    "name",
    "timezone",
    "latitude",
    "longitude",
    "currency",
    "helpers",
    "place",
    "flock",
    "bird",
    "measure",
    "chore",
}
