"""The manifests of the recordings name every file, and what they say fits the demo farm."""

from __future__ import annotations

import json
import re
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from voicelog.catalogue import load_catalogue
from voicelog.farm import read_farm

SPEECH = Path(__file__).parents[3] / "corpora" / "speech"
NOTHING = SPEECH / "nothing"
KEPT_OUT_OF_TRAINING = {"af_sarah", "am_fenrir", "bf_lily", "bm_daniel"}
COMMON = {"kind", "status", "when", "when_said", "place", "flock", "birds"}

LISTS = {"manifest.jsonl", "transcripts.jsonl"}
"""Files beside the recordings that are none."""


@cache
def manifest(folder: Path) -> tuple[dict[str, Any], ...]:
    text = (folder / "manifest.jsonl").read_text("utf-8")
    return tuple(json.loads(line) for line in text.splitlines())


def records() -> list[dict[str, Any]]:
    return [record for line in manifest(SPEECH) for record in line["records"]]


def test_the_manifests_name_every_file_and_no_other() -> None:
    for folder in (SPEECH, NOTHING):
        there = {path.name for path in folder.iterdir() if path.is_file()} - LISTS
        named = [line["file"] for line in manifest(folder)]
        assert sorted(named) == sorted(there)


def test_every_recording_is_marked_as_invented_and_licensed() -> None:
    for line in (*manifest(SPEECH), *manifest(NOTHING)):
        assert line["synthetic"] is True
        assert line["invented"] is True
        assert line["licence"] == "Apache-2.0"


def test_most_voices_were_never_trained_on() -> None:
    voices = [line["voice"] for line in manifest(SPEECH)]
    assert set(voices) >= KEPT_OUT_OF_TRAINING
    assert sum(voice in KEPT_OUT_OF_TRAINING for voice in voices) > 0.7 * len(voices)


def test_every_kind_of_sound_file_is_there() -> None:
    endings = {Path(line["file"]).suffix for line in manifest(SPEECH)}
    assert endings == {".ogg", ".wav", ".flac", ".mp3", ".m4a"}


def test_the_noisy_ones_name_their_noise_and_level() -> None:
    noisy = [line for line in manifest(SPEECH) if line["noise"] is not None]
    assert len(noisy) >= 6
    assert {line["noise"] for line in noisy} == {"wind", "rain", "clatter"}
    assert all(5 <= line["snr_db"] <= 20 for line in noisy)
    assert all(line["snr_db"] is None for line in manifest(SPEECH) if line["noise"] is None)


def test_the_text_is_the_script_as_it_sounds() -> None:
    for line in manifest(SPEECH):
        assert line["text"] == " ".join(re.findall(r"[a-z']+", line["script"].lower()))


def test_the_recordings_cover_every_kind_of_record() -> None:
    assert {record["kind"] for record in records()} == {k.name for k in load_catalogue().kinds}


def test_the_expected_records_hold_declared_slots_and_places_of_the_farm() -> None:
    farm = read_farm((files("voicelog.demo") / "farm.toml").read_text("utf-8"))
    places = {place.name for place in farm.places} | {None}
    birds = {bird.name for bird in farm.birds}
    for record in records():
        slots = {slot.name for slot in load_catalogue().kind(record["kind"]).slots}
        assert set(record) >= COMMON
        assert set(record) - COMMON <= slots
        assert record["place"] in places
        assert set(record["birds"]) <= birds


def test_the_folder_stays_small() -> None:
    size = sum(path.stat().st_size for path in SPEECH.rglob("*") if path.is_file())
    assert size < 3_000_000
