"""The model of a farm: built once, kept, found again, and never half made."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from voicelog import hearing
from voicelog.app.farm_model import farm_names
from voicelog.errors import ModelError
from voicelog.farm import load_farm
from voicelog.hearing.building import cache
from voicelog.hearing.building.cache import FarmModel
from voicelog.hearing.building.farm_words import FarmNames, NamedThing
from voicelog.hearing.model_folder import carried_model

DEMO = Path(hearing.__file__).parents[1] / "demo" / "farm.toml"


def a_farm(*birds: str) -> FarmNames:
    return FarmNames(birds=tuple(NamedThing(name=name) for name in birds))


class Told:
    """Counts how often building was told of."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self) -> None:
        self.times += 1


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "cache"))
    return cache.cache_folder() / "models"


@pytest.fixture
def quickly(monkeypatch: pytest.MonkeyPatch) -> None:
    """The carried graph instead of one with names: for what is about folders only."""

    def copied(_: FarmNames, folder: Path) -> None:
        shutil.copytree(carried_model() / "graph", folder / "graph")
        for name in ("am", "conf"):
            (folder / name).symlink_to(carried_model() / name)
        sizes = {"Gr.fst": (folder / "graph" / "Gr.fst").stat().st_size}
        report = {"words": 2, "sizes": sizes, "guessed": [], "unsaid": []}
        (folder / "farm.json").write_text(json.dumps(report))

    monkeypatch.setattr(cache, "_run_builder", copied)


def words_of(model: FarmModel) -> set[str]:
    lines = (model.folder / "graph" / "words.txt").read_text("utf-8").splitlines()
    return {line.split()[0] for line in lines}


def test_a_recording_is_heard_with_the_names_of_its_farm(home: Path, speech: Path) -> None:
    told = Told()
    names = farm_names(load_farm(DEMO))
    made = hearing.farm_model(names, DEMO, told)
    assert made.folder.parent == home
    heard = hearing.transcribe(speech / "eggs_two_coops.ogg", made.folder)
    assert "red coop" in heard.text
    assert "green coop" in heard.text
    assert made.folder.name in heard.engine
    again = hearing.farm_model(names, DEMO, told)
    assert again == made
    assert told.times == 1


def test_odd_names_are_in_the_graph_as_they_are_said(home: Path, tmp_path: Path) -> None:
    names = FarmNames(
        places=(NamedThing(name="Xyzzle pen 7"),),
        birds=(NamedThing(name="Xanthippe", sounds_like="zan tippy"), NamedThing(name="鸡")),
    )
    made = hearing.farm_model(names, tmp_path / "farm.toml", Told())
    assert home in made.folder.parents
    assert {"xanthippe", "xanthippe's", "xyzzle", "seven", "the"} <= words_of(made)
    assert made.sounding.guessed == ("xyzzle",)
    assert made.sounding.unsaid == ("鸡",)
    assert made.words == len(words_of(made)) - 1
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng, which says the name, is not on this machine")
    file = tmp_path / "said.wav"
    said = "zan tippy is limping this morning"
    subprocess.run(["espeak-ng", "-v", "en-us", "-s", "140", "-w", file, said], check=True)
    assert "xanthippe" in hearing.transcribe(file, made.folder).text


@pytest.mark.usefixtures("quickly")
def test_other_names_make_another_model_and_the_same_names_the_same(
    home: Path, tmp_path: Path
) -> None:
    told = Told()
    one = hearing.farm_model(a_farm("Ada"), tmp_path / "a.toml", told)
    other = hearing.farm_model(a_farm("Bea"), tmp_path / "a.toml", told)
    same = hearing.farm_model(a_farm("Ada"), tmp_path / "b.toml", told)
    assert (one.folder == same.folder, one.folder == other.folder, told.times) == (True, False, 2)
    assert len(list(home.iterdir())) == 2


@pytest.mark.usefixtures("quickly")
def test_three_models_of_a_farm_are_kept_and_those_of_others(home: Path, tmp_path: Path) -> None:
    def build(farm: str, name: str, hours_ago: int) -> Path:
        made = hearing.farm_model(a_farm(name), tmp_path / farm, Told())
        used = time.time() - hours_ago * 3600
        os.utime(made.folder, (used, used))
        return made.folder

    other = build("other.toml", "Zoe", 9)
    shared = build("other.toml", "Ada", 8)
    assert shared == build("mine.toml", "Ada", 8)
    old, *recent = [build("mine.toml", name, 7 - at) for at, name in enumerate("BCDE")]
    assert set(home.iterdir()) == {other, shared, *recent}
    assert not old.exists()


@pytest.mark.usefixtures("quickly")
def test_what_was_left_by_a_stopped_process_or_not_used_for_long_goes(
    home: Path, tmp_path: Path
) -> None:
    stopped, unused, running = (
        home / name for name in (".unfinished-x", "english-small-0", ".unfinished-y")
    )
    for folder, hours in ((stopped, 2), (unused, 24 * 61), (running, 0)):
        folder.mkdir(parents=True)
        os.utime(folder, (time.time() - hours * 3600,) * 2)
    made = hearing.farm_model(a_farm("Ada"), tmp_path / "farm.toml", Told())
    assert set(home.iterdir()) == {made.folder, running}


@pytest.mark.parametrize("how", ["lost", "cut short", "no report"])
@pytest.mark.usefixtures("quickly")
def test_a_damaged_model_is_built_anew(home: Path, tmp_path: Path, how: str) -> None:
    told = Told()
    made = hearing.farm_model(a_farm("Ada"), tmp_path / "farm.toml", told)
    graph = made.folder / "graph" / "Gr.fst"
    if how == "lost":
        graph.unlink()
    elif how == "cut short":
        graph.write_bytes(graph.read_bytes()[:1000])
    else:
        (made.folder / "farm.json").write_text("{")
    assert FarmModel.read(made.folder) is None
    assert hearing.farm_model(a_farm("Ada"), tmp_path / "farm.toml", told) == made
    assert told.times == 2
    assert list(home.iterdir()) == [made.folder]


def test_two_at_once_end_with_one_whole_model(home: Path, tmp_path: Path) -> None:
    def build(_: int) -> FarmModel:
        return hearing.farm_model(a_farm("Ada", "Qworlish"), tmp_path / "farm.toml", Told())

    with ThreadPoolExecutor(2) as both:
        one, other = both.map(build, range(2))
    assert one == other
    assert list(home.iterdir()) == [one.folder]
    hearing.load_recogniser(one.folder)


def test_a_process_killed_in_the_middle_leaves_the_models_there_are(
    home: Path, tmp_path: Path
) -> None:
    earlier = hearing.farm_model(a_farm("Ada"), tmp_path / "farm.toml", Told())
    code = (
        "import sys; from pathlib import Path; from voicelog import hearing;"
        "from voicelog.hearing.building.farm_words import FarmNames, NamedThing;"
        "names = FarmNames(birds=(NamedThing(name='Bea'),));"
        f"hearing.farm_model(names, {str(tmp_path / 'farm.toml')!r}, lambda: print('begun'))"
    )
    building = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, start_new_session=True
    )
    assert building.stdout is not None
    building.stdout.read(1)
    while len(list(home.iterdir())) < 2:
        time.sleep(0.01)
    os.killpg(building.pid, signal.SIGKILL)
    building.wait()
    building.stdout.close()
    left = {folder for folder in home.iterdir() if not folder.name.startswith(".unfinished-")}
    assert left == {earlier.folder}
    hearing.load_recogniser(earlier.folder)
    told = Told()
    later = hearing.farm_model(a_farm("Bea"), tmp_path / "farm.toml", told)
    assert (told.times, "bea" in words_of(later)) == (1, True)


@pytest.mark.parametrize("failing", ["no space", "no folder", "killed"])
def test_what_cannot_be_built_is_told_and_leaves_nothing(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    if failing == "no folder":
        home.parent.parent.mkdir(parents=True, exist_ok=True)
        home.parent.write_text("in the way")
    else:
        ends: Callable[..., object] = lambda *_, **__: subprocess.CompletedProcess(  # noqa: E731
            [], 1 if failing == "no space" else -9, "", "No space left on device\n" * 2
        )
        monkeypatch.setattr(subprocess, "run", ends)
    with pytest.raises(ModelError, match="could not be made") as problem:
        hearing.farm_model(a_farm("Ada"), tmp_path / "farm.toml", Told())
    assert "\n" not in problem.value.paragraph()
    assert "comes with voicelog is used" in problem.value.kept
    assert not home.exists() or not list(home.iterdir())


@pytest.mark.usefixtures("home", "quickly")
def test_finding_a_model_again_needs_no_library(tmp_path: Path) -> None:
    hearing.farm_model(a_farm("Ada"), tmp_path / "farm.toml", Told())
    code = (
        "import sys; from voicelog import hearing;"
        "from voicelog.hearing.building.farm_words import FarmNames, NamedThing;"
        "names = FarmNames(birds=(NamedThing(name='Ada'),));"
        f"hearing.farm_model(names, {str(tmp_path / 'farm.toml')!r}, lambda: sys.exit('built'));"
        "print([name for name in ('numpy', 'vosk', 'spacy') if name in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout == "[]\n"
