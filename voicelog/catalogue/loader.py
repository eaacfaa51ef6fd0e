"""Reads the catalogue's data files and tells every fault at once.

data/kinds/*.toml    one kind of record each
data/units.toml      units (read by `units.py`)
data/trade.toml      classes of birds, kinds of place, breeds, spoken letters, misheard words
data/discourse.toml  words that steer a memo: negation, plans, corrections, instructions
data/questions.toml  words that make a question and say which sort it is
data/cautions.toml   cautions with their sources
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache, partial
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any

from voicelog.catalogue.fields import FieldReader
from voicelog.catalogue.schema import (
    Catalogue,
    Caution,
    FlockClass,
    Implies,
    Kind,
    PlaceKind,
    Slot,
    SlotType,
    SlotValue,
    Tells,
)
from voicelog.catalogue.units import load_units

_KIND_KEYS = {
    "kind", "title", "chore", "verbs", "strong_verbs", "says", "about", "never", "main", "needs",
    "per_place", "flock_subject", "repeats", "generic", "caution", "caution_where", "slot",
    "implies", "birds_help", "flocks_help", "about_places", "names_none", "places_help",
    "needs_about", "needs_action", "needs_one", "takes_list", "not_at", "only_seen", "counts_at",
}  # fmt: skip
_IMPLIES_KEYS = {
    "only_where", "takes", "needs", "sets", "copies", "counts", "needs_birds", "keeps_birds",
}  # fmt: skip
_SLOT_KEYS = {
    "type", "tells", "title", "values", "alone", "helps", "only_fills", "labels", "dimensions",
    "unit", "before", "needs_before", "needs_label", "as_said", "singular", "article_counts",
    "at_most_birds", "from_place", "shared_unit", "also_main", "counts_others", "not_carried",
    "stays", "means_beside",
    "means", "implied_by", "words_of", "object_of_verb", "place_kinds", "low", "high", "ask",
    "adds_up",
}  # fmt: skip


@lru_cache(maxsize=1)
def load_catalogue() -> Catalogue:
    """The catalogue carried in the package, read once.

    Raises:
        CatalogueError: the data have faults; all of them are told.
    """
    return read_catalogue(files("voicelog.catalogue") / "data")


def read_catalogue(folder: Traversable) -> Catalogue:
    """The catalogue of a folder laid out like `data/`.

    Raises:
        CatalogueError: the data have faults; all of them are told.
    """
    reader = FieldReader()
    kinds = tuple(
        _kind(reader, file)
        for file in sorted((folder / "kinds").iterdir(), key=lambda file: file.name)
        if file.name.endswith(".toml")
    )
    trade = reader.open(folder / "trade.toml")
    classes = tuple(
        FlockClass(
            name=name,
            word=reader.text(row, "word", f"class.{name}"),
            words=reader.texts(row, "words", f"class.{name}"),
        )
        for name, row in trade.get("class", {}).items()
    )
    cautions = reader.open(folder / "cautions.toml")
    catalogue = Catalogue(
        kinds=kinds,
        units=load_units(),
        cautions=tuple(
            Caution(
                name=name,
                text=reader.text(row, "text", name),
                source=reader.text(row, "source", name),
            )
            for name, row in cautions.items()
        ),
        classes=classes,
        places=tuple(
            PlaceKind(name=name, words=tuple(words))
            for name, words in trade.get("place", {}).items()
        ),
        places_alone=tuple(trade.get("place_words", {}).get("alone", ())),
        places_unnamed=tuple(trade.get("place_words", {}).get("unnamed", ())),
        places_described=tuple(trade.get("place_words", {}).get("described", ())),
        breeds=tuple(trade.get("breeds", ())),
        letters=_lists(trade.get("letters", {})),
        misheard=_lists(trade.get("misheard", {})),
        read_lists=cache(partial(read_word_lists, folder)),
    )
    _check_across(reader, catalogue)
    reader.refuse_faults("The catalogue")
    return catalogue


def read_word_lists(folder: Traversable) -> Mapping[str, tuple[str, ...]]:
    """The word lists of a folder by name; no two of its files may use the same.

    Raises:
        CatalogueError: the lists have faults; all of them are told.
    """
    reader = FieldReader()
    found: dict[str, tuple[str, ...]] = {}
    for name in ("discourse.toml", "questions.toml"):
        table = reader.open(folder / name)
        for twice in sorted(found.keys() & table.keys()):
            reader.fault(twice, "is a list of another file", "give each list its own name")
        found |= {key: reader.texts(table, key, "") for key in table}
    reader.refuse_faults("The word lists")
    return MappingProxyType(found)


def _lists(table: Mapping[str, Any]) -> Mapping[str, tuple[str, ...]]:
    return MappingProxyType({name: tuple(words) for name, words in table.items()})


def _kind(reader: FieldReader, file: Traversable) -> Kind:
    data = reader.open(file)
    reader.known(data, "", _KIND_KEYS)
    slots = data.get("slot", {})
    kind = Kind(
        name=reader.text(data, "kind", ""),
        title=reader.text(data, "title", ""),
        chore=reader.text(data, "chore", ""),
        verbs=reader.texts(data, "verbs", ""),
        strong_verbs=reader.texts(data, "strong_verbs", ""),
        says=reader.texts(data, "says", ""),
        about=reader.texts(data, "about", ""),
        never=reader.texts(data, "never", ""),
        slots=tuple(_slot(reader, name, row) for name, row in slots.items()),
        main=data.get("main"),
        needs=reader.texts(data, "needs", ""),
        per_place=reader.flag(data, "per_place", ""),
        flock_subject=reader.flag(data, "flock_subject", ""),
        repeats=reader.flag(data, "repeats", ""),
        counts_at=reader.texts(data, "counts_at", ""),
        generic=reader.flag(data, "generic", ""),
        caution=data.get("caution"),
        caution_where=_lists(data.get("caution_where", {})),
        names_none=reader.flag(data, "names_none", ""),
        places_help=data.get("places_help"),
        not_at=reader.texts(data, "not_at", ""),
        takes_list=reader.flag(data, "takes_list", ""),
        needs_one=reader.texts(data, "needs_one", ""),
        needs_action=reader.flag(data, "needs_action", ""),
        needs_about=reader.flag(data, "needs_about", ""),
        only_seen=reader.flag(data, "only_seen", ""),
        birds_help=data.get("birds_help"),
        flocks_help=data.get("flocks_help"),
        about_places=reader.texts(data, "about_places", ""),
        implies=tuple(_implies(reader, name, row) for name, row in data.get("implies", {}).items()),
    )
    helping = (kind.birds_help, kind.flocks_help, kind.places_help)
    for key, names in (
        ("main", (kind.main,)), ("needs", kind.needs), ("birds_help", helping[:1]),
        ("flocks_help", helping[1:2]), ("places_help", helping[2:]),
    ):  # fmt: skip
        for name in names:
            if name is not None and kind.slot(name) is None:
                reader.fault(key, f"{name!r} is no slot of {kind.name}", "name one of its slots")
    return kind


def _implies(reader: FieldReader, name: str, row: dict[str, Any]) -> Implies:
    key = f"implies.{name}"
    reader.known(row, key, _IMPLIES_KEYS)
    return Implies(
        kind=name,
        only_where=MappingProxyType(dict(row.get("only_where", {}))),
        takes=reader.texts(row, "takes", key),
        needs=reader.texts(row, "needs", key),
        sets=MappingProxyType(dict(row.get("sets", {}))),
        copies=MappingProxyType(dict(row.get("copies", {}))),
        counts=row.get("counts", ""),
        needs_birds=reader.flag(row, "needs_birds", key),
        keeps_birds=reader.flag(row, "keeps_birds", key),
    )


def _slot(reader: FieldReader, name: str, row: dict[str, Any]) -> Slot:
    key = f"slot.{name}"
    reader.known(row, key, _SLOT_KEYS)
    tells = reader.choice(row, "tells", key, Tells, Tells.HELPS)
    special = {value: Tells(how) for how in Tells for value in reader.texts(row, how.value, key)}
    values = row.get("values", {})
    for value in special:
        if value not in values:
            reader.fault(key, f"{value!r} is no value of the slot", "declare it under values")
    return Slot(
        name=name,
        type=reader.choice(row, "type", key, SlotType, SlotType.WORDS),
        tells=tells,
        title=reader.text(row, "title", key),
        values=tuple(
            SlotValue(
                name=value,
                words=reader.texts(values, value, f"{key}.values"),
                tells=special.get(value, tells),
            )
            for value in values
        ),
        labels=reader.texts(row, "labels", key),
        dimensions=reader.texts(row, "dimensions", key),
        unit=row.get("unit"),
        before=reader.texts(row, "before", key),
        needs_before=reader.flag(row, "needs_before", key),
        needs_label=reader.flag(row, "needs_label", key),
        as_said=reader.flag(row, "as_said", key),
        singular=reader.flag(row, "singular", key),
        at_most_birds=reader.flag(row, "at_most_birds", key),
        article_counts=reader.flag(row, "article_counts", key),
        means=MappingProxyType(dict(row.get("means", {}))),
        means_beside=reader.texts(row, "means_beside", key),
        implied_by=MappingProxyType(dict(row.get("implied_by", {}))),
        words_of=reader.texts(row, "words_of", key),
        also_main=reader.flag(row, "also_main", key),
        shared_unit=reader.flag(row, "shared_unit", key),
        counts_others=reader.flag(row, "counts_others", key),
        not_carried=reader.flag(row, "not_carried", key),
        stays=reader.flag(row, "stays", key),
        from_place=reader.flag(row, "from_place", key),
        object_of_verb=reader.flag(row, "object_of_verb", key),
        place_kinds=reader.texts(row, "place_kinds", key),
        low=row.get("low"),
        high=row.get("high"),
        ask=reader.texts(row, "ask", key),
        adds_up=reader.flag(row, "adds_up", key, default=True),
    )


def _check_across(reader: FieldReader, catalogue: Catalogue) -> None:
    """What one file says of another's names."""
    cautions = {caution.name for caution in catalogue.cautions}
    dimensions = {unit.dimension for unit in catalogue.units}
    places = {place.name for place in catalogue.places}
    for kind in catalogue.kinds:
        reader.file = f"kinds/{kind.name}.toml"
        if catalogue.kind(kind.name) is not kind:
            reader.fault("kind", f"{kind.name!r} is given twice", "give each its own name")
        for implies in kind.implies:
            if not catalogue.has_kind(implies.kind):
                hint = "name a kind of record"
                reader.fault("implies", f"{implies.kind!r} is no kind of record", hint)
        if kind.caution and kind.caution not in cautions:
            reader.fault("caution", f"{kind.caution!r} is not declared", "see cautions.toml")
        for slot in kind.slots:
            for path in slot.words_of:
                if not _is_slot(catalogue, path):
                    key = f"slot.{slot.name}.words_of"
                    reader.fault(key, f"{path!r} is no slot", "write kind.slot")
            for dimension in slot.dimensions:
                if dimension not in dimensions:
                    hint = f"one of {', '.join(sorted(dimensions))}"
                    reader.fault(f"slot.{slot.name}.dimensions", f"no {dimension!r}", hint)
            for place in slot.place_kinds:
                if place not in places:
                    hint = f"one of {', '.join(sorted(places))}"
                    reader.fault(f"slot.{slot.name}.place_kinds", f"no {place!r}", hint)


def _is_slot(catalogue: Catalogue, path: str) -> bool:
    kind, _, slot = path.partition(".")
    return catalogue.has_kind(kind) and catalogue.kind(kind).slot(slot) is not None
