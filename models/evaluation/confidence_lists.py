"""What the recogniser makes of sound kept out of training, stored once to be looked at often.

Every recording is heard as the package hears it, with all its readings, and once more with
Vosk's own word confidence. Synthetic memos are heard clean and with recorded noise under them.
"""

from __future__ import annotations

import json
import pickle
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path

import numpy as np

from models.evaluation.word_errors import RATE, Utterance, read_noise, read_set, with_noise
from voicelog.hearing.readings import Reading

NOISES = ("rooster", "rain", "wind", "gravel", "chainsaw", "crickets")
"""Classes of noise put under speech; which one, a sentence's hash tells."""

RATIOS: dict[str, tuple[float, ...]] = {
    "test-memos": (10.0, 5.0),
    "demo": (5.0,),
    "nonnative": (),
    "native": (),
    "an4": (),
}
"""The sets of speech, and how far above noise they are heard besides (dB of mean power)."""

LONGEST_NOISE_S = 15
"""A recording of noise alone is heard in pieces of this length."""

_CHUNK = RATE // 4
_PAUSE_S = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """Something to be heard."""

    id: str
    source: str
    """The set it is from."""
    condition: str
    """`clean`, or the ratio of speech to noise."""
    text: str
    """What is said; empty for noise and for another language."""
    samples: np.ndarray
    names: bool
    """Whether it is heard with the names of the demonstration farm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Listened:
    """What was made of it."""

    id: str
    source: str
    condition: str
    text: str
    seconds: float
    stretches: tuple[tuple[Reading, ...], ...]
    """All readings of each stretch between pauses."""
    own: tuple[tuple[str, float], ...]
    """The words of Vosk's single best reading with its own confidence; of the second half only."""

    @property
    def first_half(self) -> bool:
        """Whether it belongs to the half that is fitted on, not to the one that is reported on."""
        return in_first_half(self.text or self.id)


def in_first_half(said: str) -> bool:
    """The half of a sound: all that have the same words are in the same one."""
    return zlib.crc32(said.encode()) % 2 == 0


def speech(store: Path, noise_store: Path) -> Iterator[Sound]:
    """The sets of speech, clean and in noise."""
    noises = list(read_noise(noise_store, "noise-outdoors", NOISES).values())
    for name, ratios in RATIOS.items():
        for one in read_set(store, name):
            yield _sound(one, name, "clean", one.samples)
            under = noises[zlib.crc32(one.text.encode()) // 2 % len(noises)]
            for snr in ratios:
                yield _sound(one, name, f"{snr:g} dB", with_noise(one, under, snr))


def noise(store: Path) -> Iterator[Sound]:
    """The sounds without speech that are kept for testing."""
    sound = np.memmap(store / "noise-outdoors.i16", np.int16, "r")
    for row in (store / "noise-outdoors.jsonl").read_text("utf-8").splitlines():
        line = json.loads(row)
        if line["split"] != "test":
            continue
        end = line["start"] + line["samples"]
        for start in range(line["start"], end, LONGEST_NOISE_S * RATE):
            samples = np.array(sound[start : min(end, start + LONGEST_NOISE_S * RATE)])
            part = Utterance(id=f"{line['id']} {start}", text="", samples=samples)
            yield _sound(part, "noise", "clean", samples)


def files(folder: Path, name: str) -> Iterator[Sound]:
    """Recordings in which there is nothing to hear: foreign speech, made noise."""
    from voicelog.hearing.audio import read_recording

    for file in sorted(folder.iterdir()):
        if file.suffix in {".ogg", ".wav", ".flac"}:
            samples = read_recording(file).samples
            yield _sound(Utterance(id=file.name, text="", samples=samples), name, "clean", samples)


def hear_all(
    sounds: Iterable[Sound], model: Path, farm_model: Path, out: Path, processes: int
) -> int:
    """Hear each and store them; gives their number."""
    with Pool(processes, _begin, (model, farm_model)) as pool:
        heard = pool.map(_heard, list(sounds), chunksize=8)
    out.write_bytes(pickle.dumps(heard))
    return len(heard)


def load(path: Path) -> list[Listened]:
    """What `hear_all` stored."""
    heard: list[Listened] = pickle.loads(path.read_bytes())
    return heard


def _sound(one: Utterance, source: str, condition: str, samples: np.ndarray) -> Sound:
    return Sound(
        id=one.id,
        source=source,
        condition=condition,
        text=one.text,
        samples=samples,
        names=source == "demo",
    )


def _begin(model: Path, farm_model: Path) -> None:
    global _recognisers, _own
    import vosk

    from voicelog.hearing.vosk_engine import Recogniser

    folders = {False: model, True: farm_model}
    _recognisers = {names: Recogniser(folder) for names, folder in folders.items()}
    _own = {names: vosk.Model(model_path=str(folder)) for names, folder in folders.items()}


def _heard(sound: Sound) -> Listened:
    session = _recognisers[sound.names].open(_PAUSE_S)
    stretches = []
    for start in range(0, len(sound.samples), _CHUNK):
        if session.accept(sound.samples[start : start + _CHUNK].tobytes()):
            stretches.append(tuple(session.readings()))
    stretches.append(tuple(session.readings()))
    return Listened(
        id=sound.id,
        source=sound.source,
        condition=sound.condition,
        text=sound.text,
        seconds=len(sound.samples) / RATE,
        stretches=tuple(stretch for stretch in stretches if stretch),
        own=() if in_first_half(sound.text or sound.id) else tuple(_own_words(sound)),
    )


def _own_words(sound: Sound) -> Iterator[tuple[str, float]]:
    import vosk

    recognizer = vosk.KaldiRecognizer(_own[sound.names], float(RATE))
    recognizer.SetWords(True)
    for start in range(0, len(sound.samples), _CHUNK):
        recognizer.AcceptWaveform(sound.samples[start : start + _CHUNK].tobytes())
    for word in json.loads(recognizer.FinalResult()).get("result", ()):
        if word["word"] not in {"[unk]", "<unk>"}:
            yield word["word"], float(word["conf"])
