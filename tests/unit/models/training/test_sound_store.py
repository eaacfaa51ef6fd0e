"""What training reads lies where the lines say, and what cannot be used is counted."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from models.training.sound_store import (  # noqa: E402
    UnusableStoreError,
    expected_repeats,
    hours_by_source,
    load_store,
)
from tests.unit.models.training.sounding_store import write_store  # noqa: E402

CPU = torch.device("cpu")


def _add(folder: Path, name: str, **line: object) -> None:
    """A file of one second of a ramp, with one line."""
    np.arange(16_000, dtype="<i2").tofile(folder / f"{name}.i16")
    whole = {"id": name, "text": "mi", "start": 0, "samples": 16_000} | line
    (folder / f"{name}.jsonl").write_text(json.dumps(whole) + "\n", "utf-8")


def test_every_utterance_is_found_where_its_line_says(tmp_path: Path) -> None:
    folder = write_store(tmp_path)
    _add(folder, "ramp", start=100, samples=8000, speaker="ada")
    store = load_store(folder, CPU)
    ramp = next(one for one in store.utterances if one.name == "ramp")
    assert (ramp.source, ramp.speaker, ramp.split, ramp.words) == ("ramp", "ada", "train", ("mi",))
    sound = store.samples[ramp.start : ramp.start + ramp.samples]
    assert sound.tolist() == list(range(100, 8100))
    assert len(store.utterances) == 13
    assert {clip.sort for clip in store.noises} == {"rain", "wind"}
    assert len(store.of_split("test")) == 2
    assert hours_by_source(store.utterances)["ramp/train"] == (1, 8000 / 16_000 / 3600)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ({"text": "mi unheard"}, "a word without pronunciation"),
        ({"text": " "}, "no words"),
        ({"samples": 4000}, "shorter than 0.3 s"),
        ({"samples": 16_001}, "outside its sound file"),
        ({"text": " ".join(["asa"] * 12)}, "too short for its phones"),
    ],
)
def test_what_cannot_be_used_is_dropped_and_counted(
    tmp_path: Path, line: dict[str, object], why: str
) -> None:
    folder = write_store(tmp_path)
    _add(folder, "odd", **line)
    store = load_store(folder, CPU)
    assert dict(store.dropped) == {why: 1}
    assert all(one.name != "odd" for one in store.utterances)


def test_speech_that_will_be_sped_up_must_be_longer_for_its_phones(tmp_path: Path) -> None:
    folder = write_store(tmp_path)
    _add(folder, "dense", text=" ".join(["asa"] * 10))
    assert load_store(folder, CPU).dropped == {}
    assert load_store(folder, CPU, fastest=1.18).dropped == {"too short for its phones": 1}


def test_a_folder_that_lacks_what_is_needed_is_refused(tmp_path: Path) -> None:
    folder = write_store(tmp_path)
    (folder / "near.jsonl").unlink()
    with pytest.raises(UnusableStoreError, match=r"near\.i16 has no near\.jsonl"):
        load_store(folder, CPU)
    (folder / "pronunciations.json").unlink()
    with pytest.raises(UnusableStoreError, match=r"no pronunciations\.json"):
        load_store(folder, CPU)


def test_sources_are_repeated_as_asked_and_misspelt_ones_refused() -> None:
    assert expected_repeats({"near", "far"}, {"near": 2.5}) == {"near": 2.5, "far": 1.0}
    with pytest.raises(UnusableStoreError, match="no source nera"):
        expected_repeats({"near", "far"}, {"nera": 2})


def test_a_store_gets_the_pronunciations_of_its_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from models.training import pronunciations

    folder = write_store(tmp_path)
    _add(folder, "spoken", text="water the pullets", split="test")
    monkeypatch.setattr("sys.argv", ["pronunciations", str(folder)])
    pronunciations.main()
    ways = load_store(folder, CPU).pronunciations
    assert ways.keys() >= {"water", "the", "pullets", "mi"}
    assert ("W", "AO", "T", "ER") in ways["water"]
