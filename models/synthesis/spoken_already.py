"""Read the speech that `speak_many.py` has left in a folder."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

RATE = 16_000
"""Samples a second of that speech."""

FULL_SCALE = 32_767

ADDED_MARGIN_S = 0.15
"""Silence put before and after; with what `speak_many.py` keeps it is what `voices.py` gives."""

BYTES = np.dtype(np.int16).itemsize


class SpokenAlready:
    """The utterances of a folder, found by the ids of their jobs."""

    def __init__(self, folder: Path) -> None:
        self._places: dict[str, tuple[Path, int, int]] = {}
        for listing in sorted(folder.glob("*.jsonl")):
            for line in listing.read_text("utf-8").splitlines():
                entry = json.loads(line)
                self._places[entry["id"]] = (
                    listing.with_suffix(".i16"),
                    entry["start"],
                    entry["samples"],
                )

    def samples(self, job: str) -> np.ndarray:
        """The samples of a job, full scale 1. Raises LookupError where it was not spoken."""
        path, start, count = self._places[job]
        spoken = np.fromfile(path, np.int16, count, offset=start * BYTES)
        if len(spoken) < count:
            raise LookupError(f"{path} ends before {job} does")
        margin = np.zeros(round(ADDED_MARGIN_S * RATE))
        return np.concatenate([margin, spoken / FULL_SCALE, margin])
