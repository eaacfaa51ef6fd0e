"""Faults of the data are told all at once, each with its file, its key and what would be right."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from voicelog.catalogue import loader
from voicelog.catalogue.loader import read_catalogue
from voicelog.errors import CatalogueError

DATA = Path(loader.__file__).with_name("data")
MOWING = """
kind = "mowing"
title = "mowing"
chore = "mow"
says = ["mow~"]
[slot.height]
type = "quantity"
title = "height"
dimensions = ["length"]
"""


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A copy of the data, to be damaged."""
    return shutil.copytree(DATA, tmp_path / "data")


@pytest.fixture
def told(data: Path) -> Callable[[str], list[str]]:
    """The lines told about a kind's file with such a text."""

    def faults(text: str) -> list[str]:
        (data / "kinds" / "mowing.toml").write_text(text, encoding="utf-8")
        with pytest.raises(CatalogueError) as refused:
            read_catalogue(data)
        return [line.strip() for line in refused.value.what.splitlines()[1:] if line.strip()]

    return faults


@pytest.mark.parametrize(
    ("before", "after", "line"),
    [
        ('title = "mowing"\n', "", "mowing.toml: title: is missing or no text; "),
        ('says = ["mow~"]', 'says = "mow~"', "mowing.toml: says: is no list of texts; "),
        ('chore = "mow"', 'chore = "mow"\ndragon = 1', "mowing.toml: dragon: is not known; known"),
        ('chore = "mow"', 'chore = "mow"\nper_place = 3', "mowing.toml: per_place: 3 is no flag; "),
        ('chore = "mow"', 'chore = "mow"\nmain = "x"', "mowing.toml: main: 'x' is no slot of mow"),
        ('chore = "mow"', 'chore = "mow"\nneeds = ["x"]', "mowing.toml: needs: 'x' is no slot"),
        ('chore = "mow"', 'chore = "mow"\nplaces_help = "x"', "mowing.toml: places_help: 'x' is "),
        ('chore = "mow"', 'chore = "mow"\ncaution = "x"', "kinds/mowing.toml: caution: 'x' is "),
        ('kind = "mowing"', 'kind = "eggs"', "kinds/eggs.toml: kind: 'eggs' is given twice; "),
        ('"quantity"', '"number"', "mowing.toml: slot.height.type: 'number' is not known; one of"),
        ('"quantity"', '"quantity"\ntells = "x"', "mowing.toml: slot.height.tells: 'x' is not kno"),
        ('"quantity"', '"quantity"\nalone = ["x"]', "mowing.toml: slot.height: 'x' is no value"),
        ('"quantity"', '"quantity"\nsharp = 1', "mowing.toml: slot.height.sharp: is not known; "),
        ('"quantity"', '"quantity"\nwords_of = ["x.y"]',
         "kinds/mowing.toml: slot.height.words_of: 'x.y' is no slot; write kind.slot"),
        ('"quantity"', '"quantity"\nplace_kinds = ["moon"]',
         "kinds/mowing.toml: slot.height.place_kinds: no 'moon'; one of "),
        ('["length"]', '["moon"]', "kinds/mowing.toml: slot.height.dimensions: no 'moon'; one "),
        ('["length"]', '["length"]\n[implies.dragon]\n', "kinds/mowing.toml: implies: 'dragon' is"),
    ],
)  # fmt: skip
def test_a_fault_names_its_file_and_key_and_hints(
    before: str, after: str, line: str, told: Callable[[str], list[str]]
) -> None:
    assert before in MOWING
    lines = told(MOWING.replace(before, after))
    assert any(found.startswith(line) for found in lines), lines


def test_a_file_that_is_no_toml(told: Callable[[str], list[str]]) -> None:
    lines = told("kind = \n")
    assert lines[0].startswith("mowing.toml: : cannot be read (")
    assert "write well-formed TOML" in lines[0]


def test_all_faults_of_all_files_are_told_at_once(
    data: Path, told: Callable[[str], list[str]]
) -> None:
    (data / "cautions.toml").write_text('[heat_lamp]\ntext = "hot"\n', encoding="utf-8")
    trade = (data / "trade.toml").read_text(encoding="utf-8")
    (data / "trade.toml").write_text(trade + '\n[class.duck]\nwords = ["duck+"]\n', "utf-8")
    text = "dragon = 1\n" + MOWING.replace('"quantity"', '"number"').replace('"length"', '"moon"')
    lines = told(text)
    for part in (
        "mowing.toml: dragon", "slot.height.type", "slot.height.dimensions",
        "cautions.toml: heat_lamp.source", "trade.toml: class.duck.word", "caution: 'withdrawal'",
    ):  # fmt: skip
        assert any(part in line for line in lines), part


def test_the_paragraph_says_what_was_kept_and_what_to_do(data: Path) -> None:
    (data / "kinds" / "mowing.toml").write_text("dragon = 1\n", encoding="utf-8")
    with pytest.raises(CatalogueError) as refused:
        read_catalogue(data)
    assert refused.value.kept == "Nothing was read from it."
    assert refused.value.todo == "Mend the files named."
    assert refused.value.what.startswith("The catalogue has 4 fault(s)")
