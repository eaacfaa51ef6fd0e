"""The folder that training reads: sounds as bare samples, what was said in lines beside them.

NAME.i16                16 kHz mono, 16-bit samples, any number of utterances one after another
NAME.jsonl              a line an utterance: id, text, start and samples (both in samples), and
                        where known speaker, source (NAME without it) and split (train or test)
noise-NAME.i16, .jsonl  sounds without speech: id, class, start, samples, and split
pronunciations.json     {word: [[phone, ...], ...]}: ARPAbet without stress
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import torch

from models.training.features import RATE

SHORTEST = int(0.3 * RATE)
LONGEST = 20 * RATE
SAMPLES_A_PHONE = 3 * 160
"""An output stands for 30 ms, and every phone needs one of its own."""
GAP = 32
"""Zeros between two files, so that reading a little past an end meets silence."""
NOISE_PREFIX = "noise-"

Pronunciations = tuple[tuple[str, ...], ...]


class UnusableStoreError(ValueError):
    """The folder lacks something without which nothing can be trained."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Utterance:
    """Something said, and where its sound lies."""

    name: str
    words: tuple[str, ...]
    start: int
    """First sample, counted through all files of the store."""
    samples: int
    source: str
    speaker: str
    split: str
    """`train` or `test`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoiseClip:
    """A sound without speech."""

    name: str
    sort: str
    """Such as rain or engine; sorts are drawn equally often."""
    start: int
    samples: int
    split: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundStore:
    """All sounds in one tensor, and the lists of what lies where."""

    samples: torch.Tensor
    """16-bit, on the device of training."""
    utterances: tuple[Utterance, ...]
    noises: tuple[NoiseClip, ...]
    pronunciations: Mapping[str, Pronunciations]
    dropped: Mapping[str, int]
    """Why utterances were left out, and how many."""

    def of_split(self, split: str) -> list[int]:
        """Numbers of the utterances of one split."""
        return [number for number, one in enumerate(self.utterances) if one.split == split]


def load_store(folder: Path, device: torch.device, fastest: float = 1.0) -> SoundStore:
    """Read a folder whole onto a device.

    `fastest` is by how much speech will be sped up: what would then be too short for its phones is
    dropped. Raises UnusableStoreError without pronunciations or usable utterances.
    """
    pronunciations = _read_pronunciations(folder / "pronunciations.json")
    files = sorted(folder.glob("*.i16"))
    counts = [path.stat().st_size // 2 for path in files]
    samples = torch.zeros(sum(counts) + GAP * (len(files) + 1), dtype=torch.int16, device=device)
    utterances: list[Utterance] = []
    noises: list[NoiseClip] = []
    dropped: Counter[str] = Counter()
    start = GAP
    for path, count in zip(files, counts, strict=True):
        samples[start : start + count] = torch.from_numpy(np.fromfile(path, "<i2"))
        lines = _read_lines(path.with_suffix(".jsonl"))
        if path.name.startswith(NOISE_PREFIX):
            noises += [_noise(line, path.stem, start) for line in lines if _inside(line, count)]
        else:
            for line in lines:
                one = _utterance(line, path.stem, start)
                why = _reason_to_drop(one, pronunciations, fastest)
                why = why if _inside(line, count) else "outside its sound file"
                if why:
                    dropped[why] += 1
                else:
                    utterances.append(one)
        start += count + GAP
    if not utterances:
        raise UnusableStoreError(
            f"{folder} holds no usable utterance ({dict(dropped)}). Nothing was changed. Give a "
            "folder with NAME.i16, NAME.jsonl and pronunciations.json that covers its words."
        )
    return SoundStore(
        samples=samples,
        utterances=tuple(utterances),
        noises=tuple(noises),
        pronunciations=pronunciations,
        dropped=dropped,
    )


def expected_repeats(sources: Iterable[str], weights: Mapping[str, float]) -> dict[str, float]:
    """How often an utterance of each source comes in an epoch: its weight, 1 without one.

    Raises UnusableStoreError for a weight of a source that is not there.
    """
    known = set(sources)
    if unknown := weights.keys() - known:
        raise UnusableStoreError(
            f"there is no source {', '.join(sorted(unknown))}; the store has "
            f"{', '.join(sorted(known))}. Nothing was trained."
        )
    return {source: float(weights.get(source, 1.0)) for source in known}


def hours_by_source(utterances: Sequence[Utterance]) -> dict[str, tuple[int, float]]:
    """Count and hours of each source's utterances, under `source/split`."""
    counts: Counter[str] = Counter()
    lengths: Counter[str] = Counter()
    for one in utterances:
        counts[f"{one.source}/{one.split}"] += 1
        lengths[f"{one.source}/{one.split}"] += one.samples
    return {name: (counts[name], lengths[name] / RATE / 3600) for name in sorted(counts)}


def _reason_to_drop(
    one: Utterance, pronunciations: Mapping[str, Pronunciations], fastest: float
) -> str:
    if not one.words:
        return "no words"
    if any(not pronunciations.get(word) for word in one.words):
        return "a word without pronunciation"
    if one.samples < SHORTEST:
        return "shorter than 0.3 s"
    if one.samples > LONGEST:
        return "longer than 20 s"
    phones = sum(min(len(way) for way in pronunciations[word]) for word in one.words)
    if one.samples < phones * SAMPLES_A_PHONE * fastest:
        return "too short for its phones"
    return ""


def _utterance(line: Mapping[str, Any], file: str, file_start: int) -> Utterance:
    return Utterance(
        name=str(line["id"]),
        words=tuple(line["text"].split()),
        start=file_start + int(line["start"]),
        samples=int(line["samples"]),
        source=line.get("source") or file,
        speaker=line.get("speaker") or "",
        split=line.get("split") or "train",
    )


def _noise(line: Mapping[str, Any], file: str, file_start: int) -> NoiseClip:
    return NoiseClip(
        name=str(line["id"]),
        sort=line.get("class") or file,
        start=file_start + int(line["start"]),
        samples=int(line["samples"]),
        split=line.get("split") or "train",
    )


def _inside(line: Mapping[str, Any], count: int) -> bool:
    start, length = int(line["start"]), int(line["samples"])
    return start >= 0 and 0 < length <= count - start


def _read_lines(path: Path) -> list[dict[str, Any]]:
    if not path.exists():
        raise UnusableStoreError(
            f"{path.with_suffix('.i16')} has no {path.name} beside it. Nothing was changed. Add "
            "the lines that say what lies where, or take the file away."
        )
    return [json.loads(line) for line in path.read_text("utf-8").splitlines() if line.strip()]


def _read_pronunciations(path: Path) -> dict[str, Pronunciations]:
    if not path.exists():
        raise UnusableStoreError(
            f"{path.parent} has no {path.name}. Nothing was changed. Write one as "
            '{"word": [["W", "ER", "D"]]} that covers the words of its texts.'
        )
    listed = json.loads(path.read_text("utf-8"))
    return {word: tuple(tuple(way) for way in ways if way) for word, ways in listed.items()}
