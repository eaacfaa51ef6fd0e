"""Demonstration recordings played in as if spoken, at the pace of speech. Nothing is timed here."""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np

from voicelog import hearing
from voicelog.app import Notebook, find_setting
from voicelog.app.hands_free import HandsFree
from voicelog.hearing.audio import RATE, read_recording
from voicelog.hearing.listening import listen
from voicelog.hearing.sources import PlayedIn

ROOT = Path(__file__).parents[2]
SPEECH = ROOT / "corpora" / "speech"


def shared_words(one: str, other: str) -> float:
    """Share of the words of both texts that stand in both."""
    first, second = set(one.split()), set(other.split())
    return len(first & second) / max(1, len(first | second))


def test_what_is_spoken_is_kept_in_order_with_its_words_and_sound(tmp_path: Path) -> None:
    recogniser = hearing.load_recogniser()
    names = ("eggs_two_coops.ogg", "weather.wav")
    samples = [read_recording(SPEECH / name).samples for name in names]
    quiet = np.zeros(2 * RATE, np.int16)
    source = PlayedIn(np.concatenate([samples[0], quiet, samples[1], quiet]))
    farm = ROOT / "voicelog" / "demo" / "farm.toml"
    setting = find_setting(str(tmp_path / "store.db"), farm, "2027-05-04T08:10")
    shown: list[str] = []
    with Notebook(setting) as notebook:
        kept_when_told: list[int] = []
        hands_free = HandsFree(notebook, partly=shown.append)
        for said in hands_free.take(listen(recogniser, source)):
            assert said.line.startswith("Kept: ")
            kept_when_told.append(len(notebook.reading.memos()))
        memos = notebook.reading.memos()
        # Each was kept before the next was spoken to its end.
        assert kept_when_told == [1, 2]
        for memo, name, sound in zip(memos, names, samples, strict=True):
            assert shared_words(memo.text, hearing.transcribe(SPEECH / name).text) > 0.6
            assert memo.audio is not None
            with wave.open(str(notebook.reading.audio_file(memo.audio))) as file:
                assert file.getnframes() > 0.8 * len(sound)
    assert any(0 < len(text.split()) < 5 for text in shown)
