"""Listening and reading back, on the sound card or on a recording in its place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Self

from voicelog.app.hands_free import HandsFree, Said, wake_words
from voicelog.app.notebook import Notebook
from voicelog.errors import AudioError

if TYPE_CHECKING:
    from voicelog.hearing.sources import Source
    from voicelog.hearing.speaking import Voice
    from voicelog.hearing.vosk_engine import Recogniser


class LiveTalk:
    """An open ear with a conversation behind it, and perhaps a voice."""

    def __init__(
        self,
        notebook: Notebook,
        source: Source,
        recogniser: Recogniser,
        voice: Voice | None,
        wake: tuple[str, ...],
    ) -> None:
        """Put the parts together; `opened` opens them."""
        self._notebook = notebook
        self._source = source
        self._recogniser = recogniser
        self._voice = voice
        self._wake = wake

    @classmethod
    @contextmanager
    def opened(
        cls,
        notebook: Notebook,
        *,
        model: Path | None = None,
        wake: str | None = None,
        aloud: bool = False,
        device: str | None = None,
        recording: Path | None = None,
    ) -> Iterator[Self]:
        """Open all that is needed, so that the first memo need not wait for it.

        Args:
            notebook: where memos are kept.
            model: folder of another speech model than the farm's.
            wake: words that a memo must begin with to count.
            aloud: read back with a voice.
            device: name or number of another microphone.
            recording: a file that is played in at the pace of speech, for the microphone.

        Raises:
            AudioError: no microphone or voice can be used, or an extra for it is missing.
            ModelError: the speech model cannot be used.
            RequestError: a wake word is not in the vocabulary.
        """
        from voicelog.hearing import load_recogniser

        voice = _voice() if aloud else None
        with _source(recording, device) as source:
            recogniser = load_recogniser(notebook.model_to_hear(model))
            called = () if wake is None else wake_words(wake, recogniser)
            assert notebook.writing
            if notebook.setting.farm_fault is None:
                notebook.parse("", notebook.setting.memo_now())
            yield cls(notebook, source, recogniser, voice, called)

    def said(
        self,
        stopped: Callable[[], bool],
        *,
        partly: Callable[[str], None] | None = None,
        unsure: Callable[[str], None] | None = None,
    ) -> Iterator[Said]:
        """What came of each utterance, until one says to stop, or `stopped` does.

        Raises:
            AudioError: the microphone gives no sound any more.
            StoreError: an utterance could not be kept; those before it are.
        """
        from voicelog.hearing.listening import listen

        talk = HandsFree(self._notebook, wake=self._wake, partly=partly, unsure=unsure)
        yield from talk.take(listen(self._recogniser, self._source, stopped=stopped))

    def read_aloud(self, said: Said) -> str:
        """Say what came of an utterance, unheard by the microphone, where there is a voice.

        Returns:
            Why the voice failed, which is then no longer used; empty where it did not.
        """
        if self._voice is None:
            return ""
        try:
            with self._source.unheard():
                self._voice.say(said.line)
        except AudioError as problem:
            self._voice = None
            return f"{problem.paragraph()} Listening goes on without a voice."
        return ""


def _voice() -> Voice:
    from voicelog.hearing.speaking import Voice

    return Voice()


@contextmanager
def _source(recording: Path | None, device: str | None) -> Iterator[Source]:
    if recording is not None:
        from voicelog.hearing.audio import read_recording
        from voicelog.hearing.sources import PlayedIn

        yield PlayedIn(read_recording(recording).samples)
        return
    from voicelog.hearing.microphone import microphone

    number = int(device) if device is not None and device.isdecimal() else device
    with microphone(number) as opened:
        yield opened
