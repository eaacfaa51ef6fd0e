"""Transcripts as they are spoken, checked against another hearing, split by speaker."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

pytest.importorskip("num2words", reason="the packages that train models are not installed")
pytest.importorskip("soundfile", reason="the packages that train models are not installed")

import soundfile

from models.training.recordings import (
    RATE,
    clean,
    decode,
    held_out,
    noises,
    read_table,
    spoken,
    words_wrong,
)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Press 1 for A.M, or 22 for P.M.", "press one for a m or twenty two for p m"),
        ("Mrs. Lind lived there in 1999.", "missus lind lived there in nineteen ninety nine"),
        ("It cost 2.5 and the 3rd was free", "it cost two point five and the third was free"),
        ("the rowdies' well-known “trick”", "the rowdies well known trick"),
        ("1,250 birds", "one thousand two hundred and fifty birds"),
        ("50% of them", "fifty percent of them"),
        ("see [unclear] there", ""),
        ("$5", ""),
    ],
)
def test_text_becomes_what_is_said(written: str, said: str) -> None:
    assert spoken(written) == said


def test_edits_are_counted_a_word_of_the_text() -> None:
    assert words_wrong("a b c d", "a b c d") == 0
    assert words_wrong("a b c d", "a x c") == 0.5
    assert words_wrong("a", "b c d") == 3


def row(file: str, text: str, speaker: str = "s1") -> dict[str, str]:
    return {"file": file, "speaker": speaker, "text": text}


def hearing(heard: str, sure: float = -0.2) -> dict[str, object]:
    return {"heard": heard, "lp": [sure]}


def test_a_text_that_another_recogniser_did_not_hear_is_dropped() -> None:
    heard = {
        "same.ogg": hearing("The hens are in the barn."),
        "other.ogg": hearing("Call me back after lunch."),
        "silent.ogg": hearing(""),
        "untold.ogg": hearing("Two more words than that."),
        "mumbled.ogg": hearing("two more words than that", sure=-2.0),
    }
    rows = [
        row("same.ogg", "the hens are in the barn"),
        row("other.ogg", "the hens are in the barn"),
        row("silent.ogg", "the hens"),
        row("untold.ogg", ""),
        row("mumbled.ogg", ""),
    ]
    counts: Counter[str] = Counter()
    kept = list(clean(rows, "farm", 0.0, heard, counts))
    assert [one.file for one in kept] == ["same.ogg", "untold.ogg"]
    assert kept[1].text == "two more words than that"
    assert counts["kept"] == 2
    assert counts.total() == len(rows)


def test_all_recordings_of_a_speaker_are_on_one_side() -> None:
    rows = [row(f"{number}.ogg", "yes", f"speaker {number % 40}") for number in range(400)]
    kept = list(clean(rows, "farm", 0.3, {}, Counter()))
    sides = {(one.speaker, one.split) for one in kept}
    assert len(sides) == 40
    assert {split for _, split in sides} == {"train", "test"}
    assert {one.split for one in clean(rows, "farm", 0.0, {}, Counter())} == {"train"}


def test_unknown_speakers_are_split_by_recording() -> None:
    rows = [row(f"{number}.ogg", "yes", "unknown") for number in range(300)]
    splits = Counter(one.split for one in clean(rows, "farm", 0.2, {}, Counter()))
    assert 30 < splits["test"] < 90


def test_noise_keeps_its_class() -> None:
    made = list(noises([{"file": "a.ogg", "class": "rain"}], 1.0))
    assert made == [{"id": "a.ogg", "file": "a.ogg", "class": "rain", "split": "test"}]
    assert held_out("a.ogg", 1.0)


def test_a_table_may_have_a_heading(tmp_path: Path) -> None:
    (tmp_path / "m.tsv").write_text("file\tspeaker\ttext\na.ogg\ts\thello\nbad line\n", "utf-8")
    assert list(read_table(tmp_path / "m.tsv", ["file", "speaker", "text"])) == [
        row("a.ogg", "hello", "s")
    ]


def test_files_are_put_in_a_row_with_their_places(tmp_path: Path) -> None:
    tones = {
        name: (np.sin(np.arange(count) / 9) * 9000).astype(np.int16)
        for name, count in (("a.wav", 3000), ("b.wav", 5000))
    }
    for name, samples in tones.items():
        soundfile.write(tmp_path / name, samples, RATE)
    lines = [{"id": name, "file": name} for name in ("a.wav", "missing.wav", "b.wav")]
    hours = decode(lines, tmp_path, tmp_path / "store" / "tones", processes=1)
    assert hours == pytest.approx(8000 / RATE / 3600)
    found = np.fromfile(tmp_path / "store" / "tones.i16", np.int16)
    written = (tmp_path / "store" / "tones.jsonl").read_text().splitlines()
    for line in map(json.loads, written):
        part = found[line["start"] : line["start"] + line["samples"]]
        assert np.array_equal(part, tones[line["file"]])
    assert len(written) == 2
