"""Noise is mixed at the ratio asked for, and the table counts what was heard."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

pytest.importorskip("num2words", reason="the packages that train models are not installed")

from models.evaluation.word_errors import (
    Condition,
    Utterance,
    measure,
    read_noise,
    read_set,
    with_noise,
)

RATE = 16_000


def tone(seconds: float, pitch: float, loud: float) -> np.ndarray:
    times = np.arange(int(seconds * RATE)) / RATE
    return (np.sin(2 * np.pi * pitch * times) * loud).astype(np.int16)


def write_pair(store: Path, name: str, parts: list[tuple[dict[str, str], np.ndarray]]) -> None:
    start, lines = 0, []
    for line, samples in parts:
        lines.append(json.dumps({**line, "start": start, "samples": len(samples)}))
        start += len(samples)
    np.concatenate([samples for _, samples in parts]).tofile(store / f"{name}.i16")
    (store / f"{name}.jsonl").write_text("\n".join(lines) + "\n", "utf-8")


@pytest.fixture
def store(tmp_path: Path) -> Path:
    said = {"text": "two eggs", "split": "test"}
    write_pair(
        tmp_path,
        "memos",
        [
            ({"id": "1", **said}, tone(1, 300, 9000)),
            ({"id": "2", "text": "hidden", "split": "train"}, tone(1, 500, 9000)),
            ({"id": "3", **said}, tone(2, 700, 3000)),
        ],
    )
    write_pair(
        tmp_path,
        "noise-yard",
        [
            ({"id": "r", "class": "light rain", "split": "test"}, tone(1, 90, 200)),
            ({"id": "s", "class": "rain", "split": "test"}, tone(1, 80, 9000)),
            ({"id": "t", "class": "rain", "split": "train"}, tone(1, 70, 9000)),
        ],
    )
    return tmp_path


def test_only_what_is_kept_for_testing_is_heard(store: Path) -> None:
    assert [one.id for one in read_set(store, "memos")] == ["1", "3"]
    assert [one.id for one in read_set(store, "memos", limit=1)] == ["1"]
    assert len(read_noise(store, "noise-yard", ["rain"])["rain"]) == 2 * RATE


def test_noise_files_are_brought_to_one_loudness(store: Path) -> None:
    rain = read_noise(store, "noise-yard", ["rain"])["rain"]
    assert np.std(rain[:RATE]) == pytest.approx(np.std(rain[RATE:]), rel=0.01)


@pytest.mark.parametrize("snr", [20.0, 5.0, -5.0])
def test_noise_has_the_ratio_asked_for(store: Path, snr: float) -> None:
    one = read_set(store, "memos")[1]
    noise = read_noise(store, "noise-yard", ["rain"])["rain"]
    both = with_noise(one, noise, snr).astype(float)
    # The tone of the speech tells how far the whole was turned down.
    speech = one.samples.astype(float)
    kept = (both @ speech) / (speech @ speech)
    rest = both - kept * speech
    found = 10 * np.log10((kept**2 * (speech**2).mean()) / (rest**2).mean())
    assert found == pytest.approx(snr, abs=0.3)
    assert np.abs(both).max() <= 0.91 * 32768


def test_the_same_noise_lies_under_an_utterance_each_time(store: Path) -> None:
    one = read_set(store, "memos")[0]
    noise = read_noise(store, "noise-yard", ["rain"])["rain"]
    assert np.array_equal(with_noise(one, noise, 10), with_noise(one, noise, 10))


def test_conditions_are_named_as_printed() -> None:
    assert Condition(noise="", snr=None).name == "clean"
    assert Condition(noise="rain", snr=5.0).name == "rain 5 dB"


def test_the_carried_model_is_measured_on_a_recording() -> None:
    """Through the real recogniser: a demonstration memo and the same with other words told."""
    from voicelog.hearing.audio import read_recording
    from voicelog.hearing.model_folder import carried_model

    speech = Path(__file__).parents[4] / "corpora" / "speech"
    lines = map(json.loads, (speech / "manifest.jsonl").read_text("utf-8").splitlines())
    line = next(line for line in lines if line["file"] == "fed_two_coops.ogg")
    samples = read_recording(speech / line["file"]).samples
    right = Utterance(id="right", text=line["text"], samples=samples)
    wrong = Utterance(id="wrong", text="something else", samples=samples)
    engines = [("vosk", carried_model())]
    rows = list(measure(engines, {"a": [right], "b": [wrong]}, {}, [], processes=1))
    assert rows[0]["wer"] < 25
    assert rows[1]["wer"] > 100
    assert rows[0]["words"] == len(line["text"].split())
