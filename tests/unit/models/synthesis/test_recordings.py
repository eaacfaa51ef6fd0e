"""From the lines of a manifest to jobs, and from the speech of the jobs to recordings."""

import json

import numpy as np
import pytest

pytest.importorskip("kokoro_onnx", reason="the packages that make recordings are not installed")
pytest.importorskip("scipy", reason="the packages that make recordings are not installed")

from outdoor_sounds import SOUNDS
from record import RATE, chance_for, chosen_lines, sound_alone, with_noise
from recording_jobs import jobs, spoken_lines
from spoken_already import ADDED_MARGIN_S, SpokenAlready

LINES = [
    {
        "file": "a.ogg",
        "text": "nine eggs",
        "script": "Nine eggs.",
        "voice": "af_sarah",
        "speed": 1.1,
    },
    {"file": "b.ogg", "text": "", "script": "Buenos días.", "voice": "ef_dora", "speed": 0.9},
    {"file": "c.ogg", "text": "", "sound": "rain", "seconds": 1, "level_db": -20},
]


@pytest.fixture
def manifest(tmp_path):
    path = tmp_path / "manifest.jsonl"
    path.write_text("".join(json.dumps(line) + "\n" for line in LINES), "utf-8")
    (tmp_path / "a.ogg").touch()
    return path


def test_only_spoken_lines_become_jobs_and_those_with_a_file_only_when_asked(manifest):
    assert [line["file"] for line in spoken_lines(manifest, every=False)] == ["b.ogg"]
    assert [line["file"] for line in spoken_lines(manifest, every=True)] == ["a.ogg", "b.ogg"]


def test_a_job_has_the_voice_and_the_pace_of_its_line():
    first, second = jobs(LINES[:2])
    assert (first.id, first.voices, first.speed) == ("a.ogg", [("af_sarah", 1.0)], 1.1)
    assert (second.id, second.voices, second.speed) == ("b.ogg", [("ef_dora", 1.0)], 0.9)


def test_a_line_is_read_in_the_language_of_its_voice():
    same_words = [{**LINES[1], "file": voice, "voice": voice} for voice in ("ef_dora", "if_sara")]
    spanish, italian = jobs(same_words)
    assert spanish.tokens != italian.tokens


def test_two_lines_with_one_file_are_refused():
    with pytest.raises(ValueError, match="one file"):
        jobs([LINES[0], LINES[0]])


def test_lines_to_make_are_chosen_by_name_and_by_what_is_not_there(manifest):
    assert [line["file"] for line in chosen_lines(manifest, ["a.ogg", "c.ogg"], False)] == [
        "a.ogg",
        "c.ogg",
    ]
    assert [line["file"] for line in chosen_lines(manifest, [], True)] == ["b.ogg", "c.ogg"]


def test_speech_is_found_in_its_shard_and_gets_margins(tmp_path):
    np.arange(1000, dtype=np.int16).tofile(tmp_path / "shard-0.i16")
    entries = [{"id": "a.ogg", "start": 0, "samples": 600}, {"id": "b.ogg", "start": 600}]
    entries[1]["samples"] = 400
    listing = "".join(json.dumps(entry) + "\n" for entry in entries)
    (tmp_path / "shard-0.jsonl").write_text(listing, "utf-8")
    sound = SpokenAlready(tmp_path).samples("b.ogg")
    margin = round(ADDED_MARGIN_S * RATE)
    assert np.array_equal(np.rint(sound[margin:-margin] * 32767), np.arange(600, 1000))
    assert not sound[:margin].any()
    assert not sound[-margin:].any()


def test_speech_that_is_not_whole_is_a_failure(tmp_path):
    np.arange(10, dtype=np.int16).tofile(tmp_path / "shard-0.i16")
    entry = {"id": "a.ogg", "start": 5, "samples": 6}
    (tmp_path / "shard-0.jsonl").write_text(json.dumps(entry) + "\n", "utf-8")
    with pytest.raises(LookupError):
        SpokenAlready(tmp_path).samples("a.ogg")
    with pytest.raises(LookupError):
        SpokenAlready(tmp_path).samples("b.ogg")


@pytest.mark.parametrize("snr_db", [20, 10, 5])
def test_the_noise_lies_as_far_under_the_speech_as_the_line_says(snr_db):
    speech = 0.3 * np.sin(np.arange(2 * RATE) / 9)
    line = {"file": "a.ogg", "noise": "wind", "snr_db": snr_db}
    noise = with_noise(speech, line) - speech
    spoken = speech[np.abs(speech) > 0.01 * np.abs(speech).max()]
    found = 10 * np.log10(np.mean(spoken**2) / np.mean(noise**2))
    assert found == pytest.approx(snr_db, abs=0.01)


@pytest.mark.parametrize("name", sorted(set(SOUNDS) - {"zeros"}))
def test_a_sound_is_as_loud_as_its_line_says_and_the_same_on_every_run(name):
    line = {"file": "x.ogg", "sound": name, "seconds": 2, "level_db": -30}
    sound = sound_alone(line)
    assert len(sound) == 2 * RATE
    assert 10 * np.log10(np.mean(sound**2)) == pytest.approx(-30, abs=0.01)
    assert np.array_equal(sound, sound_alone(line))
    assert not np.array_equal(chance_for("x.ogg").random(3), chance_for("y.ogg").random(3))


def test_clicks_stand_in_digital_silence():
    sound = SOUNDS["clicks"](5 * RATE, RATE, chance_for("x.ogg"))
    assert 0.98 < np.mean(sound == 0) < 1
