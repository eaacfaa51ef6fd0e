"""What questions need to know of the kinds of record, read from `data/asking.toml`.

The words of memos serve questions too; here stands only what no memo needs: what one of a
count is called, what the opposite of a state is.
"""

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

_LISTS = ("identity", "everywhere", "of_birds", "nameless")
_KEYS = {*_LISTS, "whereabouts", "counted", "listed", "general", "state", "withheld"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """One side of a state."""

    values: tuple[str, ...]
    """Values of the slot that begin it."""
    words: tuple[str, ...]
    """Further words that say it in a question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """A slot whose newest value says how things stand."""

    kind: str
    slot: str
    holds: tuple[Holding, ...]
    """Each excludes the others."""

    def holding(self, value: str) -> Holding | None:
        """The side that a value begins, or None."""
        return next((side for side in self.holds if value in side.values), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Withheld:
    """Where the days are said for which food is kept back."""

    kind: str
    days: str
    """The slot that holds the days by the label."""
    what: str
    """The slot that says what was given."""
    course: str
    """The slot that says for how many days it is given."""
    produce: str
    """What is kept back, in the plural."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """Everything that is declared for questions alone."""

    newest: frozenset[tuple[str, str]]
    """Kind and slot of what does not add up, such as readings: the newest counts."""
    identity: frozenset[tuple[str, str]]
    """Kind and slot that tell one piece of work from another."""
    everywhere: frozenset[str]
    """Kinds whose records without place and flock speak of the whole farm."""
    of_birds: frozenset[str]
    """Kinds of which "who" asks for birds."""
    nameless: frozenset[str]
    """Values that name nothing."""
    whereabouts: Mapping[str, str]
    """By kind: the slot that says where a thing stands from then on."""
    counted: Mapping[tuple[str, str], str]
    """By kind and slot: one thing of what is counted."""
    listed: Mapping[str, str]
    """By kind: the slot listed where nothing else is asked for."""
    general: Mapping[str, tuple[str, ...]]
    """By kind: notations of words that name the kind as a whole."""
    states: tuple[State, ...]
    withheld: Withheld

    def state_of(self, kind: str, slot: str) -> State | None:
        """The state that a slot says, or None."""
        return next((s for s in self.states if (s.kind, s.slot) == (kind, slot)), None)


@lru_cache(maxsize=1)
def load_asking() -> Asking:
    """What the package declares for questions, read once.

    Raises:
        CatalogueError: the data have faults; all of them are told.
    """
    return read_asking(files("voicelog.catalogue") / "data" / "asking.toml", load_catalogue())


def read_asking(file: Traversable, catalogue: Catalogue) -> Asking:
    """What a file laid out like `data/asking.toml` declares.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    data = reader.open(file)
    reader.known(data, "", _KEYS)
    names = _Names(reader, catalogue)
    asking = Asking(
        newest=frozenset(
            (kind.name, slot.name)
            for kind in catalogue.kinds
            for slot in kind.slots
            if not slot.adds_up
        ),
        identity=frozenset(names.slots(data, "identity")),
        everywhere=frozenset(names.kinds(reader.texts(data, "everywhere", ""), "everywhere")),
        of_birds=frozenset(names.kinds(reader.texts(data, "of_birds", ""), "of_birds")),
        nameless=frozenset(reader.texts(data, "nameless", "")),
        whereabouts=names.slot_by_kind(data, "whereabouts"),
        counted=MappingProxyType(
            {names.slot(name, "counted"): noun for name, noun in data.get("counted", {}).items()}
        ),
        listed=names.slot_by_kind(data, "listed"),
        general=MappingProxyType(
            {kind: tuple(words) for kind, words in data.get("general", {}).items()}
        ),
        states=tuple(names.state(row, f"state[{at}]") for at, row in enumerate(
            data.get("state", []), start=1)),
        withheld=names.withheld(data.get("withheld", {})),
    )  # fmt: skip
    names.kinds(tuple(asking.general), "general")
    reader.refuse_faults(f"The file {file.name}")
    return asking


class _Names:
    """Reads names of kinds and slots, and faults those that the catalogue does not have."""

    def __init__(self, reader: FieldReader, catalogue: Catalogue) -> None:
        self.reader = reader
        self.catalogue = catalogue

    def kinds(self, names: tuple[str, ...], key: str) -> tuple[str, ...]:
        for name in names:
            if not self.catalogue.has_kind(name):
                self.reader.fault(key, f"{name!r} is no kind of record", "name one")
        return names

    def slot(self, name: str, key: str) -> tuple[str, str]:
        kind, _, slot = name.partition(".")
        if not self.catalogue.has_kind(kind) or self.catalogue.kind(kind).slot(slot) is None:
            self.reader.fault(key, f"{name!r} is no slot", "write kind.slot")
        return kind, slot

    def slots(self, data: dict[str, Any], key: str) -> list[tuple[str, str]]:
        return [self.slot(name, key) for name in self.reader.texts(data, key, "")]

    def slot_by_kind(self, data: dict[str, Any], key: str) -> Mapping[str, str]:
        return MappingProxyType(dict(
            self.slot(f"{kind}.{slot}", key) for kind, slot in data.get(key, {}).items()
        ))  # fmt: skip

    def state(self, row: dict[str, Any], key: str) -> State:
        kind, slot = self.slot(self.reader.text(row, "slot", key), key)
        return State(
            kind=kind,
            slot=slot,
            holds=tuple(
                Holding(
                    values=self.reader.texts(side, "values", key),
                    words=self.reader.texts(side, "words", key),
                )
                for side in row.get("holds", [])
            ),
        )

    def withheld(self, row: dict[str, Any]) -> Withheld:
        kind, days = self.slot(self.reader.text(row, "days", "withheld"), "withheld.days")
        return Withheld(
            kind=kind,
            days=days,
            what=self.slot(self.reader.text(row, "what", "withheld"), "withheld.what")[1],
            course=self.slot(self.reader.text(row, "course", "withheld"), "withheld.course")[1],
            produce=self.reader.text(row, "produce", "withheld"),
        )
