"""Every sum says its unit, its range, its source and how far the source carries."""

from __future__ import annotations

import inspect
import re
import tomllib
from pathlib import Path

import pytest

from voicelog import catalogue, husbandry

_LIST = Path(inspect.getfile(catalogue)).parent / "data" / "husbandry" / "sources.toml"
SUMS = sorted(name for name in husbandry.__all__ if inspect.isfunction(getattr(husbandry, name)))


def _said(name: str) -> str:
    return " ".join((inspect.getdoc(getattr(husbandry, name)) or "").split())


@pytest.mark.parametrize("name", SUMS)
def test_a_sum_states_what_it_stands_on(name: str) -> None:
    said = _said(name)
    for part in ("Unit: ", "Range: ", "Source: "):
        assert part in said
    assert re.search(r"grade [ABCDM]\b", said.split("Source: ")[1])


def test_each_source_cited_is_listed_and_each_listed_is_cited() -> None:
    room = Path(inspect.getfile(husbandry)).parent
    tables = room.parent / "catalogue" / "data" / "husbandry"
    citing = [*room.glob("*.py"), *(file for file in tables.glob("*.toml") if file != _LIST)]
    cited = {id_ for file in citing for id_ in re.findall(r"\bS\d+\b", file.read_text("utf-8"))}
    assert cited == set(husbandry.listed_publications())
    assert set(tomllib.loads(_LIST.read_text("utf-8"))) == cited


def test_a_source_is_given_by_name() -> None:
    (named,) = husbandry.publications("S98")
    assert named == "Incubation science, Virginia Tech"
    assert len(husbandry.publications("S94, S96")) == 2
    assert husbandry.publications("from memory") == ("from memory",)


def test_the_room_exports_functions_and_frozen_values_only() -> None:
    values = set(husbandry.__all__) - set(SUMS)
    assert len(SUMS) >= 20
    for name in values - {"FarmMeasure"}:
        made = getattr(husbandry, name)
        assert made.__dataclass_params__.frozen
        assert "__slots__" in vars(made)
