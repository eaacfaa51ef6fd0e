"""The names of a farm are learned by the recogniser, and what cannot be learned is told."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from voicelog.hearing.model_folder import carried_model
from voicelog.types import Transcript

Run = Callable[..., Any]
ODD = '\n[[bird]]\nname = "Qworlish"\n\n[[bird]]\nname = "Xanthe"\nsounds_like = "zan thee"\n'


class Ear:
    """Stands for the recogniser; hears nothing, and knows which models it was to hear with."""

    def __init__(self) -> None:
        self.models: list[Path | None] = []

    def __call__(self, _: Path, model: Path | None = None) -> tuple[Transcript, ...]:
        self.models.append(model)
        silence = Transcript(
            text="", words=(), alternatives=(), from_s=0.0, to_s=1.0, engine="none"
        )
        return (silence,)


@pytest.fixture
def ear(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Ear:
    stub = Ear()
    monkeypatch.setattr("voicelog.hearing.transcribe_memos", stub)
    monkeypatch.setattr("voicelog.hearing.audio.how_it_breaks_off", lambda _: "")
    monkeypatch.delenv("VOICELOG_MODEL", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return stub


@pytest.fixture
def recording(tmp_path: Path) -> Path:
    file = tmp_path / "memo.wav"
    file.write_bytes(b"sound")
    return file


def words_of(model: Path) -> set[str]:
    lines = (model / "graph" / "words.txt").read_text("utf-8").splitlines()
    return {line.split()[0] for line in lines}


def test_names_are_learned_at_the_next_hearing_and_only_once(
    run: Run, call: Run, ear: Ear, recording: Path, farm_file: Path
) -> None:
    hear = ("hear", "--again", str(recording))
    assert run(*hear).err.count("Learning the names of this farm") == 1
    assert "Learning" not in run(*hear).err
    call("farm", "add", "bird", "--farm", str(farm_file), "Ysolde", "--sounds-like", "ease old")
    assert "Learning" in run(*hear).err
    before, again, after = ear.models
    assert before is not None
    assert after is not None
    assert before == again
    assert "juniper" in words_of(before)
    assert words_of(after) - words_of(before) == {"ysolde", "ysolde's"} - words_of(before)
    assert before != after


@pytest.mark.parametrize("how", ["option", "environment"])
def test_a_model_that_was_asked_for_is_used_as_it_is(
    run: Run, ear: Ear, recording: Path, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    option = ("--model", str(carried_model())) if how == "option" else ()
    if how == "environment":
        monkeypatch.setenv("VOICELOG_MODEL", str(carried_model()))
    ran = run("hear", *option, str(recording))
    assert (ran.code, "Learning" in ran.err) == (0, False)
    assert ear.models == [carried_model() if how == "option" else None]


def test_no_memo_is_lost_where_names_cannot_be_learned(
    run: Run, ear: Ear, recording: Path, tmp_path: Path
) -> None:
    (tmp_path / "cache").write_text("in the way")
    ran = run("hear", "--json", str(recording))
    assert ran.code == 0
    assert "names of this farm could not be made" in ran.err
    assert json.loads(ran.out)["memo_id"] == 1
    assert ear.models == [None]
    told = run("doctor")
    assert "broken   speech model: A speech model with the names of this farm" in told.out


def test_a_farm_without_names_is_heard_with_the_carried_model(
    run: Run, ear: Ear, recording: Path, farm_file: Path
) -> None:
    farm_file.write_text('name = "Bare"\n')
    assert "Learning" not in run("hear", str(recording)).err
    assert ear.models == [None]


def test_show_tells_which_names_are_guesses(call: Run, farm_file: Path) -> None:
    plain = call("farm", "show", "--farm", str(farm_file)).err
    assert "The recogniser knows 4 names of this farm." in plain
    assert "guess" not in plain
    farm_file.write_text(farm_file.read_text() + ODD + '\n[[bird]]\nname = "鸡"\n')
    odd = call("farm", "show", "--farm", str(farm_file)).err
    assert "How qworlish sounds is a guess" in odd
    assert "xanthe" not in odd
    assert "鸡 cannot be read aloud" in odd
    assert "sounds_like" in odd


@pytest.mark.usefixtures("ear")
def test_doctor_tells_the_model_with_its_words_and_guesses(run: Run, farm_file: Path) -> None:
    farm_file.write_text(farm_file.read_text() + ODD)
    (line,) = [line for line in run("doctor").out.splitlines() if "speech model" in line]
    assert line.startswith("ok ")
    assert "with the names of this farm, " in line
    assert " words, in " in line
    assert "How qworlish sounds is a guess" in line


def test_what_a_name_sounds_like_is_written_and_shown(call: Run, farm_file: Path) -> None:
    farm = ("--farm", str(farm_file))
    added = call("farm", "add", "place", *farm, "Beauvoir pen", "--sounds-like", "beaver pen")
    assert added.code == 0
    place = json.loads(call("farm", "show", *farm, "--json").out)["place"][-1]
    assert (place["name"], place["sounds_like"]) == ("Beauvoir pen", "beaver pen")
    refused = call("farm", "add", "bird", *farm, "Bo", "--sounds-like", "b0")
    assert refused.code == 1
    assert "sounds_like" in refused.err


def test_showing_a_farm_loads_no_heavy_library(farm_file: Path) -> None:
    code = (
        "import sys\n"
        "from voicelog.cli import main\n"
        f"sys.argv = ['voicelog', 'farm', 'show', '--farm', {str(farm_file)!r}]\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code, end.code\n"
        "heavy = {'spacy', 'vosk', 'numpy', 'av'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=False, env=os.environ, timeout=60
    )
    assert ran.returncode == 0, ran.stderr.decode()
