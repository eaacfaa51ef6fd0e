"""The noise in the demo recordings is made again from its seed, at the level that it names."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

SCRIPT = Path(__file__).parents[3] / "models" / "synthesis" / "outdoor_sounds.py"
RATE = 16_000


@pytest.fixture(scope="module")
def sounds() -> ModuleType:
    spec = importlib.util.spec_from_file_location("outdoor_sounds", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


NOISES = ["wind", "rain", "clatter", "tones", "room"]


@pytest.mark.parametrize("name", NOISES)
def test_the_same_seed_gives_the_same_sound_at_unit_power(sounds: ModuleType, name: str) -> None:
    first = sounds.SOUNDS[name](2 * RATE, RATE, np.random.default_rng(7))
    again = sounds.SOUNDS[name](2 * RATE, RATE, np.random.default_rng(7))
    other = sounds.SOUNDS[name](2 * RATE, RATE, np.random.default_rng(8))
    np.testing.assert_array_equal(first, again)
    assert not np.array_equal(first, other)
    assert np.mean(first**2) == pytest.approx(1.0)


def test_a_recorder_without_microphone_gives_nothing(sounds: ModuleType) -> None:
    assert not sounds.SOUNDS["zeros"](RATE, RATE, np.random.default_rng(7)).any()


def test_wind_is_low_and_rain_is_high(sounds: ModuleType) -> None:
    def share_below(hz: float, sound: np.ndarray) -> float:
        power = np.abs(np.fft.rfft(sound)) ** 2
        frequency = np.fft.rfftfreq(len(sound), 1 / RATE)
        return float(power[frequency < hz].sum() / power.sum())

    chance = np.random.default_rng(7)
    assert share_below(300, sounds.wind(4 * RATE, RATE, chance)) > 0.8
    assert share_below(300, sounds.rain(4 * RATE, RATE, chance)) < 0.2


@pytest.mark.parametrize("snr_db", [5.0, 12.0, 20.0])
def test_the_mix_has_the_ratio_asked_for(sounds: ModuleType, snr_db: float) -> None:
    speech = np.sin(2 * np.pi * 300 * np.arange(RATE) / RATE)
    noise = sounds.rain(RATE, RATE, np.random.default_rng(7))
    added = sounds.mixed(speech, noise, snr_db) - speech
    loud = speech[np.abs(speech) > 0.01]
    ratio_db = 10 * np.log10(np.mean(loud**2) / np.mean(added**2))
    assert ratio_db == pytest.approx(snr_db, abs=1e-6)
