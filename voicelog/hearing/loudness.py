"""How long a live sound has been much quieter than the talk in it.

Words show up some tenths of a second after they are said, and the last ones may change for a
second more. In quiet surroundings the sound itself tells sooner that the talk has ended.
"""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from voicelog.hearing.audio import RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FRAME = RATE // 50
"""Samples in a frame: 20 ms."""

_SYLLABLE = 5
"""Frames (100 ms) over which the loudest part is taken: longer than a click."""

_MUCH = 100.0
"""Power ratio (20 dB) between the loudest part and what counts as quiet, in quiet surroundings.

Where the surroundings are louder, quiet is what lies nearer to them than to the loudest part. In
gusts nothing stays quiet, and only the words tell that the talk has ended.
"""

_QUIETEST = 10
"""Percentile of an utterance's power that is taken for that of the surroundings."""


class Loudness:
    """The power of an utterance, frame by frame."""

    def __init__(self) -> None:
        self._left = b""
        self._powers: deque[float] = deque()

    def take(self, chunk: bytes) -> None:
        """Add 16-bit samples; they need not be whole frames."""
        import numpy as np

        sound = self._left + chunk
        whole = len(sound) // (2 * FRAME) * 2 * FRAME
        self._left = sound[whole:]
        samples = np.frombuffer(sound[:whole], np.int16).reshape(-1, FRAME)
        # A microphone's constant offset is no sound, and the variance leaves it out.
        self._powers.extend(samples.astype(np.float64).var(axis=1).tolist())

    def forget_all_but(self, seconds: float) -> None:
        """Leave only the newest frames."""
        while len(self._powers) * FRAME > seconds * RATE:
            self._powers.popleft()

    @property
    def quiet_s(self) -> float:
        """Seconds at the end that are much quieter than the loudest part; 0 if all is quiet."""
        import numpy as np

        if len(self._powers) < _SYLLABLE:
            return 0.0
        powers = np.array(self._powers)
        means = _means(powers)
        loudest = means.max()
        between = np.sqrt(loudest * np.percentile(means, _QUIETEST))
        loud = np.flatnonzero(means > max(loudest / _MUCH, between))
        return 0.0 if not len(loud) else float(len(means) - 1 - loud[-1]) * FRAME / RATE


def _means(powers: NDArray[np.float64]) -> NDArray[np.float64]:
    import numpy as np

    return np.convolve(powers, np.ones(_SYLLABLE) / _SYLLABLE, mode="valid")
