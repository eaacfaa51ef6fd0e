"""Seeded chance on one device."""

from __future__ import annotations

import torch


class Dice:
    """Draws tensors; the same seed on the same device gives the same draws."""

    def __init__(self, seed: int, device: torch.device) -> None:
        self.device = device
        self._generator = torch.Generator(device).manual_seed(seed)

    def uniform(self, low: float, high: float, *shape: int) -> torch.Tensor:
        """Floats evenly between `low` and `high`."""
        drawn = torch.rand(*shape, device=self.device, generator=self._generator)
        return drawn.mul_(high - low).add_(low)

    def normal(self, *shape: int) -> torch.Tensor:
        """Floats of mean 0 and deviation 1."""
        return torch.randn(*shape, device=self.device, generator=self._generator)

    def decibels(self, low: float, high: float, *shape: int) -> torch.Tensor:
        """Factors of amplitude whose level is evenly between `low` and `high` dB."""
        return 10 ** (self.uniform(low, high, *shape) / 20)

    def happens(self, share: float, *shape: int) -> torch.Tensor:
        """Truth values, true with probability `share`."""
        return self.uniform(0.0, 1.0, *shape) < share

    def below(self, limits: torch.Tensor) -> torch.Tensor:
        """Whole numbers from 0 to less than each limit (at least 1), evenly."""
        drawn = torch.rand(limits.shape, device=self.device, generator=self._generator)
        return torch.minimum((drawn * limits).long(), limits - 1)

    def some(self, share: float, count: int) -> torch.Tensor:
        """Row numbers: about `share` of `count` rows, each row at most once.

        The count of rows drawn is fixed by the two numbers, so that no value has to come back from
        the device.
        """
        return self.uniform(0.0, 1.0, count).argsort()[: round(share * count)]
