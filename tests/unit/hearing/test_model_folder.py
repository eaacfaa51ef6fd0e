"""Which model is used, and what is said of one that is not whole."""

from __future__ import annotations

import shutil
import struct
from pathlib import Path

import pytest

from voicelog import hearing
from voicelog.errors import ModelError
from voicelog.hearing.model_folder import CARRIED, ENVIRONMENT, find_model, missing_files

WHOLE = (
    "am/final.mdl",
    "conf/mfcc.conf",
    "conf/model.conf",
    "graph/HCLr.fst",
    "graph/Gr.fst",
    "graph/disambig_tid.int",
    "graph/words.txt",
)


def folder_of(path: Path, names: tuple[str, ...]) -> Path:
    for name in names:
        (path / name).parent.mkdir(parents=True, exist_ok=True)
        (path / name).write_text("x")
    return path


@pytest.fixture(autouse=True)
def no_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(ENVIRONMENT, raising=False)


def test_the_carried_model_is_whole_and_found_from_any_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert find_model().name == CARRIED
    assert hearing.check_model().startswith(f"{CARRIED}, ")


def test_a_given_path_comes_before_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, other = folder_of(tmp_path / "one", WHOLE), folder_of(tmp_path / "other", WHOLE)
    monkeypatch.setenv(ENVIRONMENT, str(one))
    assert find_model() == one
    assert find_model(str(other)) == other


@pytest.mark.parametrize("name", WHOLE)
@pytest.mark.parametrize("how", ["removed", "emptied"])
def test_each_missing_file_is_named(tmp_path: Path, name: str, how: str) -> None:
    folder = folder_of(tmp_path / "m", WHOLE)
    (folder / name).unlink()
    if how == "emptied":
        (folder / name).touch()
    assert missing_files(folder) == (name,)
    with pytest.raises(ModelError, match=name) as problem:
        hearing.check_model(folder)
    assert "\n" not in problem.value.paragraph()
    assert problem.value.todo


def test_all_that_is_missing_is_told_at_once(tmp_path: Path) -> None:
    assert missing_files(tmp_path) == WHOLE


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(ModelError, match="no speech model folder"):
        find_model(tmp_path / "nope")


def test_a_graph_in_one_file_needs_no_halves(tmp_path: Path) -> None:
    names = (*WHOLE[:3], "graph/HCLG.fst", "graph/words.txt")
    assert missing_files(folder_of(tmp_path, names)) == ()


def test_the_flat_layout(tmp_path: Path) -> None:
    names = ("final.mdl", "mfcc.conf", "HCLG.fst", "words.txt")
    assert missing_files(folder_of(tmp_path, names)) == ()
    (tmp_path / "mfcc.conf").unlink()
    assert missing_files(tmp_path) == ("mfcc.conf",)


def test_speaker_adaptation_must_be_whole_where_there_is_any(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, (*WHOLE, "ivector/final.ie"))
    assert "ivector/final.dubm" in missing_files(folder)
    assert "ivector/final.ie" not in missing_files(folder)


@pytest.mark.parametrize(("flags", "missing"), [(2, ()), (3, ()), (1, ("graph/words.txt",))])
def test_words_may_be_inside_the_graph(
    tmp_path: Path, flags: int, missing: tuple[str, ...]
) -> None:
    folder = folder_of(tmp_path, WHOLE[:-1])
    kinds = b"".join(struct.pack("<i", len(kind)) + kind for kind in (b"ngram", b"standard"))
    head = struct.pack("<i", 2125659606) + kinds + struct.pack("<ii", 4, flags)
    (folder / "graph/Gr.fst").write_bytes(head)
    assert missing_files(folder) == missing


@pytest.mark.parametrize("name", ["am/final.mdl", "graph/HCLr.fst", "graph/Gr.fst"])
def test_a_damaged_file_is_told_in_a_paragraph(
    tmp_path: Path, name: str, capfd: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "m"
    shutil.copytree(find_model(), folder)
    (folder / name).write_bytes((folder / name).read_bytes()[:1000])
    with pytest.raises(ModelError, match="cannot be loaded") as problem:
        hearing.load_recogniser(folder)
    assert str(folder) in problem.value.paragraph()
    assert capfd.readouterr() == ("", "")
