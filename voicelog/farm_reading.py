"""Reads the tables of a farm file and gathers faults instead of stopping at the first."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, time
from types import MappingProxyType
from typing import Any
from zoneinfo import ZoneInfo

from voicelog.catalogue import load_catalogue
from voicelog.catalogue.fields import FieldReader
from voicelog.farm import Bird, Chore, Every, Farm, Flock, Measure, Place
from voicelog.farm_agreement import tell_disagreements
from voicelog.types import SlotValue, frozen_slots

_EVERY = re.compile(r"(?:(\d+)\s+)?(day|week|month)s?")
_SOUND = re.compile(r"[A-Za-z][A-Za-z' -]*")
_TOP = {
    "name",
    "timezone",
    "latitude",
    "longitude",
    "currency",
    "helpers",
    "helpers_sound_like",
    "place",
    "flock",
    "bird",
    "measure",
    "chore",
}


class FarmReader(FieldReader):
    """Reads one farm file; `faults` holds all that was wrong in it."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.file = file
        self.catalogue = load_catalogue()

    def farm(self, data: dict[str, Any]) -> Farm:
        """The whole file."""
        self.known(data, "", _TOP)
        places = tuple(self.place(row, key) for row, key in self.rows(data, "place"))
        flocks = tuple(self.flock(row, key) for row, key in self.rows(data, "flock"))
        names = {place.name for place in places}
        self.repeated([place.name for place in places], "place")
        self.repeated([flock.name for flock in flocks], "flock")
        birds = tuple(self.bird(row, key) for row, key in self.rows(data, "bird"))
        self.repeated([bird.name for bird in birds], "bird")
        helpers = self.texts(data, "helpers", "")
        farm = Farm(
            name=self.said(data, "name", "", "farm"),
            timezone=self.timezone(data),
            latitude=self.degrees(data, "latitude", 90),
            longitude=self.degrees(data, "longitude", 180),
            currency=self.said(data, "currency", "", "dollar"),
            places=places,
            flocks=flocks,
            birds=birds,
            measures=tuple(self.measure(row, key) for row, key in self.rows(data, "measure")),
            chores=tuple(self.chore(row, key, names) for row, key in self.rows(data, "chore")),
            helpers=helpers,
            helpers_sound_like=self.helpers_sound_like(data, helpers),
        )
        tell_disagreements(farm, self.catalogue, self.fault)
        return farm

    def place(self, row: dict[str, Any], key: str) -> Place:
        """One `[[place]]`."""
        self.known(row, key, {"name", "kind", "also", "sounds_like"})
        kinds = [kind.name for kind in self.catalogue.places]
        return Place(
            name=self.text(row, "name", key),
            kind=self.one_of(row, "kind", key, kinds, default="other"),
            also=self.texts(row, "also", key),
            sounds_like=self.sounds_like(row, key),
        )

    def flock(self, row: dict[str, Any], key: str) -> Flock:
        """One `[[flock]]`."""
        keys = {"name", "class", "count", "since", "hatched", "place", "also", "sounds_like"}
        self.known(row, key, keys)
        classes = [group.name for group in self.catalogue.classes]
        return Flock(
            name=self.text(row, "name", key),
            class_=self.one_of(row, "class", key, classes, default="other"),
            count=self.whole(row, "count", key),
            since=self.day(row, "since", key),
            hatched=self.day(row, "hatched", key),
            place=self.said(row, "place", key, "") or None,
            also=self.texts(row, "also", key),
            sounds_like=self.sounds_like(row, key),
        )

    def bird(self, row: dict[str, Any], key: str) -> Bird:
        """One `[[bird]]`."""
        self.known(row, key, {"name", "flock", "breed", "also", "sounds_like"})
        return Bird(
            name=self.text(row, "name", key),
            flock=self.said(row, "flock", key, "") or None,
            breed=self.said(row, "breed", key, "") or None,
            also=self.texts(row, "also", key),
            sounds_like=self.sounds_like(row, key),
        )

    def sounds_like(self, row: dict[str, Any], key: str) -> str | None:
        """What the name of a place, flock or bird sounds like."""
        like = self.said(row, "sounds_like", key, "")
        name = row.get("name")
        self._check_sound(name if isinstance(name, str) else "", like, f"{key}.sounds_like")
        return like or None

    def helpers_sound_like(
        self, data: dict[str, Any], helpers: tuple[str, ...]
    ) -> Mapping[str, str]:
        """What the names of helpers sound like, by name."""
        table = self.table(data, "helpers_sound_like", "")
        likes = {}
        for name in table:
            key = f"helpers_sound_like.{name}"
            if name not in helpers:
                hint = f"helpers of this farm are {', '.join(sorted(helpers)) or 'not given'}"
                self.fault(key, f"there is no helper {name!r}", hint)
            likes[name] = self.said(table, name, "helpers_sound_like", "")
            self._check_sound(name, likes[name], key)
        return MappingProxyType(likes)

    def _check_sound(self, name: str, like: str, key: str) -> None:
        words = len(name.split())
        if like and not _SOUND.fullmatch(like):
            hint = 'write common words with the letters a to z, like "zan thee"'
            self.fault(key, f"{like!r} is not to be read aloud", hint)
        elif like and words > 1 and len(like.split()) != words:
            hint = f"write one for each of its {words} words; join several by hyphens"
            self.fault(key, f"{like!r} has not as many words as {name!r}", hint)

    def measure(self, row: dict[str, Any], key: str) -> Measure:
        """One `[[measure]]`."""
        self.known(row, key, {"unit", "of", "holds"})
        return Measure(
            unit=self.text(row, "unit", key),
            holds=self.text(row, "holds", key),
            of=self.said(row, "of", key, "") or None,
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
        match = self.table(row, "match", key)
        if row.get("record") != record:
            match = {}  # said of another kind than the one taken in its stead
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
            words=self.said(row, "words", key, "") or self._chore_words(record, match),
        )

    def _chore_words(self, record: str, match: Mapping[str, SlotValue]) -> str:
        said = ", ".join(str(value).replace("_", " ") for value in match.values())
        chore = self.catalogue.kind(record).chore
        return f"{chore} ({said})" if said else chore

    def table(self, row: dict[str, Any], name: str, key: str) -> dict[str, Any]:
        """A table that may be absent."""
        value = row.get(name, {})
        if not isinstance(value, dict):
            key = f"{key}.{name}".strip(".")
            self.fault(key, f"{value!r} is no table", "write { name = value }")
            return {}
        return value

    def every(self, row: dict[str, Any], key: str) -> Every:
        """`day`, `2 days`, `week`, `month` …"""
        text = self.said(row, "every", key, "day")
        found = _EVERY.fullmatch(text.strip())
        if not found or int(found[1] or 1) < 1:
            hint = 'write "day", "2 days", "week" or "month"'
            self.fault(f"{key}.every", f"{text!r} is not understood", hint)
            return Every(count=1, unit="day")
        return Every(count=int(found[1] or 1), unit=found[2])

    def timezone(self, data: dict[str, Any]) -> str:
        """An IANA zone that this machine knows."""
        name = self.said(data, "timezone", "", "UTC")
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
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if not (number and -limit <= value <= limit):  # nan lies nowhere
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

    def repeated(self, names: list[str], key: str) -> None:
        """Fault names given twice."""
        for name in sorted({name for name in names if name and names.count(name) > 1}):
            self.fault(key, f"{name!r} is given twice", "give each its own name")

    def said(self, row: dict[str, Any], name: str, key: str, default: str) -> str:
        """A text that may be absent."""
        return self.text(row, name, key).strip() if name in row else default

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
        if value is None or type(value) is date:
            return value
        try:
            return date.fromisoformat(str(value))
        except ValueError:
            self.fault(f"{key}.{name}", f"{value!r} is no date", "write it like 2027-03-01")
            return None
