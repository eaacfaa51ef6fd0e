"""The invented spoken sentences of `corpora/sentences`, and names to fill them with.

A line is what one person says in one breath, lower case, with `{place}`, `{bird}` and `{person}`
where a name stands. A part of the lines, told by a hash of their words, is kept out of every
training: language models and synthetic speech are measured on it.
"""

from __future__ import annotations

import random
import re
import zlib
from collections.abc import Iterable
from pathlib import Path

CORPORA = Path(__file__).resolve().parents[2] / "corpora"

KEPT_OUT = 0.06
"""Share of the lines on which is measured."""

PLACEHOLDER = re.compile(r"\{(place|bird|person)\}")

_FILES = {"place": "places.txt", "bird": "birds.txt", "person": "people.txt"}


def is_kept_out(line: str) -> bool:
    """Whether a line is one of those that nothing may learn from."""
    return zlib.crc32(line.encode()) % 10_000 < KEPT_OUT * 10_000


def spoken_lines(folder: Path = CORPORA / "sentences") -> list[str]:
    """All lines, each once, in the order of the files."""
    lines = (
        " ".join(line.split())
        for path in sorted(folder.glob("*.txt"))
        for line in path.read_text("utf-8").splitlines()
    )
    return list(dict.fromkeys(line for line in lines if line))


def to_learn(lines: Iterable[str]) -> list[str]:
    """The lines that may be learned from."""
    return [line for line in lines if not is_kept_out(line)]


def to_measure(lines: Iterable[str]) -> list[str]:
    """The lines kept out."""
    return [line for line in lines if is_kept_out(line)]


def names(kind: str, folder: Path = CORPORA / "names") -> list[str]:
    """Invented names of a kind: place, bird or person."""
    return (folder / _FILES[kind]).read_text("utf-8").split("\n")[:-1]


class NameFiller:
    """Puts names for the placeholders of a line, by chance."""

    def __init__(self, chance: random.Random) -> None:
        self._chance = chance
        self._names = {kind: names(kind) for kind in _FILES}

    def fill(self, line: str) -> str:
        """The line with a name for every placeholder."""
        return PLACEHOLDER.sub(lambda found: self._chance.choice(self._names[found[1]]), line)
