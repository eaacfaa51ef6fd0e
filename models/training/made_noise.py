"""Noises made by code, a row an utterance: wind on the microphone, rain on a roof, clatter.

All come at mean power 1.
"""

from __future__ import annotations

import math

import torch
from torch.nn import functional

from models.training.dice import Dice
from models.training.features import RATE

RINGING = 4096
"""Samples for which a struck thing rings: a quarter of a second."""
LEAST_POWER = 1e-9


def to_unit_power(sounds: torch.Tensor) -> torch.Tensor:
    """Each row at mean power 1; silence stays silent."""
    return sounds / (sounds.square().mean(1, keepdim=True) + LEAST_POWER).sqrt()


def transform_length(samples: int) -> int:
    """A length not below `samples` that is fast to transform and seldom new.

    A length met for the first time costs the GPU's library a plan; multiples of 8192 are few.
    """
    return -(-samples // 8192) * 8192


def wind(rows: int, samples: int, dice: Dice) -> torch.Tensor:
    """Rumble below some 60 to 300 Hz that swells in gusts."""
    length = transform_length(samples)
    hertz = torch.arange(length // 2 + 1, device=dice.device) * (RATE / length)
    corner = dice.uniform(60, 300, rows, 1)
    slope = 1 / (1 + (hertz[None] / corner) ** 2)
    rumble = torch.fft.irfft(torch.fft.rfft(dice.normal(rows, length)) * slope, length)[:, :samples]
    knots = dice.uniform(0, 1, rows, 1, max(2, samples // 6000)).square()
    gusts = functional.interpolate(knots, size=samples, mode="linear")[:, 0]
    return to_unit_power(rumble * (gusts + 0.02))


def rain(rows: int, samples: int, dice: Dice) -> torch.Tensor:
    """Many short drops, from single ones to a hiss, each a burst of a few milliseconds."""
    drops_a_second = 10 ** dice.uniform(1.3, 3.5, rows, 1)
    time = torch.arange(RINGING, device=dice.device) / RATE
    decay = 10 ** dice.uniform(-3.3, -2.2, rows, 1)
    burst = dice.normal(rows, RINGING) * torch.exp(-time[None] / decay)
    return to_unit_power(_struck(_blows(rows, samples, drops_a_second, dice), burst))


def clatter(rows: int, samples: int, dice: Dice, modes: int = 5) -> torch.Tensor:
    """A few blows a second on something that rings: pans, feeders, gates."""
    blows_a_second = dice.uniform(1, 9, rows, 1)
    time = torch.arange(RINGING, device=dice.device) / RATE
    pitch = 10 ** dice.uniform(2.5, 3.8, rows, modes, 1)
    decay = 10 ** dice.uniform(-2.2, -1.0, rows, modes, 1)
    loudness = dice.uniform(0.1, 1.0, rows, modes, 1)
    phase = dice.uniform(0, 2 * math.pi, rows, modes, 1)
    ringing = loudness * torch.exp(-time / decay) * torch.sin(2 * math.pi * pitch * time + phase)
    return to_unit_power(_struck(_blows(rows, samples, blows_a_second, dice), ringing.sum(1)))


def _blows(rows: int, samples: int, a_second: torch.Tensor, dice: Dice) -> torch.Tensor:
    """(rows, samples) zeros with blows of random strength among them, one at least."""
    falls = dice.uniform(0, 1, rows, samples) < a_second / RATE
    limits = torch.full((rows, 1), max(1, samples - RINGING), device=dice.device)
    falls.scatter_(1, dice.below(limits), True)
    return torch.where(falls, dice.normal(rows, samples), 0.0)


def _struck(blows: torch.Tensor, sound_of_one: torch.Tensor) -> torch.Tensor:
    samples = blows.shape[1]
    length = transform_length(samples + sound_of_one.shape[1])
    spectrum = torch.fft.rfft(blows, length) * torch.fft.rfft(sound_of_one, length)
    return torch.fft.irfft(spectrum, length)[:, :samples]
