"""Where live sound comes from: anything that gives chunks and can be kept from being heard."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import TYPE_CHECKING, Protocol

from voicelog.hearing.audio import RATE

if TYPE_CHECKING:
    from voicelog.hearing.audio import Samples

CHUNK = RATE // 10
"""Samples in a chunk: a tenth of a second, how soon a word or an end of speech is noticed."""


class Source(Protocol):
    """Live sound: chunks of 16-bit mono samples at 16 kHz, `CHUNK` samples or fewer."""

    def __iter__(self) -> Iterator[bytes]:
        """The chunks, as they come in."""

    def unheard(self) -> AbstractContextManager[None]:
        """While this is open, sound that comes in is dropped."""


class PlayedIn:
    """A recording as a source, at the pace at which a microphone would give it."""

    def __init__(self, samples: Samples) -> None:
        """Give 16 kHz samples from the moment that the first chunk is asked for."""
        self._samples = samples
        self._given = 0
        self._began: float | None = None

    def __iter__(self) -> Iterator[bytes]:
        """The chunks, each when its last sample would have been spoken."""
        while self._given < len(self._samples):
            chunk = self._samples[self._given : self._given + CHUNK]
            self._given += len(chunk)
            self._wait()
            yield chunk.tobytes()

    @contextmanager
    def unheard(self) -> Iterator[None]:
        """Leave out what would be spoken meanwhile."""
        try:
            yield
        finally:
            self._given = max(self._given, round(self.passed_s * RATE))

    @property
    def passed_s(self) -> float:
        """Seconds of the recording that would have been spoken by now."""
        return 0.0 if self._began is None else time.monotonic() - self._began

    def _wait(self) -> None:
        if self._began is None:
            self._began = time.monotonic()
        time.sleep(max(0.0, self._given / RATE - self.passed_s))
