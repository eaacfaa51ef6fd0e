"""Names the entry of the catalogue that gives a phrase its meaning."""

from __future__ import annotations

from voicelog.catalogue import Catalogue, Kind, Slot, expand
from voicelog.understanding.lexicon import GAP, Role, Sense

_LISTED = 40
"""Letters of a notation that are shown."""


def file_of(kind: str) -> str:
    """The file of a kind of record, in the catalogue's folder."""
    return f"kinds/{kind}.toml"


def entry_of(catalogue: Catalogue, sense: Sense, words: str) -> str:
    """The file, key and notation by which words have a sense of a kind: `kinds/eggs.toml about`.

    The notation is left out where the words are said in another way than it writes them.
    """
    kind = catalogue.kind(sense.kind)
    key, notations = _listed(kind, sense)
    found = next((each for each in notations if words in _forms(each)), "")
    shown = found if len(found) <= _LISTED else f"{found[:_LISTED]}…"
    return f"{file_of(kind.name)} {key}" + (f": {shown}" if shown else "")


def _forms(notation: str) -> set[str]:
    return {" ".join(word for word in form.split() if word != GAP) for form in expand(notation)}


def _listed(kind: Kind, sense: Sense) -> tuple[str, tuple[str, ...]]:
    by_role = {
        Role.VERB: ("verbs", kind.verbs),
        Role.STRONG_VERB: ("strong_verbs", kind.strong_verbs),
        Role.SAYS: ("says", kind.says),
        Role.ABOUT: ("about", kind.about),
    }
    if sense.role in by_role:
        return by_role[sense.role]
    slot = kind.slot(sense.slot)
    if slot is None:
        return sense.role.value, ()
    if sense.role is Role.LABEL:
        return f"slot.{slot.name}.labels", slot.labels
    return _value(slot, sense.value)


def _value(slot: Slot, name: str) -> tuple[str, tuple[str, ...]]:
    value = slot.value_named(name)
    if value is None:
        return f"slot.{slot.name}.words_of", ()
    return f"slot.{slot.name}.values.{name}", value.words
