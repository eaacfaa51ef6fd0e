"""A demonstration recording as worse recorders would have given it: its words are still heard."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile
from numpy.typing import NDArray

from voicelog.hearing.audio import RATE, read_recording
from voicelog.hearing.vosk_engine import Recogniser

Sound = NDArray[np.float64]
NAME = "eggs_two_coops.ogg"


@pytest.fixture(scope="module")
def plain(speech: Path) -> Sound:
    return read_recording(speech / NAME).samples / 32768


@pytest.fixture(scope="module")
def words(recogniser: Recogniser, speech: Path) -> Counter[str]:
    return Counter(recogniser.hear(read_recording(speech / NAME)).text.split())


def both(sound: Sound) -> Sound:
    return np.stack([sound, sound], axis=1)


def resampled(rate: int) -> Callable[[Sound], Sound]:
    def at_rate(sound: Sound) -> Sound:
        at = np.arange(round(len(sound) * rate / RATE)) * RATE / rate
        return np.interp(at, np.arange(len(sound)), sound)

    return at_rate


WORSE: dict[str, tuple[Callable[[Sound], Sound], int]] = {
    "stereo": (both, RATE),
    "left silent": (lambda sound: both(sound) * [0, 1], RATE),
    "right silent": (lambda sound: both(sound) * [1, 0], RATE),
    "opposite phase": (lambda sound: both(sound) * [1, -1], RATE),
    "opposite phase, one side weaker": (lambda sound: both(sound) * [1, -0.8], RATE),
    "opposite phase with an offset": (lambda sound: both(sound) * [0.5, -0.5] + 0.2, RATE),
    "six channels, one used": (lambda s: np.stack([s, *[s * 0] * 5], axis=1), RATE),
    "quiet": (lambda sound: sound * 0.004, RATE),
    "quiet with an offset": (lambda sound: sound * 0.004 + 0.05, RATE),
    "offset": (lambda sound: sound * 0.5 + 0.4, RATE),
    "clipped": (lambda sound: np.clip(sound * 4, -0.99, 0.99), RATE),
    "11 kHz": (resampled(11_025), 11_025),
    "22 kHz": (resampled(22_050), 22_050),
    "44.1 kHz stereo": (lambda sound: both(resampled(44_100)(sound)), 44_100),
    "48 kHz": (resampled(48_000), 48_000),
    "96 kHz": (resampled(96_000), 96_000),
}


@pytest.mark.parametrize("how", WORSE)
def test_its_words_are_heard(
    how: str, plain: Sound, words: Counter[str], recogniser: Recogniser, tmp_path: Path
) -> None:
    change, rate = WORSE[how]
    soundfile.write(tmp_path / "a.wav", change(plain), rate, subtype="PCM_24")
    recording = read_recording(tmp_path / "a.wav")
    assert recording.seconds == pytest.approx(len(plain) / RATE, abs=0.02)
    heard = Counter(recogniser.hear(recording).text.split())
    assert (heard & words).total() >= 0.75 * words.total()


def test_opposite_channels_do_not_cancel(plain: Sound, tmp_path: Path) -> None:
    soundfile.write(tmp_path / "a.wav", both(plain) * [1, -1], RATE, subtype="PCM_24")
    samples = read_recording(tmp_path / "a.wav").samples
    assert np.abs(samples / 32768 - plain).max() < 1e-3


def test_an_offset_is_taken_off_and_a_sound_without_one_is_not_touched(
    plain: Sound, tmp_path: Path
) -> None:
    for offset in (0.0, 0.3, -0.3):
        soundfile.write(tmp_path / "a.wav", plain * 0.5 + offset, RATE, subtype="PCM_24")
        samples = read_recording(tmp_path / "a.wav").samples
        assert np.abs(samples / 32768 - plain * 0.5).max() < 1e-3
