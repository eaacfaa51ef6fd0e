"""Every sum says its unit, its range, its source and how far the source carries."""

from __future__ import annotations

import inspect
import re

import pytest

from voicelog import husbandry

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
    listed = set(re.findall(r"^    (S\d+) ", inspect.getdoc(husbandry) or "", flags=re.M))
    modules = {inspect.getmodule(getattr(husbandry, name)) for name in husbandry.__all__}
    texts = [inspect.getsource(module) for module in modules if module is not None]
    cited = set(re.findall(r"\bS\d+\b", " ".join(texts)))
    assert cited == listed


def test_the_room_exports_functions_and_frozen_values_only() -> None:
    values = set(husbandry.__all__) - set(SUMS)
    assert len(SUMS) >= 20
    for name in values - {"FarmMeasure"}:
        made = getattr(husbandry, name)
        assert made.__dataclass_params__.frozen
        assert "__slots__" in vars(made)
