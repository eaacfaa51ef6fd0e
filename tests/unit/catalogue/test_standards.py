"""Tables that published sources print: each row has a source that is listed, faults are told."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from voicelog import husbandry
from voicelog.catalogue import load_catalogue
from voicelog.catalogue.standards import load_standards, read_standards
from voicelog.errors import CatalogueError


def test_each_row_has_a_source_that_is_listed() -> None:
    standards = load_standards()
    rows = (*standards.sizes, *standards.grades, *standards.drinks, *standards.heat)
    assert {row.source for row in rows} <= {*husbandry.listed_publications(), "from memory"}


def test_classes_of_birds_and_cautions_are_declared() -> None:
    catalogue = load_catalogue()
    assert all(catalogue.caution(step.caution).text for step in load_standards().heat)
    declared = {group.name for group in catalogue.classes}
    assert {row.class_ for row in load_standards().drinks} <= declared


def test_the_tables_are_in_order() -> None:
    standards = load_standards()
    assert all(high.ounces > low.ounces for high, low in pairwise(standards.sizes))
    assert all(best.haugh > next_.haugh for best, next_ in pairwise(standards.grades))
    assert all(row.low <= row.high for row in standards.drinks)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "standards.toml"
    file.write_text(
        '[[size]]\nname = "big"\nounces = "much"\nsource = "S20"\ngrade = "A"\n'
        '[[grade]]\nname = "AA"\nhaugh = 72\nspots = 0\ncolour = "red"\nsource = "S23"\n'
        '[[drinks]]\nclass = "layer"\nunit = "pail"\ndays = [7, 7]\nlow = [1]\nhigh = ["x"]\n'
        'warm = 20\nhot = [19, 1, 1]\nsource = "S13"\ngrade = "A"\n'
        '[[heat]]\nname = "watch"\nfrom_f = 80\nsource = "from memory"\ngrade = "M"\n',
        encoding="utf-8",
    )
    with pytest.raises(CatalogueError) as refused:
        read_standards(file)
    for told in (
        "size.1.ounces", "grade.1.colour", "grade.1.grade", "drinks.1.unit", "drinks.1.days",
        "drinks.1.high", "drinks.1.hot", "heat.1.do", "heat.1.caution",
    ):  # fmt: skip
        assert told in refused.value.what
    file.write_text("", encoding="utf-8")
    with pytest.raises(CatalogueError, match="drinks"):
        read_standards(file)
