"""Keeps a C++ library's chatter off the user's screen, and nothing else."""

from __future__ import annotations

import os
import re
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import IO

_SCREEN = 2
_MARKS = ("VoskAPI", "Stack-Trace", "libvosk", "Fst::", "ERROR: Failed to read")

_PLACE = re.compile(r"^ERROR( \(VoskAPI:.*?:\d+\))?:? ")


class Chatter:
    """What the library said while it was kept quiet."""

    def __init__(self) -> None:
        """Nothing has been said."""
        self.lines: list[str] = []

    @property
    def complaint(self) -> str:
        """The last error without its place in the source; empty where there was none."""
        errors = [line for line in self.lines if line.startswith("ERROR")]
        return _PLACE.sub("", errors[-1]).strip() if errors else ""


class _Curtain:
    """File descriptor 2 turned to a file while at least one thread is inside."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._inside = 0
        self._screen = -1
        self._file: IO[bytes] | None = None

    def close(self) -> None:
        with self._lock:
            self._inside += 1
            if self._inside > 1:
                return
            try:
                self._screen = os.dup(_SCREEN)
            except OSError:  # started without a standard error: nothing to keep clean
                self._screen = -1
                return
            if sys.stderr is not None:
                sys.stderr.flush()
            self._file = tempfile.TemporaryFile()  # noqa: SIM115 - closed when the last one leaves
            os.dup2(self._file.fileno(), _SCREEN)

    def open(self) -> list[str]:
        """Leave; the last to leave gets the library's lines, the rest goes to the screen."""
        with self._lock:
            self._inside -= 1
            if self._inside or self._screen < 0 or self._file is None:
                return []
            if sys.stderr is not None:
                sys.stderr.flush()
            os.dup2(self._screen, _SCREEN)
            os.close(self._screen)
            self._screen = -1
            self._file.seek(0)
            said = self._file.read().decode("utf-8", "replace").splitlines(keepends=True)
            self._file.close()
            self._file = None
        chatter = [line for line in said if any(mark in line for mark in _MARKS)]
        others = "".join(line for line in said if line not in chatter)
        if others:
            os.write(_SCREEN, others.encode("utf-8"))
        return chatter


_curtain = _Curtain()


@contextmanager
def quiet() -> Iterator[Chatter]:
    """Hold back what the recogniser's C++ part writes to standard error.

    Whatever else is written there meanwhile, by any thread, is shown afterwards.
    """
    chatter = Chatter()
    _curtain.close()
    try:
        yield chatter
    finally:
        chatter.lines = _curtain.open()
