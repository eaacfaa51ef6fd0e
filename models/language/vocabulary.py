"""The words that the recogniser knows: those of the catalogue, of the trade, and a general core."""

from __future__ import annotations

import re
from collections.abc import Iterable

from models.language.sentences import names
from voicelog.catalogue import Catalogue, expand, load_catalogue
from voicelog.catalogue.units import unit_words

_WORD = re.compile(r"[a-z]+(?:'[a-z]+)*'?")
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


def catalogue_words(catalogue: Catalogue | None = None) -> set[str]:
    """Every word that a phrase of the catalogue has."""
    known = catalogue or load_catalogue()
    notations = [form for words in known.lists.values() for form in words]
    for kind in known.kinds:
        notations += [*kind.verbs, *kind.says, *kind.about, *kind.never]
        for slot in kind.slots:
            notations += [*slot.labels, *slot.before, *slot.ask]
            notations += [form for value in slot.values for form in value.words]
    for group in (*known.classes, *known.places):
        notations += group.words
    notations += known.breeds
    return _plain_words(form for notation in notations for form in expand(notation))


def own_words() -> set[str]:
    """Words of the catalogue, units and names, and the letters."""
    written = [name for kind in ("place", "bird", "person") for name in names(kind)]
    return catalogue_words() | set(unit_words()) | _plain_words(written) | set(_LETTERS)


def _plain_words(texts: Iterable[str]) -> set[str]:
    return {word for text in texts for word in text.lower().split() if _WORD.fullmatch(word)}
