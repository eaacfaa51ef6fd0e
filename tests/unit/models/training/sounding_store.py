"""A small store made by code: each word of an invented language is a few tones of its own."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

RATE = 16_000
TONES = {"AA": 400, "IY": 2300, "S": 5000, "M": 220}
"""Pitch in Hz of each phone."""
WORDS = {"asa": ["AA", "S", "AA"], "mi": ["M", "IY"], "sim": ["S", "IY", "M"]}
PHONE_SECONDS = 0.11


def spoken(text: str, chance: np.random.Generator) -> np.ndarray:
    """The 16-bit samples of a text."""
    pieces = [np.zeros(800)]
    for word in text.split():
        for phone in WORDS[word]:
            time = np.arange(int(PHONE_SECONDS * chance.uniform(0.8, 1.2) * RATE)) / RATE
            pieces.append(0.3 * np.sin(2 * np.pi * TONES[phone] * time))
        pieces.append(np.zeros(int(chance.uniform(0, 0.1) * RATE)))
    sound = np.concatenate([*pieces, np.zeros(800)])
    sound += 1e-3 * chance.standard_normal(len(sound))
    return np.round(sound * 32_767).astype("<i2")


def write_store(folder: Path, utterances: int = 12, seed: int = 4) -> Path:
    """Write a store with two sources, one utterance in four for testing, and two noises."""
    chance = np.random.default_rng(seed)
    folder.mkdir(parents=True, exist_ok=True)
    for source in ("near", "far"):
        lines, sounds = [], []
        for number in range(utterances // 2):
            text = " ".join(chance.choice(list(WORDS), size=2))
            lines.append(
                {
                    "id": f"{source}-{number}",
                    "text": text,
                    "split": _split(number),
                    "source": source,
                }
            )
            sounds.append(spoken(text, chance))
        _write(folder / source, lines, sounds)
    noises = [
        np.round(3000 * chance.standard_normal(size)).astype("<i2") for size in (4000, 20_000)
    ]
    lines = [
        {"id": "short", "class": "rain", "split": "train"},
        {"id": "long", "class": "wind", "split": "train"},
    ]
    _write(folder / "noise-made", lines, noises)
    pronunciations = {word: [phones] for word, phones in WORDS.items()}
    (folder / "pronunciations.json").write_text(json.dumps(pronunciations), "utf-8")
    return folder


def _split(number: int) -> str:
    return "test" if number % 4 == 3 else "train"


def _write(stem: Path, lines: list[dict[str, object]], sounds: list[np.ndarray]) -> None:
    start = 0
    for line, sound in zip(lines, sounds, strict=True):
        line |= {"start": start, "samples": len(sound)}
        start += len(sound)
    np.concatenate(sounds).tofile(stem.with_suffix(".i16"))
    text = "".join(json.dumps(line) + "\n" for line in lines)
    stem.with_suffix(".jsonl").write_text(text, "utf-8")
