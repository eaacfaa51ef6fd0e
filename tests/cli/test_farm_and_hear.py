"""`farm` and `hear`."""

from __future__ import annotations

import json
import os
import shlex
import wave
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from voicelog.errors import AudioError
from voicelog.records import Store
from voicelog.types import Transcript, Word

Run = Callable[..., Any]


def test_a_farm_is_made_added_to_and_shown(call: Run, tmp_path: Path) -> None:
    farm = ("--farm", str(tmp_path / "farm.toml"))
    assert call("farm", "new", *farm, "--name", "Plum", "--timezone", "Asia/Tokyo").code == 0
    assert call("farm", "new", *farm).code == 1
    assert call("farm", "add", "place", *farm, "blue coop", "--kind", "coop").code == 0
    flock = call("farm", "add", "flock", *farm, "hens", "--class", "layer", "--count", "12")
    assert flock.code == 0
    assert call("farm", "add", "bird", *farm, "Pepper", "--flock", "hens").code == 0
    measure = call("farm", "add", "measure", *farm, "scoop", "--holds", "3.2 lb")
    assert measure.code == 0
    chore = ("eggs", "--place", "blue coop", "--every", "day", "--by", "12:00")
    assert call("farm", "add", "chore", *farm, *chore).code == 0
    form = json.loads(call("farm", "show", *farm, "--json").out)
    assert (form["name"], form["timezone"]) == ("Plum", "Asia/Tokyo")
    assert [len(form[part]) for part in ("place", "flock", "bird", "measure", "chore")] == [1] * 5
    assert "no faults" in call("farm", "check", *farm).out


def test_a_part_that_would_be_a_fault_is_refused(call: Run, farm_file: Path) -> None:
    before = farm_file.read_bytes()
    ran = call("farm", "add", "place", "--farm", str(farm_file), "coop A", "--kind", "coop")
    assert ran.code == 1
    assert "coop A" in ran.err
    assert farm_file.read_bytes() == before


@pytest.mark.parametrize("command", ["show", "check"])
def test_without_a_farm_file_the_hint_says_how_to_make_one(call: Run, command: str) -> None:
    ran = call("farm", command)
    assert ran.code == 1
    assert "farm new" in ran.err


@pytest.mark.parametrize(
    "order",
    [
        ["--farm", "F", "farm", "show"],
        ["farm", "--farm", "F", "show"],
        ["farm", "show", "--farm", "F"],
        ["--farm", "nowhere.toml", "farm", "--farm", "F", "show"],
    ],
)
def test_common_options_stand_anywhere_around_farm(
    call: Run, farm_file: Path, order: list[str]
) -> None:
    moved = farm_file.rename(farm_file.with_name("mine.toml"))
    ran = call(*(str(moved) if word == "F" else word for word in order), "--json")
    assert ran.code == 0, ran.err
    assert json.loads(ran.out)["name"] == "Plum Hollow"


def test_common_options_stand_between_add_and_its_part(call: Run, farm_file: Path) -> None:
    ran = call("farm", "add", "--farm", str(farm_file), "--json", "place", "coop C")
    assert ran.code == 0, ran.err
    assert json.loads(ran.out)["place"][-1]["name"] == "coop C"


@pytest.mark.parametrize("group", [["farm"], ["farm", "add"]])
def test_the_pages_of_farm_show_the_common_options(call: Run, group: list[str]) -> None:
    shown = call(*group, "--help").out
    assert all(option in shown for option in ("--store", "--farm", "--now", "--json"))


@pytest.mark.parametrize(
    ("part", "named"),
    [("place", "coop, pen"), ("flock", "layer"), ("bird", ""), ("measure", ""), ("chore", "eggs")],
)
def test_the_pages_of_add_have_examples_and_name_what_may_stand(
    call: Run, part: str, named: str
) -> None:
    shown = call("farm", "add", part, "--help").out
    assert f"voicelog farm add {part} " in shown
    assert named in " ".join(shown.partition("Options:")[2].split())


def test_the_examples_of_add_work_as_they_stand(call: Run, tmp_path: Path) -> None:
    from voicelog.cli.common import _examples

    farm = ("--farm", str(tmp_path / "farm.toml"))
    assert call("farm", "new", *farm).code == 0
    for part in ("place", "flock", "bird", "measure", "chore"):
        for line in _examples()[f"farm add {part}"]:
            ran = call(*shlex.split(line)[1:], *farm)
            assert ran.code == 0, ran.err


def test_an_empty_file_is_remarked_on_by_check_alone(call: Run, tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_text("")
    farm = ("--farm", str(tmp_path / "farm.toml"))
    checked = call("farm", "check", *farm)
    assert (checked.code, "names no places" in checked.err) == (0, True)
    assert "names no places," not in call("farm", "show", *farm).err


def test_without_chores_left_says_how_to_add_one(call: Run, tmp_path: Path) -> None:
    common = ("--store", str(tmp_path / "store.db"), "--farm", str(tmp_path / "farm.toml"))
    (tmp_path / "farm.toml").write_text('name = "Plum"\n')
    ran = call("left", *common)
    assert ran.code == 0
    assert "names no chores; add one" in ran.out
    assert "voicelog farm add chore " in ran.out
    assert "Nothing is left" not in ran.out
    assert len(ran.out.splitlines()) == 2
    form = json.loads(call("left", *common, "--json").out)
    assert [form[name] for name in ("left", "done", "skipped", "not_due")] == [[]] * 4


def test_without_a_farm_file_left_says_to_make_one(call: Run, tmp_path: Path) -> None:
    ran = call("left", "--store", str(tmp_path / "store.db"))
    assert ran.code == 0
    assert "No chores are known without a farm file" in ran.out


@pytest.fixture
def sounds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Files whose words are told beforehand, so that no recogniser is needed."""
    heard = {"eggs.wav": "nine eggs from coop a", "silence.wav": "", "feed.wav": "fed coop b"}
    for name in heard:
        with wave.open(str(tmp_path / name), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(16000)
            file.writeframes(name.encode() * 100)
    (tmp_path / "notes.txt").write_text("no sound")

    def transcribe_memos(path: Path, model: Path | None = None) -> tuple[Transcript, ...]:
        # The model with this farm's names; that with none where the farm file has faults.
        assert model is None or model.name.startswith("english-small-")
        if path.name not in heard:
            raise AudioError(f"{path.name} cannot be heard.", kept="Nothing of it was kept.")
        words = heard[path.name].split()
        whole = Transcript(
            text=heard[path.name],
            words=tuple(
                Word(text=word, from_s=float(at), to_s=at + 0.5, confidence=0.9)
                for at, word in enumerate(words)
            ),
            alternatives=(),
            from_s=0.0,
            to_s=float(len(words)),
            engine="told beforehand",
        )
        return (whole,)

    monkeypatch.setattr("voicelog.hearing.transcribe_memos", transcribe_memos)
    return tmp_path


def test_each_file_is_for_itself(run: Run, sounds: Path, store_file: Path) -> None:
    names = ["eggs.wav", "notes.txt", "silence.wav", "nowhere.wav", "feed.wav"]
    ran = run("hear", "--json", *(str(sounds / name) for name in names))
    forms = [json.loads(line) for line in ran.out.splitlines()]
    assert ran.code == 1
    assert [form["file"] for form in forms] == [
        str(sounds / name) for name in ("eggs.wav", "silence.wav", "feed.wav")
    ]
    assert "notes.txt" in ran.err
    assert "nowhere.wav" in ran.err
    assert forms[0]["from_s"] == 0.0
    assert forms[0]["transcript"]["engine"] == "told beforehand"
    assert forms[0]["transcript"]["words"][0] == {
        "text": "nine",
        "from_s": 0.0,
        "to_s": 0.5,
        "confidence": 0.9,
    }
    assert forms[0]["records"][0]["count"] == 9
    assert forms[1]["records"] == []
    with Store.open(str(store_file), create=False) as store:
        memos = store.memos()
        assert len(memos) == 3
        assert memos[0].audio is not None
        kept = store.audio_file(memos[0].audio)
        assert kept.read_bytes() == (sounds / "eggs.wav").read_bytes()


def test_a_file_keeps_its_own_hour_unless_now_is_said(
    call: Run, sounds: Path, store_file: Path
) -> None:
    morning = datetime(2025, 5, 4, 7, 30, tzinfo=ZoneInfo("America/New_York"))
    file = sounds / "eggs.wav"
    os.utime(file, (morning.timestamp(), morning.timestamp()))
    own = call("hear", "--json", "--store", str(store_file), str(file))
    assert json.loads(own.out)["now"] == "2025-05-04T07:30:00-04:00"
    said = call(
        "hear",
        "--json",
        "--store",
        str(store_file),
        "--now",
        "2025-05-04T09:00",
        "--again",
        str(file),
    )
    assert json.loads(said.out)["now"] == "2025-05-04T09:00:00-04:00"


def test_without_model_files_nothing_is_kept(
    run: Run, tmp_path: Path, store_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("VOICELOG_MODEL", str(tmp_path / "no_model"))
    with wave.open(str(tmp_path / "eggs.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16000)
        file.writeframes(b"\x00\x00" * 16000)
    ran = run("hear", str(tmp_path / "eggs.wav"))
    assert (ran.code, ran.out) == (1, "")
    assert "no_model" in ran.err
    assert not store_file.exists()


def test_listening_without_its_extra_says_what_to_install(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "sounddevice", None)
    ran = run("listen")
    assert ran.code == 1
    assert "pip install 'voicelog[mic]'" in ran.err


def test_a_recording_heard_before_is_shown_and_not_kept_again(
    run: Run, sounds: Path, store_file: Path
) -> None:
    file, copy = sounds / "eggs.wav", sounds / "feed.wav"
    first = run("hear", "--json", str(file))
    copy.write_bytes(file.read_bytes())
    second = run("hear", "--json", str(copy))
    assert (second.code, first.err) == (0, "")
    assert "heard already as memo 1" in second.err
    assert json.loads(second.out) == json.loads(first.out) | {"file": str(copy)}
    assert "coop A" in run("hear", str(file)).out
    with Store.open(str(store_file), create=False) as store:
        assert len(store.memos()) == 1
    anew = run("hear", "--json", "--again", str(file))
    assert json.loads(anew.out)["memo_id"] == 2
    assert "already" not in anew.err


def test_a_recording_cut_short_is_kept_as_far_as_it_goes(
    run: Run, sounds: Path, store_file: Path
) -> None:
    for name in ("eggs.wav", "silence.wav"):
        whole = (sounds / name).read_bytes()
        (sounds / name).write_bytes(whole[: len(whole) * 2 // 3])
    ran = run("hear", "--json", str(sounds / "eggs.wav"))
    assert ran.code == 0
    assert "eggs.wav breaks off: its header promises" in ran.err
    assert json.loads(ran.out)["records"][0]["count"] == 9
    silent = run("hear", "--json", str(sounds / "silence.wav"))
    assert (silent.code, silent.out) == (1, "")
    assert "Nothing of it was kept" in silent.err
    assert silent.err.count("silence.wav") == 1
    with Store.open(str(store_file), create=False) as store:
        assert len(store.memos()) == 1


def test_a_farm_file_with_faults_loses_no_memo(
    run: Run, call: Run, sounds: Path, store_file: Path, farm_file: Path
) -> None:
    sound = farm_file.read_text()
    farm_file.write_text(sound.replace('kind = "coop"', 'kind = "castle"') + "\n[[bird]]\n")
    at = ("--store", str(store_file), "--now", "2027-05-04T18:00")
    noted = run("note", "four eggs from coop b")
    assert (noted.code, noted.out) == (1, "")
    assert "kept whole as memo 1" in noted.err
    assert "castle" in noted.err
    assert "farm check" in noted.err
    assert noted.err.count("\n") == 1
    heard = call("hear", *at, str(sounds / "eggs.wav"))
    assert (heard.code, heard.out) == (1, "")
    assert "kept whole as memo 2" in heard.err
    assert "kept whole as memo 2" in call("hear", *at, str(sounds / "eggs.wav")).err
    lines = (
        '{"now": "2027-05-04T17:00", "text": "fed coop b"}\n{"now": null, "text": "shut coop a"}'
    )
    bulk = run("note", "--json", "-", typed=lines)
    assert bulk.code == 1
    assert bulk.err.count("castle") == 2
    assert "memo 4" in bulk.err
    with Store.open(str(store_file), create=False) as store:
        assert [memo.id for memo in store.unparsed()] == [1, 2, 3, 4]
        assert store.memo(3).said_at.isoformat() == "2027-05-04T17:00:00-04:00"
        assert store.memo(2).audio is not None
    farm_file.write_text(sound)
    asked = run("ask", "--json", "how many eggs today")
    assert json.loads(asked.out)["answer"]["value"] == 13
    assert "Memo 1, kept earlier, is understood now" in asked.err
    with Store.open(str(store_file), create=False) as store:
        assert store.unparsed() == ()


def test_a_farm_file_that_is_no_toml_loses_no_memo(
    run: Run, store_file: Path, farm_file: Path
) -> None:
    farm_file.write_text('name = "Plum Hollow\n')
    ran = run("note", "four eggs from coop b")
    assert ran.code == 1
    assert "not well-formed" in ran.err
    assert "kept whole as memo 1" in ran.err
    with Store.open(str(store_file), create=False) as store:
        assert store.memo(1).text == "four eggs from coop b"
