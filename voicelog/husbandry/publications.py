"""Which publication the id beside a figure or an advice stands for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

from voicelog.catalogue.fields import FieldReader


def publications(source: str) -> tuple[str, ...]:
    """The publications that a source names; what names none is given as it is.

    Unit: none.
    Range: one or more.
    Source: the list carried in the package, `data/husbandry/sources.toml`; each id is graded where
        it is used, as is what comes from memory, grade M.

    Args:
        source: such as `S94, S96`, or `from memory`.
    """
    listed = listed_publications()
    named = [listed[id_] for id_ in re.findall(r"\bS\d+\b", source) if id_ in listed]
    return tuple(named) or (source,)


def listed_publications() -> Mapping[str, str]:
    """All publications by id.

    Unit: none.
    Range: every id that is cited, and no other.
    Source: the list carried in the package; an id's grade stands where it is used, grade M for
        what has none.

    Raises:
        CatalogueError: the list has faults; all of them are told.
    """
    return _read_list()


@lru_cache(maxsize=1)
def _read_list() -> Mapping[str, str]:
    reader = FieldReader()
    file = files("voicelog.catalogue") / "data" / "husbandry" / "sources.toml"
    table = reader.open(file)
    found = {id_: reader.text(table, id_, "") for id_ in table}
    reader.refuse_faults(f"The file {file.name}")
    return MappingProxyType(found)
