"""Where the sums of laying find their numbers."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicelog.catalogue import load_catalogue
from voicelog.catalogue.laying import load_laying, read_laying
from voicelog.errors import CatalogueError


def test_the_slot_counts_and_the_class_is_declared() -> None:
    laying = load_laying()
    catalogue = load_catalogue()
    slot = catalogue.kind(laying.kind).slot(laying.slot)
    assert slot is not None
    assert slot.type == "count"
    assert laying.class_ in {group.name for group in catalogue.classes}


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "laying.toml"
    file.write_text('count = "eggs.wings"\nclass = "dragon"\ntitle = 3\ncolour = "red"\n')
    with pytest.raises(CatalogueError) as refused:
        read_laying(file, load_catalogue())
    for told in ("eggs.wings", "dragon", "title", "colour", "unit", "basis"):
        assert told in refused.value.what
