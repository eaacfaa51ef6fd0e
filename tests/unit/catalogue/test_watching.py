"""What comes due and what is warned of, as it is declared."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicelog.catalogue import load_catalogue
from voicelog.catalogue.marks import read_mark
from voicelog.catalogue.watching import load_watching, read_watching
from voicelog.errors import CatalogueError


def test_what_can_hurt_carries_its_caution() -> None:
    lines = load_watching().lines
    assert lines["kept_back"].caution == lines["hold_ends"].caution == "withdrawal"
    assert lines["test"].caution == lines["next_ground"].caution == "electric_fence"
    assert lines["deaths"].gravity == max(line.gravity for line in lines.values())


def test_every_number_names_its_source() -> None:
    assert all(number.source for number in load_watching().numbers.values())


@pytest.mark.parametrize(
    "text", ["dragon", "eggs.wings", "fence.action.painted", "supply.item.anything at all"]
)
def test_a_mark_names_what_the_catalogue_has(text: str) -> None:
    known = text.startswith("supply")
    assert (read_mark(text, load_catalogue()) is not None) is known


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "watching.toml"
    file.write_text(
        'colour = "red"\n[mark]\ncame = ["dragon"]\nwent = []\n[class]\nyoung = ["hatchling"]\n'
        '[[number]]\nname = "lead"\nvalue = "three"\nunit = "day"\nsource = "from memory"\n'
        '[[line]]\nname = "test"\nwords = "test {"\nbecause = "so"\ncaution = "shouting"\n'
        '[[line]]\nname = "test"\nwords = "again"\nbecause = "so"\ngravity = "high"\n'
    )
    with pytest.raises(CatalogueError) as refused:
        read_watching(file, load_catalogue())
    told = "colour dragon mark.went hatchling three braces shouting twice high"
    for part in told.split():
        assert part in refused.value.what
