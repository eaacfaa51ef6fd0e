"""How fast to learn, by the clock: training has a time, not a count of steps."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass

LAST_SHARE = 0.003
"""Of the peak rate, at the end of the schedule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """A short rise to the peak, then half a cosine down to almost nothing."""

    peak: float
    warm_up_steps: int
    seconds: float
    """Of training, over all runs that share the schedule."""

    def rate(self, step: int, trained_seconds: float) -> float:
        """The learning rate of a step, counted from 1."""
        risen = min(1.0, step / max(1, self.warm_up_steps))
        passed = min(1.0, trained_seconds / self.seconds)
        cosine = 0.5 * (1 + math.cos(math.pi * passed))
        return self.peak * risen * (LAST_SHARE + (1 - LAST_SHARE) * cosine)


class Budget:
    """The seconds that a run may take, from the start of the program on."""

    def __init__(self, seconds: float) -> None:
        self._began = time.monotonic()
        self.seconds = seconds

    @property
    def used(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self._began

    @property
    def left(self) -> float:
        """Seconds until the run must have ended."""
        return self.seconds - self.used
