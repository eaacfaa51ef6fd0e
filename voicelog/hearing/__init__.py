"""Sound in, words out: recordings and the microphone become `Transcript`s.

    transcribe(path, model=None)         a file of any common format -> Transcript
    transcribe_memos(path, model=None)   the same, a Transcript for each memo in it
    load_recogniser(model=None)          for many files: the model is loaded once
    check_model(path=None)               one sentence about the model, or a ModelError
    build_model(sentences, words, out)   a model that hears these, for any trade
    farm_model(names, farm, building)    a model that knows a farm's names, kept for the next time

Live listening is in `voicelog.hearing.listening`, the microphone in `.microphone`. Nothing heavy
is imported before one of these is called. This room knows nothing of records.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from voicelog.hearing.building.cache import FarmModel
    from voicelog.hearing.building.farm_words import FarmNames
    from voicelog.hearing.vosk_engine import Recogniser
    from voicelog.types import Transcript

__all__ = [
    "build_model",
    "check_model",
    "farm_model",
    "load_recogniser",
    "transcribe",
    "transcribe_memos",
]


def transcribe(path: Path | str, model: Path | str | None = None) -> Transcript:
    """Hear one recording of at most ten minutes; silence gives a transcript without words.

    Args:
        path: wav, flac, ogg, opus, mp3, m4a and what else FFmpeg reads; any rate and channels.
        model: a Vosk model folder; without one `VOICELOG_MODEL`, else the model carried along.

    Raises:
        AudioError: the recording is missing, damaged, too long or no sound.
        ModelError: the model is incomplete or cannot be loaded.
    """
    from voicelog.hearing.audio import read_recording

    recording = read_recording(Path(path))
    return load_recogniser(model).hear(recording)


def transcribe_memos(path: Path | str, model: Path | str | None = None) -> tuple[Transcript, ...]:
    """Hear one recording as `transcribe` does, cut into memos at long pauses.

    Returns:
        A transcript for each memo in order, its times counted from the recording's beginning;
        one without words where nothing is said.

    Raises:
        AudioError, ModelError: as for `transcribe`.
    """
    from voicelog.hearing.audio import read_recording
    from voicelog.hearing.cutting import STRETCH_PAUSE_S, cut

    recording = read_recording(Path(path))
    recogniser = load_recogniser(model)
    stretches = recogniser.stretches(recording, STRETCH_PAUSE_S)
    return cut(stretches, seconds=recording.seconds, engine=recogniser.engine)


def load_recogniser(model: Path | str | None = None) -> Recogniser:
    """A recogniser that can hear many recordings; the last one loaded is kept and given again.

    Raises:
        ModelError: the model is incomplete or cannot be loaded.
    """
    from voicelog.hearing.model_folder import find_model
    from voicelog.hearing.vosk_engine import loaded

    return loaded(find_model(model))


def check_model(path: Path | str | None = None) -> str:
    """Say which model would be used, having checked its files without loading it.

    Raises:
        ModelError: files are missing; each is named.
    """
    from voicelog.hearing.model_folder import describe, find_model

    return describe(find_model(path))


def build_model(sentences: Iterable[str], words: Iterable[str], out: Path | str) -> None:
    """Write a Vosk model folder with the carried acoustic model, for any words and sentences.

    Whatever is said is heard as a row of the words; those of the sentences, and rows of them that
    the sentences have, are likeliest. A list of commands so becomes a recogniser of commands. Takes
    about a second.

    Args:
        sentences: plain ones, as they are said; case and punctuation do not matter, and numbers in
            digits are spelled out. One given several times is as much likelier.
        words: further words to be heard; there may be none, where there are sentences.
        out: the folder. It is written beside its place and moved there when it is whole; a model
            or an empty folder that is there before is replaced.

    Raises:
        ModelError: a word cannot be pronounced (all such are named), there is no word at all, or
            `out` cannot be written, or is there and is no model. What was there is left.
    """
    from voicelog.hearing.building.build import build_model as build

    build(sentences, words, Path(out))


def farm_model(names: FarmNames, farm: Path | str, building: Callable[[], None]) -> FarmModel:
    """The model that hears a farm's names, built where that was not done before.

    Building takes a few seconds, in a process of its own and without a network.

    Args:
        names: all names of the farm.
        farm: the farm file they are from; of its models the last three are kept.
        building: is called before one is built, so that somebody is told why it takes longer.

    Raises:
        ModelError: it cannot be built or kept; the carried model can still be used.
    """
    from voicelog.hearing.building.cache import farm_model as found_or_built

    return found_or_built(names, Path(farm), building)
