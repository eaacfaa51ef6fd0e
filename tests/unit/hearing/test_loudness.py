"""How long a sound has been quiet."""

from __future__ import annotations

import numpy as np
import pytest

from voicelog.hearing.audio import RATE
from voicelog.hearing.loudness import Loudness


def sound(seconds: float, level: float) -> np.ndarray:
    return np.random.default_rng(3).normal(0, level, int(seconds * RATE))


def quiet_s(*parts: np.ndarray, size: int = 1600) -> float:
    loudness = Loudness()
    samples = np.concatenate(parts).astype(np.int16).tobytes()
    for start in range(0, len(samples), size):
        loudness.take(samples[start : start + size])
    return loudness.quiet_s


@pytest.mark.parametrize("seconds", [0.3, 1.5, 4.0])
@pytest.mark.parametrize("behind", [0, 3, 100])
def test_the_quiet_after_talk_is_measured(seconds: float, behind: float) -> None:
    found = quiet_s(sound(2, 3000), sound(seconds, behind))
    assert found == pytest.approx(seconds, abs=0.1)


def test_an_offset_is_no_sound() -> None:
    assert quiet_s(sound(2, 3000) + 5000, sound(1, 3) + 5000) == pytest.approx(1, abs=0.1)


def test_wind_not_far_below_the_voice_still_counts_as_quiet() -> None:
    windy = quiet_s(sound(1, 500), sound(2, 3000), sound(1.5, 500))
    assert windy == pytest.approx(1.5, abs=0.1)


def test_talk_and_silence_alone_are_not_quiet() -> None:
    assert quiet_s(sound(2, 3000)) == 0
    assert quiet_s(np.zeros(2 * RATE)) == 0
    assert Loudness().quiet_s == 0


@pytest.mark.parametrize("size", [2, 642, 5000])
def test_the_size_of_chunks_does_not_matter(size: int) -> None:
    parts = sound(1, 3000), sound(0.8, 3)
    assert quiet_s(*parts, size=size) == quiet_s(*parts, size=100_000)


def test_old_sound_is_forgotten() -> None:
    loudness = Loudness()
    loudness.take(sound(1, 3000).astype(np.int16).tobytes())
    loudness.take(sound(2, 30).astype(np.int16).tobytes())
    assert loudness.quiet_s > 1.8
    loudness.forget_all_but(1.0)
    assert loudness.quiet_s == 0
