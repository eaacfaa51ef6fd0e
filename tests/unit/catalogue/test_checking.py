"""Every data file of the catalogue read, and all faults told together."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from voicelog.catalogue import load_catalogue, loader
from voicelog.catalogue.checking import check_catalogue
from voicelog.errors import CatalogueError

DATA = Path(loader.__file__).with_name("data")


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A copy of the data, to be damaged."""
    return shutil.copytree(DATA, tmp_path / "data")


def test_what_the_package_declares_has_no_faults() -> None:
    assert check_catalogue().kinds == load_catalogue().kinds


def test_word_lists_are_read_when_they_are_first_asked_for(data: Path) -> None:
    (data / "questions.toml").write_text("not toml")
    catalogue = loader.read_catalogue(data)
    assert catalogue.kinds == load_catalogue().kinds
    with pytest.raises(CatalogueError, match=r"questions\.toml"):
        assert catalogue.lists


def test_a_list_that_stands_in_both_files_is_a_fault(data: Path) -> None:
    name = next(iter(load_catalogue().lists))
    for file in ("discourse.toml", "questions.toml"):
        (data / file).write_text(f'{name} = ["so"]\nother_{file[0]} = "no list"\n')
    with pytest.raises(CatalogueError) as refused:
        loader.read_word_lists(data)
    assert "3 fault(s)" in refused.value.what


def test_faults_of_a_kind_and_of_the_lists_are_told_together(data: Path) -> None:
    kind = next((data / "kinds").iterdir())
    kind.write_text("dragon = 1\n" + kind.read_text())
    (data / "discourse.toml").write_text("words = 3\n")
    with pytest.raises(CatalogueError) as refused:
        check_catalogue(data)
    for told in (f"{kind.name}: dragon", "discourse.toml: words"):
        assert told in refused.value.what


def test_faults_of_the_files_that_stand_on_the_kinds_are_told_together(data: Path) -> None:
    for file in ("asking.toml", "laying.toml", "watching.toml"):
        text = (data / file).read_text()
        (data / file).write_text("dragon = 1\n" + text)
    with pytest.raises(CatalogueError) as refused:
        check_catalogue(data)
    for told in ("asking.toml: dragon", "laying.toml: dragon", "watching.toml: dragon"):
        assert told in refused.value.what
