"""The declared trade: kinds of record, their slots, and every word that says them.

`load_catalogue()` gives the whole as frozen values (`schema.py`). The data are TOML files in
`data/`; adding a kind of record is one file in `data/kinds/`.
"""

from __future__ import annotations

from voicelog.catalogue.loader import load_catalogue
from voicelog.catalogue.schema import (
    Catalogue,
    Caution,
    FlockClass,
    Kind,
    PlaceKind,
    Slot,
    SlotType,
    SlotValue,
    Tells,
)
from voicelog.catalogue.spelling import expand, expand_all

__all__ = [
    "Catalogue",
    "Caution",
    "FlockClass",
    "Kind",
    "PlaceKind",
    "Slot",
    "SlotType",
    "SlotValue",
    "Tells",
    "expand",
    "expand_all",
    "load_catalogue",
]
