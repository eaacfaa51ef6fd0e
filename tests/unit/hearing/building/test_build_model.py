"""`build_model`: any words and sentences, here the commands of another trade."""

from __future__ import annotations

import itertools
import shutil
import subprocess
from pathlib import Path

import pytest

from voicelog import hearing
from voicelog.errors import ModelError
from voicelog.hearing.building import build
from voicelog.hearing.model_folder import ENVIRONMENT, carried_model, missing_files

ROOMS = ("kitchen", "attic", "cellar", "hallway", "library", "workshop", "pantry", "study")
LAMPS = ("reading lamp", "ceiling light", "lantern", "spotlight")
COMMANDS = [
    template.format(lamp=lamp, room=room)
    for template, lamp, room in itertools.product(
        ("turn on the {lamp} in the {room}", "set the {room} {lamp} to green"), LAMPS, ROOMS
    )
]


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("models") / "lamps"
    hearing.build_model(COMMANDS, ["veranda"], out)
    return out


def words_of(model: Path) -> set[str]:
    lines = (model / "graph" / "words.txt").read_text("utf-8").splitlines()
    return {line.split()[0] for line in lines} - {"<eps>"}


def test_the_model_is_whole_and_has_all_words(model: Path) -> None:
    assert missing_files(model) == ()
    assert words_of(model) == {word for line in COMMANDS for word in line.split()} | {"veranda"}
    carried = carried_model() / "am" / "final.mdl"
    assert (model / "am" / "final.mdl").read_bytes() == carried.read_bytes()
    assert not (model / "am" / "final.mdl").samefile(carried)


def test_commands_are_heard_as_they_were_said(model: Path, tmp_path: Path) -> None:
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng, which speaks the commands, is not on this machine")
    for number, command in enumerate(COMMANDS[::9]):
        file = tmp_path / f"{number}.wav"
        subprocess.run(["espeak-ng", "-v", "en-us", "-s", "140", "-w", file, command], check=True)
        assert hearing.transcribe(file, model).text == command


def test_what_is_heard_is_put_into_the_words_of_the_model(model: Path, speech: Path) -> None:
    heard = hearing.transcribe(speech / "eggs_two_coops.ogg", model).text
    assert set(heard.split()) <= words_of(model)


def test_numbers_and_signs_are_spelled_out(tmp_path: Path) -> None:
    hearing.build_model(["Dim lamp #2 to 50%!", "", "…"], ["x-ray", "3rd"], tmp_path / "m")
    spelled = {"two", "fifty", "percent", "third"}
    assert words_of(tmp_path / "m") == {"dim", "lamp", "to", "x", "ray"} | spelled


def test_words_alone_are_enough(tmp_path: Path) -> None:
    hearing.build_model([], ["lamp", "Lantern"], tmp_path / "m")
    assert words_of(tmp_path / "m") == {"lamp", "lantern"}
    hearing.load_recogniser(tmp_path / "m")


def test_without_any_word_nothing_is_written(tmp_path: Path) -> None:
    with pytest.raises(ModelError, match="no words"):
        hearing.build_model(["…", " "], [], tmp_path / "m")
    assert not list(tmp_path.iterdir())


def test_all_words_that_cannot_be_said_are_named(tmp_path: Path) -> None:
    with pytest.raises(ModelError, match="'лампа', '灯'") as problem:
        hearing.build_model(["turn on the лампа", "lamp 灯"], [], tmp_path / "m")
    assert "'lamp'" not in problem.value.paragraph()
    assert problem.value.todo
    assert not list(tmp_path.iterdir())


def test_an_earlier_model_is_replaced_and_nothing_is_left_over(tmp_path: Path) -> None:
    out = tmp_path / "m"
    hearing.build_model(["red lamp"], [], out)
    hearing.build_model(["green lamp"], [], out)
    assert words_of(out) == {"green", "lamp"}
    assert list(tmp_path.iterdir()) == [out]


def test_an_empty_folder_is_taken_and_one_with_other_things_is_not(tmp_path: Path) -> None:
    empty, full = tmp_path / "empty", tmp_path / "full"
    empty.mkdir()
    hearing.build_model(["red lamp"], [], empty)
    assert missing_files(empty) == ()
    full.mkdir()
    (full / "letter.txt").write_text("dear")
    for there in (full, full / "letter.txt"):
        with pytest.raises(ModelError, match="no model"):
            hearing.build_model(["red lamp"], [], there)
    assert (full / "letter.txt").read_text() == "dear"
    with pytest.raises(ModelError, match="comes with voicelog"):
        hearing.build_model(["red lamp"], [], carried_model())


def test_a_failure_leaves_the_earlier_model(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "m"
    hearing.build_model(["red lamp"], [], out)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(build, "write_graph", full)
    with pytest.raises(ModelError, match="No space left on device"):
        hearing.build_model(["green lamp"], [], out)
    assert words_of(out) == {"red", "lamp"}
    assert list(tmp_path.iterdir()) == [out]


def test_a_model_that_was_built_can_be_the_one_of_the_environment(
    model: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(ENVIRONMENT, str(model))
    assert hearing.check_model().startswith("lamps, ")
