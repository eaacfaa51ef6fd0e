"""The table of units: whole, free of faults, and in step with a units library."""

from __future__ import annotations

from pathlib import Path

import pint
import pytest

from voicelog.catalogue.units import (
    find_unit,
    load_units,
    parts_per_whole,
    read_units,
    singular,
    spellings,
    unit_words,
)
from voicelog.errors import CatalogueError


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("pounds", "pound"),
        ("lbs", "lb"),
        ("LBS", "lb"),
        ("feet", "foot"),
        ("ft", "ft"),
        ("kv", "kV"),
        ("kilovolts", "kilovolt"),
        ("$", "dollar"),
        ("US$", "usd"),
        ("°F", "fahrenheit"),
        ("scoops", "scoop"),
    ],
)
def test_singular_of_what_was_said(said: str, kept: str) -> None:
    assert singular(said) == kept


def test_a_word_that_is_no_unit_has_none() -> None:
    assert singular("hen") is None
    assert find_unit("") is None


def test_every_library_name_is_one_of_the_library(registry: pint.UnitRegistry) -> None:
    for unit in load_units():
        if unit.library is not None:
            registry.Unit(unit.library)


def test_parts_agree_with_the_library(registry: pint.UnitRegistry) -> None:
    by_name = {unit.name: unit for unit in load_units()}
    checked = 0
    for unit in load_units():
        whole = by_name.get(unit.whole or "")
        if whole is None or whole.library is None or unit.library is None:
            continue
        library = registry.Quantity(1, whole.library).to(unit.library).magnitude
        assert library == pytest.approx(unit.parts), unit.name
        checked += 1
    assert checked > 20


def test_parts_nest_over_several_units() -> None:
    assert parts_per_whole("inch", "yard") == 36
    assert parts_per_whole("yard", "inch") is None
    assert parts_per_whole("inch", "gallon") is None


def test_measures_of_a_farm_have_no_library_name() -> None:
    containers = [unit for unit in load_units() if unit.dimension == "container"]
    assert {"scoop", "bucket", "bale", "flat"} <= {unit.name for unit in containers}
    assert all(unit.library is None for unit in containers)
    assert all(unit.source for unit in containers if unit.factor)


def test_every_singular_finds_its_own_unit() -> None:
    for spelling in spellings().values():
        assert find_unit(spelling.singular) is spelling.unit


def test_unit_words_are_words_to_be_heard() -> None:
    assert {"scoop", "scoops", "pounds", "fahrenheit"} <= unit_words()
    assert all(word.isalpha() and word == word.lower() for word in unit_words())


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "units.toml"
    file.write_text(
        '[[unit]]\nname = "pound"\ndimension = "mass"\nforms = [["pound"]]\nparts = 0\n'
        '[[unit]]\nname = "pund"\ndimension = "mass"\nforms = [["pound"]]\ncolour = "red"\n'
        '[[unit]]\ndimension = "mass"\nforms = "x"\nwhole = "stone"\nparts = 3\n',
        encoding="utf-8",
    )
    with pytest.raises(CatalogueError) as caught:
        read_units(file)
    told = str(caught.value)
    for part in ("parts", "stands twice", "colour", "unit.3.name", "unit.3.forms", "whole"):
        assert part in told
