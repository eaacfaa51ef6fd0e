"""Figures and advice of the trade: every one names its source, and faults are told at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicelog.catalogue import load_catalogue
from voicelog.catalogue.stated import STATED, load_stated, read_stated
from voicelog.errors import CatalogueError
from voicelog.husbandry import publications


@pytest.mark.parametrize("name", STATED)
def test_what_is_stated_names_a_publication_or_none(name: str) -> None:
    stated = load_stated(name)
    assert stated.figures
    for _, row in (*stated.figures, *stated.advice):
        unnamed = row.source in ("from memory", "common practice, no source")
        assert unnamed is (row.grade == "M")
        assert publications(row.source)
    for _, figure in stated.figures:
        assert figure.low <= figure.high


def test_what_is_not_stated_is_empty() -> None:
    stated = load_stated("broody")
    assert stated.figures_of("dragon") == stated.advice_of("dragon") == ()
    assert stated.words_of("dragon") == ()


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "dragons.toml"
    file.write_text(
        '[[figure]]\nof = "fire"\nlow = 3\nhigh = 2\nunit = "joule"\nsource = "a friend"\n'
        'grade = "A"\n[[figure]]\nlow = "hot"\nunit = "joule"\nsource = "from memory"\n'
        'grade = "A"\n[[advice]]\nof = "fire"\ntext = "run"\nsource = "S1"\ngrade = "M"\n'
        'caution = "dragon"\nfirst_day = 3\n[colour]\n',
        "utf-8",
    )
    with pytest.raises(CatalogueError) as refused:
        read_stated(file, load_catalogue())
    for told in (
        "colour", "figure[1].high", "'a friend' names none", "figure[2].of", "figure[2].low",
        "figure[2].grade", "advice[1].caution", "advice[1].first_day", "advice[1].grade",
    ):  # fmt: skip
        assert told in refused.value.what, told
