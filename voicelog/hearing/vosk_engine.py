"""The one file that knows Vosk."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from voicelog.errors import ModelError
from voicelog.hearing import readings
from voicelog.hearing.audio import RATE, Recording
from voicelog.hearing.native_stderr import quiet
from voicelog.hearing.readings import Reading, Stretch, TimedWord

if TYPE_CHECKING:
    from voicelog.types import Transcript

_CHUNK = RATE // 4
"""Samples given at once: a quarter of a second, how finely ends of speech are noticed."""

_TOO_LONG_S = 30.0
"""A stretch without a pause is cut here: its list of readings would say little by then."""

_loaded: dict[Path, Recogniser] = {}


def loaded(folder: Path) -> Recogniser:
    """The recogniser of a checked model folder; the last one is kept.

    Raises:
        ModelError: it cannot be loaded.
    """
    key = folder.resolve()
    if key not in _loaded:
        recogniser = Recogniser(folder)
        _loaded.clear()
        _loaded[key] = recogniser
    return _loaded[key]


class Recogniser:
    """A loaded speech model. Hears any number of recordings, one after the other."""

    def __init__(self, folder: Path) -> None:
        """Load the model in `folder`, whose files have been checked.

        Raises:
            ModelError: Vosk is not installed for this machine, or cannot load the model.
        """
        try:
            import vosk
        except (ImportError, OSError) as problem:
            raise ModelError(
                f"The recogniser (vosk) cannot be used on this machine: {problem}.",
                todo="Install it with: pip install vosk",
            ) from problem
        vosk.SetLogLevel(-1)
        self._vosk: Any = vosk
        with quiet() as chatter:
            self._model = self._load(folder)
        if self._model is None:
            raise ModelError(
                f"The speech model in {folder} cannot be loaded: "
                f"{chatter.reason or 'one of its files is damaged'}.",
                todo="Copy or unpack the model again, or give the path of another one.",
            )
        self.engine = f"vosk {_version()}, {folder.resolve().name}"

    def hear(self, recording: Recording) -> Transcript:
        """All words of a recording as one transcript; silence and noise give none."""
        session = self.open()
        samples = recording.samples
        stretches = []
        with quiet():
            for start in range(0, len(samples), _CHUNK):
                if session.accept(samples[start : start + _CHUNK].tobytes()):
                    stretches.append(session.stretch())
            stretches.append(session.last_stretch())
        heard = [stretch for stretch in stretches if stretch is not None]
        return readings.join(heard, seconds=recording.seconds, engine=self.engine)

    def open(self) -> Session:
        """A fresh hearing of one recording, or of one turn at the microphone."""
        with quiet():
            return Session(self._vosk.KaldiRecognizer(self._model, float(RATE)))

    def _load(self, folder: Path) -> Any:
        try:
            return self._vosk.Model(model_path=str(folder))
        except Exception:  # vosk raises nothing more exact than this
            return None


class Session:
    """Sound goes in a chunk at a time, and stretches of words come out between silences."""

    def __init__(self, recognizer: Any) -> None:
        """Take over a recogniser of Vosk that has heard nothing yet."""
        recognizer.SetWords(True)
        recognizer.SetMaxAlternatives(readings.LISTED)
        self._recognizer = recognizer
        self._since_cut = 0
        self.heard_s = 0.0
        """Seconds of sound taken so far."""

    def accept(self, chunk: bytes) -> bool:
        """Take 16-bit samples; True where a silence has ended a stretch, or it grew too long."""
        samples = len(chunk) // 2
        self.heard_s += samples / RATE
        self._since_cut += samples
        ended = bool(self._recognizer.AcceptWaveform(chunk))
        return ended or self._since_cut > _TOO_LONG_S * RATE

    def partial(self) -> str:
        """The words of the stretch so far; they may still change."""
        said = json.loads(self._recognizer.PartialResult()).get("partial", "").split()
        return " ".join(word for word in said if word not in readings.UNKNOWN)

    def stretch(self) -> Stretch | None:
        """The stretch that has ended; None where no word was in it."""
        self._since_cut = 0
        return readings.judge(list(_readings(self._recognizer.Result())))

    def last_stretch(self) -> Stretch | None:
        """What was said since the last silence, now that no more sound comes."""
        self._since_cut = 0
        return readings.judge(list(_readings(self._recognizer.FinalResult())))


def _readings(result: str) -> Iterator[Reading]:
    for alternative in json.loads(result).get("alternatives", ()):
        words = tuple(
            TimedWord(text=word["word"], from_s=word["start"], to_s=word["end"])
            for word in alternative.get("result", ())
            if word["word"] not in readings.UNKNOWN
        )
        yield Reading(words=words, score=float(alternative["confidence"]))


def _version() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("vosk")
    except PackageNotFoundError:
        return "of unknown version"
