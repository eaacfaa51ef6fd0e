"""A language model as a file: small enough to carry, quick to read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from voicelog.errors import ModelError
from voicelog.hearing.building.ngram import Trigrams

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

LANGUAGE_FILE = "ngrams.npz"

_STEP = 1 / 2048
"""Nats between two stored logarithms; an unsigned 16-bit number of them reaches 32 nats."""

_REALS = ("one", "rest_one", "two", "rest_two", "three")

_LARGEST = {"rest_one": 50.0, "rest_two": 50.0}
"""Shares left to shorter histories may exceed one; they are stored as parts of this."""


def write_language(model: Trigrams, path: Path) -> None:
    """Write a model; probabilities are rounded to a 4,096th of a nat."""
    import numpy as np

    stored: dict[str, NDArray[np.generic]] = {
        "words": np.frombuffer("\n".join(model.words).encode(), np.uint8),
        "pairs": np.diff(model.pairs, prepend=0),
        "triples": np.diff(model.triples, prepend=0),
    }
    for name in _REALS:
        stored[name] = _rounded(getattr(model, name) / _LARGEST.get(name, 1.0))
    np.savez_compressed(path, **stored)  # type: ignore[arg-type]


def read_language(path: Path) -> Trigrams:
    """Read what `write_language` wrote.

    Raises:
        ModelError: the file is missing or damaged.
    """
    import zipfile

    import numpy as np

    try:
        with np.load(path, allow_pickle=False) as stored:
            reals = {name: np.exp(-stored[name].astype(np.float64) * _STEP) for name in _REALS}
            # A begin is never foretold: its probability is exactly nothing.
            reals["one"][0] = 0.0
            for name, largest in _LARGEST.items():
                reals[name] *= largest
            return Trigrams(
                words=tuple(bytes(stored["words"]).decode().split("\n")),
                pairs=np.cumsum(stored["pairs"]),
                triples=np.cumsum(stored["triples"]),
                **reals,
            )
    except (OSError, KeyError, ValueError, zipfile.BadZipFile) as problem:
        raise ModelError(
            f"The language model {path} cannot be read: {problem}.",
            todo="Install voicelog again, or copy the model folder again.",
        ) from problem


def _rounded(probabilities: NDArray[np.float64]) -> NDArray[np.generic]:
    import numpy as np

    nats = -np.log(np.clip(probabilities, 1e-13, None))
    return np.clip(np.rint(nats / _STEP), 0, 65535).astype(np.uint16)
