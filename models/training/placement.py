"""Where the utterances of a batch lie in its sound: faster or slower, with pauses around them.

The plan is drawn on the CPU, so that the length of a batch is known without asking the device; the
samples are read and resampled on the device.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import torch

from models.training.features import FULL_SCALE, RATE
from models.training.sound_store import SoundStore

SLOWEST, FASTEST = 0.85, 1.18
"""Speed and pitch go together, as of a tape."""
LONGEST_PAUSE = int(0.6 * RATE)
LENGTH_STEP = 3200
"""Batches have lengths that are multiples of this, so that few different ones occur."""
TAPS = 12
"""Neighbours that a resampled value is made from."""
UNPROCESSED_SHARE = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """How each utterance of a batch is laid into its row."""

    utterances: np.ndarray
    """Numbers in the store."""
    speeds: np.ndarray
    leads: np.ndarray
    """Silent samples before the speech."""
    bodies: np.ndarray
    """Samples of speech, after the change of speed."""
    totals: np.ndarray
    """Lead, body and what is silent after it."""
    unprocessed: np.ndarray
    """True for utterances that get pauses and nothing else."""
    samples: int
    """Length of every row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedSpeech:
    """The sound of a batch before anything is added to it, on the device."""

    sound: torch.Tensor
    """(B, S) samples, full scale 1."""
    spoken: torch.Tensor
    """(B, S) true where an utterance lies."""
    totals: torch.Tensor
    """(B,) samples that belong to each row; what follows is silence."""
    unprocessed: torch.Tensor
    """(B,) as in the placement."""


def as_recorded(store: SoundStore, utterances: Sequence[int]) -> Placement:
    """The placement that leaves every utterance as it is."""
    lengths = np.array([store.utterances[number].samples for number in utterances])
    none = np.zeros(len(lengths), dtype=np.int64)
    return _placement(utterances, np.ones(len(lengths)), none, lengths, none, none == 0)


def random_placement(
    store: SoundStore, utterances: Sequence[int], chance: np.random.Generator
) -> Placement:
    """Random speeds and pauses; a share of the utterances is to stay unprocessed."""
    lengths = np.array([store.utterances[number].samples for number in utterances])
    count = len(lengths)
    unprocessed = chance.permutation(count) < round(UNPROCESSED_SHARE * count)
    speeds = np.exp(chance.uniform(math.log(SLOWEST), math.log(FASTEST), count))
    speeds[unprocessed] = 1.0
    bodies = (lengths / speeds).astype(np.int64)
    leads, trails = chance.integers(0, LONGEST_PAUSE + 1, (2, count))
    return _placement(utterances, speeds, leads, bodies, trails, unprocessed)


def _placement(
    utterances: Sequence[int],
    speeds: np.ndarray,
    leads: np.ndarray,
    bodies: np.ndarray,
    trails: np.ndarray,
    unprocessed: np.ndarray,
) -> Placement:
    totals = leads + bodies + trails
    return Placement(
        utterances=np.asarray(utterances),
        speeds=speeds,
        leads=leads,
        bodies=bodies,
        totals=totals,
        unprocessed=unprocessed,
        samples=-(-int(totals.max()) // LENGTH_STEP) * LENGTH_STEP,
    )


def place(store: SoundStore, placement: Placement) -> PlacedSpeech:
    """Read the utterances of a batch from the store, at their speeds and places."""
    device = store.samples.device
    starts = [store.utterances[number].start for number in placement.utterances]
    lengths = [store.utterances[number].samples for number in placement.utterances]
    numbers = np.stack([starts, lengths, placement.leads, placement.bodies, placement.totals])
    moved = _to_device(torch.from_numpy(numbers), device)
    start, length, lead, body, totals = moved[:, :, None].unbind()
    speed = _to_device(torch.from_numpy(placement.speeds), device)[:, None]
    position = torch.arange(placement.samples, device=device)[None] - lead
    spoken = (position >= 0) & (position < body)
    wanted = torch.where(spoken, position, 0)
    sound = _resampled(store.samples, start, length, wanted, speed) * spoken
    return PlacedSpeech(
        sound=sound,
        spoken=spoken,
        totals=totals[:, 0],
        unprocessed=_to_device(torch.from_numpy(placement.unprocessed), device),
    )


def _resampled(
    samples: torch.Tensor,
    start: torch.Tensor,
    length: torch.Tensor,
    wanted: torch.Tensor,
    speed: torch.Tensor,
) -> torch.Tensor:
    """Values between samples, by a windowed sinc whose band fits the slower of the two rates."""
    # After some seconds single precision has too few bits left for the place between two samples.
    exact = wanted * speed
    below = exact.floor()
    between = (exact - below).float()
    below = below.long()
    band = (1 / speed).clamp_max(1.0).float()
    total = torch.zeros_like(between)
    for tap in range(1 - TAPS // 2, TAPS // 2 + 1):
        offset = between - tap
        weight = band * torch.sinc(band * offset) * _cosine_window(offset)
        place = below + tap
        inside = (place >= 0) & (place < length)
        value = samples[start + torch.where(inside, place, 0)] * inside
        total += weight * value
    return total / FULL_SCALE


def _cosine_window(offset: torch.Tensor) -> torch.Tensor:
    """1 in the middle, falling to 0 at half the taps."""
    return torch.cos(offset * (math.pi / TAPS)).clamp_min(0).square()


def _to_device(values: torch.Tensor, device: torch.device) -> torch.Tensor:
    if device.type == "cuda":
        return values.pin_memory().to(device, non_blocking=True)
    return values.to(device)
