"""What happens to speech on the way into a telephone, made at random for a batch at a time.

Rooms and microphones, recorded and made noise, other voices, loudness, clipping and coarse coding,
and the exact zeros of digital pauses and noise gates. Everything runs on the device of the sound;
how many rows are changed is fixed in advance, which ones is chance.
"""

from __future__ import annotations

import math

import torch
from torch.nn import functional

from models.training import made_noise
from models.training.dice import Dice
from models.training.features import BINS, FULL_SCALE, RATE, UNWARPED, WARPS
from models.training.made_noise import LEAST_POWER, to_unit_power, transform_length
from models.training.placement import PlacedSpeech
from models.training.recorded_noise import RecordedNoise

ECHO = 8192
"""Samples of the longest echo: half a second."""
GATE_BLOCK = 160
GATE_BLOCKS = 6
"""A noise gate closes where at least so many blocks of 10 ms are soft."""

EQUALISED, TILTED, BAND_LIMITED, ECHOING = 0.6, 0.4, 0.3, 0.35
FIRST_NOISE, SECOND_NOISE, MADE_NOISE_EACH, VOICES_BEHIND = 0.6, 0.2, 0.1, 0.1
CLIPPED, COARSE, MU_LAW, HISSING = 0.08, 0.06, 0.08, 0.6
SILENT_AROUND, GATED = 0.3, 0.2
"""Shares of a batch that each change is made to."""
NOISE_DB = (-2.0, 30.0)
"""Speech over noise."""
WIND_DB = (-14.0, 20.0)
"""Wind is loud where speech has little, below 300 Hz."""
VOICES_DB = (10.0, 25.0)
PEAK_DB = (-36.0, -0.5)
"""Of the loudest sample, below full scale."""
MU = 255.0


def augment(placed: PlacedSpeech, noises: RecordedNoise | None, dice: Dice) -> torch.Tensor:
    """(B, S) samples with full scale 1, on the grid of 16-bit numbers.

    Unprocessed rows come out as they were placed.
    """
    spoken = placed.spoken
    sound = placed.sound / _peak(placed.sound)
    rows = len(sound)
    soft = _long_soft_stretches(sound, spoken)
    sound = _through_room_and_microphone(sound, dice)
    speech_level = ((sound * spoken).square().sum(1) / spoken.sum(1).clamp_min(1)).sqrt()
    sound = sound + speech_level[:, None] * _noise_for(sound, noises, dice)
    level = dice.decibels(*PEAK_DB, rows, 1)
    sound = sound / _peak(sound) * level
    sound = _coarsened(sound, level, dice)
    hissing = dice.some(HISSING, rows)
    hiss = dice.normal(len(hissing), sound.shape[1]) * dice.decibels(-100, -62, len(hissing), 1)
    sound = sound.index_add(0, hissing, hiss)
    silent = _rows_true(dice.some(SILENT_AROUND, rows), rows) & ~spoken
    silent |= _rows_true(dice.some(GATED, rows), rows) & soft
    sound = sound.masked_fill(silent, 0.0)
    sound = torch.where(placed.unprocessed[:, None], placed.sound, sound)
    return (sound * FULL_SCALE).round().clamp(-FULL_SCALE, FULL_SCALE - 1) / FULL_SCALE


def random_warps(unprocessed: torch.Tensor, dice: Dice) -> torch.Tensor:
    """(B,) mel banks: any for two utterances in three, else the plain one."""
    limits = torch.full((len(unprocessed),), len(WARPS), device=unprocessed.device)
    warped = dice.happens(2 / 3, len(unprocessed)) & ~unprocessed
    return torch.where(warped, dice.below(limits), UNWARPED)


def hidden_cells(rows: int, frames: int, dice: Dice) -> torch.Tensor:
    """(B, T, 40) true in a few stripes of time (up to 150 ms) and of pitch (up to 6 bins)."""
    time = torch.arange(frames, device=dice.device)[None]
    pitch = torch.arange(BINS, device=dice.device)[None]
    hidden = torch.zeros(rows, frames, BINS, dtype=torch.bool, device=dice.device)
    for _ in range(2):
        start = dice.uniform(0, frames, rows, 1)
        hidden |= ((time >= start) & (time < start + dice.uniform(0, 15, rows, 1)))[:, :, None]
        start = dice.uniform(0, BINS, rows, 1)
        width = dice.uniform(0, 6, rows, 1) * dice.happens(0.5, rows, 1)
        hidden |= ((pitch >= start) & (pitch < start + width))[:, None, :]
    return hidden


def _peak(sound: torch.Tensor) -> torch.Tensor:
    return sound.abs().amax(1, keepdim=True).clamp_min(1e-4)


def _rows_true(chosen: torch.Tensor, rows: int) -> torch.Tensor:
    """(rows, 1) true for the rows chosen."""
    truth = torch.zeros(rows, 1, dtype=torch.bool, device=chosen.device)
    return truth.index_fill(0, chosen, True)


def _long_soft_stretches(sound: torch.Tensor, spoken: torch.Tensor) -> torch.Tensor:
    """(B, S) true where it is soft for 60 ms and more: pauses between words, and those around."""
    blocks = functional.avg_pool1d(sound.square(), GATE_BLOCK, ceil_mode=True)
    level = 10 * torch.log10(blocks + LEAST_POWER)
    soft = (level < level.amax(1, keepdim=True) - 38).float()
    # Where a whole window is soft, all of it is: erosion, then dilation, by pooling.
    whole = -functional.max_pool1d(-soft[:, None], GATE_BLOCKS, stride=1)
    long = functional.max_pool1d(
        functional.pad(whole, (GATE_BLOCKS - 1, GATE_BLOCKS - 1)), GATE_BLOCKS, stride=1
    )[:, 0]
    return long.repeat_interleave(GATE_BLOCK, 1)[:, : sound.shape[1]].bool() | ~spoken


def _through_room_and_microphone(sound: torch.Tensor, dice: Dice) -> torch.Tensor:
    """Echo and colour, as one filter a row."""
    rows, samples = sound.shape
    length = transform_length(samples + ECHO)
    spectrum = torch.fft.rfft(sound, length) * torch.fft.rfft(_echoes(rows, dice), length)
    hertz = torch.arange(length // 2 + 1, device=sound.device)[None] * (RATE / length)
    return torch.fft.irfft(spectrum * _colours(rows, hertz, dice), length)[:, :samples]


def _echoes(rows: int, dice: Dice) -> torch.Tensor:
    """(B, ECHO) impulse responses: the direct sound, a few reflections, a decaying tail."""
    time = torch.arange(ECHO, device=dice.device)[None] / RATE
    seconds = dice.uniform(0.06, 0.6, rows, 1)
    delay = dice.uniform(0.001, 0.02, rows, 1)
    tail = dice.normal(rows, ECHO) * torch.exp(-6.9 * time / seconds) * (time > delay)
    early = dice.normal(rows, ECHO) * dice.happens(0.004, rows, ECHO) * (time < 0.04)
    tail = tail / tail.square().sum(1, keepdim=True).sqrt()
    early = early / (early.square().sum(1, keepdim=True) + 1e-6).sqrt()
    strength = dice.decibels(-22, 2, rows, 1) * _rows_true(dice.some(ECHOING, rows), rows)
    echoes = strength * (tail + dice.uniform(0, 1, rows, 1) * early)
    echoes[:, 0] = 1.0
    return echoes


def _colours(rows: int, hertz: torch.Tensor, dice: Dice) -> torch.Tensor:
    """(B, lines) gains: random equalising, a tilt, and the band limits of small microphones."""
    octaves = torch.log2((hertz + 50) / 1000)
    knots = dice.uniform(-8, 8, rows, 10) * _rows_true(dice.some(EQUALISED, rows), rows)
    # Knots lie evenly over pitch, about as the ear hears it.
    place = (octaves + 4.32) / (3.01 + 4.32) * 9
    left = place.floor().clamp(0, 8).long().expand(rows, -1)
    share = (place - left).clamp(0, 1)
    gain_db = knots.gather(1, left) * (1 - share) + knots.gather(1, left + 1) * share
    tilt = dice.uniform(-3, 3, rows, 1) * _rows_true(dice.some(TILTED, rows), rows)
    gain_db = gain_db + tilt * octaves
    limited = _rows_true(dice.some(BAND_LIMITED, rows), rows)
    lowest = torch.where(limited, dice.uniform(60, 400, rows, 1), 0.0)
    highest = torch.where(limited, dice.uniform(3000, 8000, rows, 1), 20_000.0)
    band = ((1 + (lowest / (hertz + 1)) ** 6) * (1 + (hertz / highest) ** 16)).rsqrt()
    return 10 ** (gain_db / 20) * band


def _noise_for(sound: torch.Tensor, noises: RecordedNoise | None, dice: Dice) -> torch.Tensor:
    """(B, S) all that is heard besides the speech, in units of the speech's level."""
    rows, samples = sound.shape
    total = torch.zeros_like(sound)
    if noises is not None:
        for share in (FIRST_NOISE, SECOND_NOISE):
            chosen = dice.some(share, rows)
            _mix(total, chosen, noises.stretches(len(chosen), samples, dice), NOISE_DB, dice)
    for make, level in (
        (made_noise.wind, WIND_DB),
        (made_noise.rain, NOISE_DB),
        (made_noise.clatter, NOISE_DB),
    ):
        chosen = dice.some(MADE_NOISE_EACH, rows)
        if len(chosen):
            _mix(total, chosen, make(len(chosen), samples, dice), level, dice)
    chosen = dice.some(VOICES_BEHIND, rows)
    _mix(total, chosen, _voices(sound, len(chosen), dice), VOICES_DB, dice)
    return total


def _mix(
    total: torch.Tensor,
    rows: torch.Tensor,
    noise: torch.Tensor,
    speech_over_noise: tuple[float, float],
    dice: Dice,
) -> None:
    """Add noises of unit power to some rows, each at a level of its own."""
    low, high = speech_over_noise
    total.index_add_(0, rows, noise * dice.decibels(-high, -low, len(rows), 1))


def _voices(sound: torch.Tensor, count: int, dice: Dice, speakers: int = 4) -> torch.Tensor:
    """(count, S) of unit power: several rows of the batch over one another, moved in time."""
    rows, samples = sound.shape
    total = torch.zeros(count, samples, device=sound.device)
    limits = torch.full((count, 1), max(rows, samples), device=sound.device)
    for _ in range(speakers):
        row = dice.below(limits.clamp_max(rows))
        moved = (torch.arange(samples, device=sound.device) + dice.below(limits)) % samples
        total += to_unit_power(sound[row, moved])
    return to_unit_power(total)


def _coarsened(sound: torch.Tensor, level: torch.Tensor, dice: Dice) -> torch.Tensor:
    """Clipping, few bits, and the steps of mu-law coding, each in some rows."""
    rows = len(sound)
    clipped = _rows_true(dice.some(CLIPPED, rows), rows)
    limit = torch.where(clipped, level * dice.uniform(0.2, 0.8, rows, 1), 2.0)
    sound = torch.minimum(torch.maximum(sound, -limit), limit)
    coarse = dice.some(COARSE, rows)
    steps = 2 ** dice.uniform(5, 9, len(coarse), 1) / level[coarse]
    sound = sound.index_copy(0, coarse, (sound[coarse] * steps).round() / steps)
    coded = dice.some(MU_LAW, rows)
    return sound.index_copy(0, coded, _by_mu_law(sound[coded]))


def _by_mu_law(sound: torch.Tensor) -> torch.Tensor:
    """As 8-bit mu-law gives it back (ITU-T G.711's curve)."""
    pressed = sound.sign() * torch.log1p(MU * sound.abs()) / math.log1p(MU)
    pressed = (pressed * 127).round() / 127
    return pressed.sign() * torch.expm1(pressed.abs() * math.log1p(MU)) / MU
