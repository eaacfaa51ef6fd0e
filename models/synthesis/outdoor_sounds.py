"""Wind, rain, clatter, engines, tones and silence, made from seeded noise.

Every sound is an array of samples, mean power 1 unless it says otherwise; whoever uses it sets
the level.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np

Sound = Callable[[int, int, np.random.Generator], np.ndarray]
"""Takes a count of samples, samples a second, and the source of chance."""


def shaped_noise(
    count: int, rate: int, chance: np.random.Generator, bands: list[tuple[float, float]]
) -> np.ndarray:
    """Noise whose spectrum follows (frequency in Hz, gain in dB), straight between the points."""
    frequency = np.fft.rfftfreq(count, 1 / rate)
    gain_db = np.interp(frequency, [hz for hz, _ in bands], [db for _, db in bands])
    spectrum = np.fft.rfft(chance.standard_normal(count)) * 10 ** (gain_db / 20)
    return np.fft.irfft(spectrum, count)


def slow_curve(
    count: int, rate: int, chance: np.random.Generator, step_s: float, low: float
) -> np.ndarray:
    """A smooth random curve between `low` and 1 that turns about every `step_s` seconds."""
    knots = chance.uniform(low, 1.0, size=int(count / rate / step_s) + 3)
    position = np.arange(count) / rate / step_s + chance.uniform(0, 1)
    left = position.astype(int)
    mix = (1 - np.cos(np.pi * (position - left))) / 2
    return knots[left] * (1 - mix) + knots[left + 1] * mix


def to_unit_power(sound: np.ndarray) -> np.ndarray:
    """The same sound at mean power 1."""
    return sound / np.sqrt(np.mean(sound**2))


def wind(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """Rumble on the microphone that swells in gusts, with a little hiss in the leaves."""
    rumble = shaped_noise(
        count, rate, chance, [(0, -40), (30, 0), (90, 0), (300, -18), (1000, -36), (8000, -60)]
    )
    leaves = shaped_noise(count, rate, chance, [(0, -60), (800, -12), (3000, 0), (8000, -14)])
    gusts = slow_curve(count, rate, chance, step_s=0.7, low=0.05) ** 1.5
    return to_unit_power(gusts * (to_unit_power(rumble) + 0.12 * to_unit_power(leaves)))


def gusts(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """Single gusts that strike the microphone out of near silence."""
    blows = shaped_noise(
        count, rate, chance, [(0, -30), (20, 0), (120, 0), (400, -16), (1500, -40), (8000, -60)]
    )
    swell = slow_curve(count, rate, chance, step_s=1.1, low=0.0) ** 4
    return to_unit_power(swell * blows)


def rain(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """A steady hiss with single drops on a roof."""
    hiss = shaped_noise(count, rate, chance, [(0, -40), (400, -14), (2500, 0), (8000, -6)])
    drops = np.zeros(count)
    for start in chance.integers(0, count, size=int(count / rate * 22)):
        pitch = chance.uniform(900, 3200)
        ring = _ring(min(count - start, rate // 50), rate, pitch, decay_s=0.003)
        drops[start : start + len(ring)] += chance.uniform(0.2, 1) ** 2 * ring
    return to_unit_power(to_unit_power(hiss) + 0.8 * to_unit_power(drops))


def clatter(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """Buckets and latches: knocks that ring at a few unrelated pitches."""
    knocks = np.zeros(count)
    starts = np.cumsum(chance.uniform(0.12, 0.75, size=int(count / rate / 0.12) + 2))
    for start_s in starts:
        start = int(start_s * rate)
        if start >= count:
            break
        length = min(count - start, rate // 3)
        strength = chance.uniform(0.15, 1)
        for pitch in chance.uniform(350, 5200, size=6):
            decay_s = chance.uniform(0.01, 0.07)
            weight = strength * chance.uniform(0.3, 1)
            knocks[start : start + length] += weight * _ring(length, rate, pitch, decay_s)
    floor = shaped_noise(count, rate, chance, [(0, -30), (200, 0), (8000, -20)])
    return to_unit_power(to_unit_power(knocks) + 0.05 * to_unit_power(floor))


def tones(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """Beeps of a machine: plain tones with short pauses."""
    sound = np.zeros(count)
    edges = np.arange(0, count, rate // 2)
    for start, stop in pairwise([*edges, count]):
        seconds = np.arange(stop - start) / rate
        beep = np.sin(2 * np.pi * chance.choice([440.0, 620.0, 1000.0, 1850.0]) * seconds)
        sound[start:stop] = beep * (seconds < 0.35)
    return to_unit_power(sound)


def engine(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """A small motor that idles: firing strokes whose pace and strength wander, and its rattle."""
    pace_hz = 24 * (0.9 + 0.2 * slow_curve(count, rate, chance, step_s=0.8, low=0.0))
    turns = np.cumsum(pace_hz) / rate
    strokes = np.zeros(count)
    for number in range(1, 40):
        shift = chance.uniform(0, 2 * np.pi)
        strokes += number**-0.7 * np.sin(2 * np.pi * number * turns + shift)
    # Each stroke of a cold motor is as strong as chance has it.
    strokes *= chance.uniform(0.6, 1.0, size=int(turns[-1]) + 2)[turns.astype(int)]
    rattle = shaped_noise(count, rate, chance, [(0, -40), (300, -6), (1200, 0), (8000, -30)])
    rattle *= np.maximum(0, np.sin(2 * np.pi * turns))
    return to_unit_power(to_unit_power(strokes) + 0.25 * to_unit_power(rattle))


def mains_hum(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """A cable that picks up the mains: 60 Hz and its multiples, without any change."""
    seconds = np.arange(count) / rate
    hum = np.zeros(count)
    for number, weight in ((1, 1.0), (2, 0.6), (3, 0.4), (5, 0.2), (7, 0.1)):
        hum += weight * np.sin(2 * np.pi * 60 * number * seconds + chance.uniform(0, 2 * np.pi))
    return to_unit_power(hum)


def clicks(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """Nothing at all, but for the ticks of a fence charger: one in a second and a third."""
    sound = np.zeros(count)
    length = rate // 250
    for start in range(rate // 2, count - length, rate * 4 // 3):
        ring = _ring(length, rate, chance.uniform(1500, 3500), decay_s=0.0006)
        sound[start : start + length] = chance.uniform(0.6, 1) * ring
    return to_unit_power(sound)


def room(count: int, rate: int, chance: np.random.Generator) -> np.ndarray:
    """A quiet place: the faint even noise of the microphone itself."""
    return to_unit_power(shaped_noise(count, rate, chance, [(0, -20), (100, 0), (8000, -3)]))


def zeros(count: int, _rate: int, _chance: np.random.Generator) -> np.ndarray:
    """A recorder that was on with no microphone: nothing at all (power 0)."""
    return np.zeros(count)


SOUNDS: dict[str, Sound] = {
    "wind": wind,
    "gusts": gusts,
    "rain": rain,
    "clatter": clatter,
    "engine": engine,
    "mains_hum": mains_hum,
    "clicks": clicks,
    "tones": tones,
    "room": room,
    "zeros": zeros,
}


def mixed(speech: np.ndarray, noise: np.ndarray, snr_db: float) -> np.ndarray:
    """Speech with noise under it.

    `snr_db` compares the mean power of the speech where it is spoken (louder than a hundredth
    of its peak) with the mean power of the noise over the whole.
    """
    spoken = speech[np.abs(speech) > 0.01 * np.abs(speech).max()]
    level = np.sqrt(np.mean(spoken**2)) * 10 ** (-snr_db / 20)
    return speech + level * to_unit_power(noise)


def _ring(count: int, rate: int, pitch_hz: float, decay_s: float) -> np.ndarray:
    seconds = np.arange(count) / rate
    return np.sin(2 * np.pi * pitch_hz * seconds) * np.exp(-seconds / decay_s)
