"""Questions for sums of the trade, read from `data/trade_questions.toml`.

A question asks for a sum where it has a phrase of every list that a rule needs and none of those
that it must not have. Memos never read these words.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from string import Formatter
from types import MappingProxyType
from typing import Any

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.loader import load_catalogue
from voicelog.catalogue.schema import Catalogue, Kind, Slot
from voicelog.catalogue.spelling import expand_all

_KEYS = {"words", "question", "slot", "value", "unit", "say"}
_RULE_KEYS = {"sum", "needs", "never", "records_first", "opens"}
MARKS = ("one", "flock", "bird", "paddock", "eaten", "young", "hours", "place")
"""What a list may hold in braces: a thing that the words of the farm or of other lists name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """How a sum is asked for."""

    sum: str
    needs: tuple[str, ...]
    """Names of lists, each of which must have a phrase in the question."""
    never: tuple[str, ...]
    """Names of lists none of which may have one."""
    opens: tuple[str, ...]
    """Names of lists one of which must begin the question; empty for any beginning."""
    records_first: tuple[str, ...]
    """Sorts of question that go first where records answer them by themselves, such as a plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotRef:
    """A slot of a kind of record."""

    kind: str
    slot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeQuestions:
    """Everything that is declared for sums of the trade that are asked for."""

    words: Mapping[str, tuple[str, ...]]
    """By name of a list: its phrases, spelt out; marks in braces."""
    rules: tuple[Rule, ...]
    """In order; the first that fits is taken."""
    slots: Mapping[str, SlotRef]
    """By what is needed of it: where the records say it."""
    values: Mapping[str, tuple[str, ...]]
    """By what they mean: values of slots, classes of birds, kinds of place."""
    units: Mapping[str, str]
    sentences: Mapping[str, str]

    def slot(self, name: str) -> SlotRef:
        """Where the records say it.

        Raises:
            KeyError: nothing of that name is declared.
        """
        return self.slots[name]

    def say(self, name: str, /, **values: object) -> str:
        """A sentence with its numbers and names filled in.

        Raises:
            KeyError: there is no such sentence, or one of its values is missing.
        """
        return self.sentences[name].format(**values)

    def fields(self, name: str) -> frozenset[str]:
        """The values that a sentence needs."""
        return _fields(self.sentences[name])


@lru_cache(maxsize=1)
def load_trade_questions() -> TradeQuestions:
    """What the package declares, read once.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    file = files("voicelog.catalogue") / "data" / "trade_questions.toml"
    return read_trade_questions(file, load_catalogue())


def read_trade_questions(file: Traversable, catalogue: Catalogue) -> TradeQuestions:
    """What a file laid out like `data/trade_questions.toml` declares.

    Raises:
        CatalogueError: the file has faults; all of them are told.
    """
    reader = FieldReader()
    data = reader.open(file)
    reader.known(data, "", _KEYS)
    words = _lists(reader, data, "words")
    for name, phrases in words.items():
        for mark in (p for p in phrases if p.startswith("{") and p[1:-1] not in MARKS):
            reader.fault(f"words.{name}", f"{mark!r} marks nothing", f"one of {', '.join(MARKS)}")
    declared = TradeQuestions(
        words=MappingProxyType({name: expand_all(phrases) for name, phrases in words.items()}),
        rules=tuple(
            _rule(reader, row, f"question[{at}]", frozenset(words))
            for at, row in enumerate(data.get("question", []), start=1)
        ),
        slots=MappingProxyType(
            {
                name: _slot(reader, catalogue, path, f"slot.{name}")
                for name, path in data.get("slot", {}).items()
            }
        ),
        values=MappingProxyType(_lists(reader, data, "value")),
        units=MappingProxyType(_texts(reader, data, "unit")),
        sentences=MappingProxyType(_texts(reader, data, "say")),
    )
    for name, text in declared.sentences.items():
        try:
            _fields(text)
        except ValueError as problem:
            reader.fault(f"say.{name}", f"cannot be filled in ({problem})", "write {name}")
    reader.refuse_faults(f"The file {file.name}")
    return declared


def kind_of(catalogue: Catalogue, at: SlotRef) -> Kind:
    """The kind of record that a reference is to."""
    return catalogue.kind(at.kind)


def slot_of(catalogue: Catalogue, at: SlotRef) -> Slot:
    """The slot that a reference is to; the file was refused where there is none.

    Raises:
        KeyError: the catalogue is another than the file was read with.
    """
    found = catalogue.kind(at.kind).slot(at.slot)
    if found is None:
        raise KeyError(f"{at.kind}.{at.slot}")
    return found


def _fields(text: str) -> frozenset[str]:
    return frozenset(name for _, name, _, _ in Formatter().parse(text) if name)


def _rule(reader: FieldReader, row: dict[str, Any], key: str, lists: frozenset[str]) -> Rule:
    reader.known(row, key, _RULE_KEYS)
    needs, never, opens = (reader.texts(row, part, key) for part in ("needs", "never", "opens"))
    for name in (*needs, *never, *opens):
        if name not in lists:
            reader.fault(key, f"{name!r} is no list of words", "declare it under words")
    if not needs:
        reader.fault(f"{key}.needs", "is empty", "name the lists that the question must have")
    return Rule(
        sum=reader.text(row, "sum", key),
        needs=needs,
        never=never,
        opens=opens,
        records_first=reader.texts(row, "records_first", key),
    )


def _slot(reader: FieldReader, catalogue: Catalogue, path: str, key: str) -> SlotRef:
    kind, _, slot = path.partition(".")
    if not catalogue.has_kind(kind) or catalogue.kind(kind).slot(slot) is None:
        reader.fault(key, f"{path!r} is no slot", "write kind.slot")
    return SlotRef(kind=kind, slot=slot)


def _lists(reader: FieldReader, data: dict[str, Any], table: str) -> dict[str, tuple[str, ...]]:
    rows = data.get(table, {})
    return {name: reader.texts(rows, name, table) for name in rows}


def _texts(reader: FieldReader, data: dict[str, Any], table: str) -> dict[str, str]:
    rows = data.get(table, {})
    return {name: reader.text(rows, name, table) for name in rows}
