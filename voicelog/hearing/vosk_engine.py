"""The one file that knows Vosk."""

from __future__ import annotations

import atexit
import json
from collections.abc import Callable, Iterator
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

_PAUSE_S = 2.0
"""Seconds without a change of the words that end a stretch of a file.

A stretch begins as a sentence does, so ending one at every breath costs words: of the
demonstration recordings with a gap of 1.2 s cut into them 17.1 % of the words were wrong when the
gap ended a stretch, 14.7 % when it did not.
"""

_LONG_S = 15.0
"""From here on a short halt ends a stretch: the list of readings says little of a long one."""

_BREATH_S = 0.5
"""A short halt."""

_TOO_LONG_S = 30.0
"""A stretch without any halt is cut here."""

_RESTART_S = 10.0
"""Sound without words is forgotten after so long, which bounds the memory."""

_OVERLAP = RATE // 2 * 2
"""Bytes of sound (half a second) that are heard again then; words show up about so late."""

_loaded: dict[Path, Recogniser] = {}
# Vosk's objects complain on the screen when they outlive its module.
atexit.register(_loaded.clear)


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
        # A damaged graph is told of, but loads, and would crash when it is used.
        if self._model is None or chatter.complaint:
            raise ModelError(
                f"The speech model in {folder} cannot be loaded: "
                f"{chatter.complaint or 'one of its files is damaged'}.",
                todo="Copy or unpack the model again, or give the path of another one.",
            )
        self.engine = f"vosk {_version()}, {folder.resolve().name}"

    def hear(self, recording: Recording) -> Transcript:
        """All words of a recording as one transcript; silence and noise give none."""
        heard = self.stretches(recording)
        return readings.join(heard, seconds=recording.seconds, engine=self.engine)

    def stretches(self, recording: Recording, pause_s: float = _PAUSE_S) -> list[Stretch]:
        """The stretches of words between pauses of about `pause_s` seconds."""
        session = self.open(pause_s)
        samples = recording.samples
        stretches = []
        with quiet():
            for start in range(0, len(samples), _CHUNK):
                if session.accept(samples[start : start + _CHUNK].tobytes()):
                    stretches.append(session.stretch())
            stretches.append(session.stretch())
        return [stretch for stretch in stretches if stretch is not None]

    def knows(self, word: str) -> bool:
        """Whether a word is in the model's vocabulary, and so can be heard at all."""
        return bool(self._model.vosk_model_find_word(word) >= 0)

    def open(self, pause_s: float = _PAUSE_S) -> Session:
        """A fresh hearing of one recording, or of one turn at the microphone."""
        with quiet():
            return Session(self._fresh, pause_s)

    def _fresh(self) -> Any:
        recognizer = self._vosk.KaldiRecognizer(self._model, float(RATE))
        recognizer.SetWords(True)
        recognizer.SetMaxAlternatives(readings.LISTED)
        return recognizer

    def _load(self, folder: Path) -> Any:
        try:
            return self._vosk.Model(model_path=str(folder))
        except Exception:  # vosk raises nothing more exact than this
            return None


class Session:
    """Sound goes in a chunk at a time, and stretches of words come out between pauses.

    A pause is when the words heard so far stop changing. Vosk's own ends of speech are not used:
    they ask for silence as the model knows it, which the wind on a pasture never is.
    """

    def __init__(self, fresh: Callable[[], Any], pause_s: float) -> None:
        """Hear with recognisers of Vosk, a `fresh` one for each stretch."""
        self._pause_s = pause_s
        self._fresh = fresh
        self._recognizer = fresh()
        self._tail = b""
        self._shown = ""
        self._changed_s = 0.0
        self._began_s = 0.0
        self.heard_s = 0.0
        """Seconds of sound taken so far."""

    def accept(self, chunk: bytes) -> bool:
        """Take 16-bit samples; True where a pause has ended a stretch, or it grew too long."""
        self._recognizer.AcceptWaveform(chunk)
        self.heard_s += len(chunk) / 2 / RATE
        self._tail = (self._tail + chunk)[-_OVERLAP:]
        shown = self.partial()
        if shown != self._shown:
            self._shown, self._changed_s = shown, self.heard_s
        length = self.heard_s - self._began_s
        if not shown and length > _RESTART_S:
            self._restart(overlap=self._tail)
            return False
        still = self.heard_s - self._changed_s
        return bool(shown) and (
            still >= self._pause_s
            or (length > _LONG_S and still >= _BREATH_S)
            or length > _TOO_LONG_S
        )

    def partial(self) -> str:
        """The words of the stretch so far; they may still change."""
        said = json.loads(self._recognizer.PartialResult()).get("partial", "").split()
        return " ".join(word for word in said if word not in readings.UNKNOWN)

    def stretch(self) -> Stretch | None:
        """What was said since the last pause, which ends here; None where no word was in it."""
        began_s = self._began_s
        stretch = readings.judge(self.readings())
        return None if stretch is None else readings.shifted(stretch, began_s)

    def readings(self) -> list[Reading]:
        """All that may have been said since the last pause, counted from it, which ends here."""
        heard = list(_readings(self._recognizer.FinalResult()))
        self._restart()
        return heard

    def _restart(self, overlap: bytes = b"") -> None:
        """Begin a new stretch; with `overlap` a word that began in that sound is not lost."""
        self._recognizer = self._fresh()
        self._began_s = self.heard_s - len(overlap) / 2 / RATE
        if overlap:
            self._recognizer.AcceptWaveform(overlap)
        self._shown, self._changed_s = "", self.heard_s


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
