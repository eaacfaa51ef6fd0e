"""Stretches of recorded noise, every sort equally often."""

from __future__ import annotations

import torch

from models.training.dice import Dice
from models.training.features import FULL_SCALE
from models.training.made_noise import LEAST_POWER
from models.training.sound_store import NoiseClip, SoundStore

SOFTEST_STRETCH = 0.3
"""A stretch is made louder by at most this share of its clip's level: pauses stay pauses."""


class RecordedNoise:
    """The noise clips of a store that are meant for one split."""

    def __init__(self, store: SoundStore, split: str = "train") -> None:
        """Raises ValueError when the store has no noise for the split."""
        clips = [clip for clip in store.noises if clip.split == split]
        if not clips:
            raise ValueError(f"the store has no noise for {split}")
        device = store.samples.device
        by_sort: dict[str, list[NoiseClip]] = {}
        for clip in clips:
            by_sort.setdefault(clip.sort, []).append(clip)
        self.sorts = tuple(sorted(by_sort))
        ordered = [clip for sort in self.sorts for clip in by_sort[sort]]
        counts = torch.tensor([len(by_sort[sort]) for sort in self.sorts])
        self._samples = store.samples
        self._count = counts.to(device)
        self._first = (counts.cumsum(0) - counts).to(device)
        self._start = torch.tensor([clip.start for clip in ordered], device=device)
        self._length = torch.tensor([clip.samples for clip in ordered], device=device)
        self._level = torch.stack([_level(store.samples, clip) for clip in ordered])

    def stretches(self, rows: int, samples: int, dice: Dice) -> torch.Tensor:
        """(rows, samples) at about unit power; a clip that is too short starts again."""
        sorts = torch.full((rows,), len(self.sorts), device=dice.device)
        sort = dice.below(sorts)
        clip = self._first[sort] + dice.below(self._count[sort])
        length = self._length[clip]
        position = dice.below(length)[:, None] + torch.arange(samples, device=dice.device)[None]
        place = self._start[clip][:, None] + position % length[:, None]
        sound = self._samples[place] / FULL_SCALE
        level = (sound.square().mean(1) + LEAST_POWER).sqrt()
        return sound / torch.maximum(level, SOFTEST_STRETCH * self._level[clip])[:, None]


def _level(samples: torch.Tensor, clip: NoiseClip) -> torch.Tensor:
    sound = samples[clip.start : clip.start + clip.samples].float() / FULL_SCALE
    return (sound.square().mean() + LEAST_POWER).sqrt()
