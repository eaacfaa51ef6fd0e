"""Word errors of recognisers on the same sound: one table.

    python -m models.evaluation.word_errors STORE --sets test-memos,an4 \
        --vosk FOLDER [--vosk FOLDER2] [--whisper FOLDER] [--pocketsphinx] \
        [--noise noise-outdoors --classes rooster,rain --snr 20,10,5] [--out results.jsonl]

STORE holds what `models.training.recordings decode` wrote; of each set the lines kept for testing
are heard, alone and with noise of each class at each ratio (dB of mean power, speech to noise),
drawn from noise files kept for testing too. Every engine hears exactly the same samples. Printed
are the words wrong of a hundred (substituted, left out and put in; jiwer) with their number.
"""

from __future__ import annotations

import argparse
import json
import time
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path
from typing import Any, Protocol

import numpy as np

from models.training.recordings import RATE, spoken

PEAK = 0.9
"""Mixtures louder than this part of full scale are turned down to it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Utterance:
    """What was said, and its sound."""

    id: str
    text: str
    samples: np.ndarray
    """16 kHz, int16."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """What is under the speech; `snr` in dB, None without noise."""

    noise: str
    snr: float | None

    @property
    def name(self) -> str:
        """As it is printed."""
        return "clean" if self.snr is None else f"{self.noise} {self.snr:g} dB"


class Engine(Protocol):
    """Anything that hears."""

    def hear(self, samples: np.ndarray) -> str:
        """The words in 16 kHz int16 samples, lower case, numbers in words."""


class VoskEngine:
    """A model folder, as the package uses it."""

    def __init__(self, folder: Path) -> None:
        from voicelog import hearing

        self._recogniser = hearing.load_recogniser(folder)

    def hear(self, samples: np.ndarray) -> str:
        """All words of the recording."""
        from voicelog.hearing.audio import Recording

        recording = Recording(samples=samples, seconds=len(samples) / RATE)
        return self._recogniser.hear(recording).text


class WhisperEngine:
    """A Whisper model in the format of CTranslate2, with one beam, on one core."""

    def __init__(self, folder: Path) -> None:
        from faster_whisper import WhisperModel

        self._model = WhisperModel(str(folder), device="cpu", compute_type="int8", cpu_threads=1)

    def hear(self, samples: np.ndarray) -> str:
        """Its text, brought to words as they are said."""
        parts, _ = self._model.transcribe(
            samples.astype(np.float32) / 32768, language="en", beam_size=5
        )
        text = " ".join(part.text for part in parts)
        return spoken(text) or " ".join(text.lower().split())


class SphinxEngine:
    """PocketSphinx with its own model."""

    def __init__(self) -> None:
        from pocketsphinx import Decoder

        self._decoder = Decoder(samprate=RATE, loglevel="FATAL")

    def hear(self, samples: np.ndarray) -> str:
        """Its best reading."""
        self._decoder.start_utt()
        self._decoder.process_raw(samples.tobytes(), full_utt=True)
        self._decoder.end_utt()
        best = self._decoder.hyp()
        return best.hypstr if best else ""


def read_set(store: Path, name: str, limit: int | None = None) -> list[Utterance]:
    """The utterances of a set that are kept for testing."""
    sound = np.memmap(store / f"{name}.i16", np.int16, "r")
    lines = map(json.loads, (store / f"{name}.jsonl").read_text("utf-8").splitlines())
    kept = [line for line in lines if line["split"] == "test"]
    return [
        Utterance(id=line["id"], text=line["text"], samples=_cut(sound, line))
        for line in kept[:limit]
    ]


def read_noise(store: Path, name: str, classes: Sequence[str]) -> dict[str, np.ndarray]:
    """For each class all its sound that is kept for testing, in a row."""
    sound = np.memmap(store / f"{name}.i16", np.int16, "r")
    lines = [json.loads(line) for line in (store / f"{name}.jsonl").read_text("utf-8").splitlines()]
    rows = {}
    for wanted in classes:
        parts = [
            _cut(sound, line).astype(np.float32)
            for line in lines
            if line["split"] == "test" and wanted in line["class"]
        ]
        if not parts:
            raise SystemExit(f"No sound of {name} kept for testing is of the class {wanted}.")
        # Files are brought to one loudness, so that none of them is mostly silence beside others.
        rows[wanted] = np.concatenate([part / _power(part) ** 0.5 for part in parts])
    return rows


def with_noise(utterance: Utterance, noise: np.ndarray, snr: float) -> np.ndarray:
    """The speech with noise from a place told by its id."""
    speech = utterance.samples.astype(np.float32)
    place = zlib.crc32(utterance.id.encode()) % len(noise)
    under = np.resize(np.roll(noise, -place), len(speech))
    under = under * (_power(speech) / _power(under) / 10 ** (snr / 10)) ** 0.5
    both = speech + under
    both *= min(1.0, PEAK * 32768 / max(1.0, float(np.abs(both).max())))
    return both.astype(np.int16)


def _cut(sound: np.ndarray, line: dict[str, Any]) -> np.ndarray:
    return np.array(sound[line["start"] : line["start"] + line["samples"]])


def _power(samples: np.ndarray) -> float:
    return float((samples.astype(np.float64) ** 2).mean()) + 1e-9


_engine: Engine


def _begin(kind: str, folder: Path | None) -> None:
    global _engine
    if kind == "pocketsphinx":
        _engine = SphinxEngine()
    else:
        assert folder is not None  # both others are made from one
        _engine = VoskEngine(folder) if kind == "vosk" else WhisperEngine(folder)


def _heard(samples: np.ndarray) -> str:
    return " ".join(_engine.hear(samples).split())


def measure(
    engines: Sequence[tuple[str, Path | None]],
    sets: dict[str, list[Utterance]],
    noises: dict[str, np.ndarray],
    ratios: Sequence[float],
    processes: int,
) -> Iterator[dict[str, Any]]:
    """One line a set, condition and engine."""
    import jiwer

    conditions = [Condition(noise="", snr=None)]
    conditions += [Condition(noise=name, snr=snr) for name in noises for snr in ratios]
    for kind, folder in engines:
        with Pool(processes, _begin, (kind, folder)) as pool:
            for name, utterances in sets.items():
                for condition in conditions:
                    sounds = [_mixed(utterance, condition, noises) for utterance in utterances]
                    began = time.perf_counter()
                    heard = pool.map(_heard, sounds, chunksize=4)
                    took = time.perf_counter() - began
                    result = jiwer.process_words([one.text for one in utterances], heard)
                    words = sum(len(one.text.split()) for one in utterances)
                    yield {
                        "engine": f"{kind} {folder.name}" if folder else kind,
                        "set": name,
                        "condition": condition.name,
                        "wer": round(100 * result.wer, 2),
                        "utterances": len(utterances),
                        "words": words,
                        "right": sum(
                            one.text == text for one, text in zip(utterances, heard, strict=True)
                        ),
                        "of_real_time": round(
                            took * processes * RATE / sum(len(sound) for sound in sounds), 3
                        ),
                        "heard": heard,
                    }


def _mixed(utterance: Utterance, condition: Condition, noises: dict[str, np.ndarray]) -> np.ndarray:
    if condition.snr is None:
        return utterance.samples
    return with_noise(utterance, noises[condition.noise], condition.snr)


def _numbers(text: str) -> list[float]:
    return [float(part) for part in text.split(",") if part]


def main() -> None:
    """Read the command line and print the table."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("store", type=Path)
    options.add_argument("--sets", required=True)
    options.add_argument("--vosk", type=Path, action="append", default=[])
    options.add_argument("--whisper", type=Path)
    options.add_argument("--pocketsphinx", action="store_true")
    options.add_argument("--noise", default="noise-outdoors")
    options.add_argument("--classes", default="")
    options.add_argument("--snr", type=_numbers, default=[20.0, 10.0, 5.0])
    options.add_argument("--limit", type=int)
    options.add_argument("--processes", type=int, default=2)
    options.add_argument("--out", type=Path, help="all figures and what was heard")
    chosen = options.parse_args()
    engines: list[tuple[str, Path | None]] = [("vosk", folder) for folder in chosen.vosk]
    engines += [("whisper", chosen.whisper)] if chosen.whisper else []
    engines += [("pocketsphinx", None)] if chosen.pocketsphinx else []
    sets = {name: read_set(chosen.store, name, chosen.limit) for name in chosen.sets.split(",")}
    classes = [name for name in chosen.classes.split(",") if name]
    noises = read_noise(chosen.store, chosen.noise, classes) if classes else {}
    for line in measure(engines, sets, noises, chosen.snr, chosen.processes):
        shown = {key: line[key] for key in line if key != "heard"}
        print("\t".join(str(value) for value in shown.values()), flush=True)
        if chosen.out:
            with chosen.out.open("a", encoding="utf-8") as out:
                out.write(json.dumps(line) + "\n")


if __name__ == "__main__":
    main()
