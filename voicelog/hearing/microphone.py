"""The sound card: its microphone as a source of chunks, its loudspeaker (the extra `mic`)."""

from __future__ import annotations

import queue
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Self

from voicelog.errors import AudioError
from voicelog.hearing.audio import RATE
from voicelog.hearing.sources import CHUNK

if TYPE_CHECKING:
    from voicelog.hearing.audio import Recording

_WAIT_S = 5.0
"""A microphone that gives nothing for this long has been unplugged."""

_ECHO_S = 0.3
"""The room still sounds so long after the loudspeaker has ended."""


class Microphone:
    """An open microphone: its chunks, one after the other, without end."""

    def __init__(self) -> None:
        self._waiting: queue.Queue[bytes] = queue.Queue()
        self._heard = True

    def keep(self, chunk: bytes) -> None:
        """Take a chunk as it comes in; called by the sound card's own thread."""
        if self._heard:
            self._waiting.put(chunk)

    def __iter__(self) -> Self:
        return self

    def __next__(self) -> bytes:
        """The next chunk.

        Raises:
            AudioError: there is none; the microphone has been unplugged.
        """
        try:
            return self._waiting.get(timeout=_WAIT_S)
        except queue.Empty as problem:
            raise AudioError(
                f"The microphone has given no sound for {_WAIT_S:.0f} seconds.",
                kept="What was said before is kept.",
                todo="Check its plug and start listening again.",
            ) from problem

    @contextmanager
    def unheard(self) -> Iterator[None]:
        """Drop what comes in, and what has come in and was not taken yet."""
        self._heard = False
        try:
            yield
            time.sleep(_ECHO_S)
        finally:
            self._waiting = queue.Queue()
            self._heard = True


@contextmanager
def microphone(device: str | int | None = None) -> Iterator[Microphone]:
    """Open the microphone (`device` by its name or number, else the system's own).

    Leaving the block closes it.

    Raises:
        AudioError: the extra is not installed, or there is no microphone that can be opened.
    """
    sounddevice = _library()
    opened = Microphone()

    def keep(chunk: Any, _frames: int, _clock: Any, _state: Any) -> None:
        opened.keep(bytes(chunk))

    try:
        stream = sounddevice.RawInputStream(
            samplerate=RATE,
            blocksize=CHUNK,
            channels=1,
            dtype="int16",
            device=device,
            callback=keep,
        )
        stream.start()
    except (sounddevice.PortAudioError, ValueError, OSError) as problem:
        raise AudioError(
            f"No microphone can be opened: {problem}.",
            todo="Plug one in and allow its use, or record to a file and give that.",
        ) from problem
    try:
        yield opened
    finally:
        stream.close()


def microphone_name() -> str:
    """What the system calls its own microphone.

    Raises:
        AudioError: the extra is not installed, or there is no microphone.
    """
    sounddevice = _library()
    try:
        return str(sounddevice.query_devices(kind="input")["name"])
    except (sounddevice.PortAudioError, ValueError, OSError) as problem:
        raise AudioError(f"There is no microphone that can be used: {problem}.") from problem


def play(recording: Recording) -> None:
    """Play a recording on the system's own loudspeaker, and come back when it has ended.

    Raises:
        AudioError: the extra is not installed, or there is no loudspeaker that can be used.
    """
    sounddevice = _library()
    try:
        with sounddevice.RawOutputStream(samplerate=RATE, channels=1, dtype="int16") as stream:
            stream.write(recording.samples.tobytes())
    except (sounddevice.PortAudioError, ValueError, OSError) as problem:
        raise AudioError(f"No loudspeaker can be used: {problem}.") from problem


def _library() -> Any:
    try:
        import sounddevice
    except ImportError as problem:
        raise AudioError(
            "Listening needs an extra that is not installed.",
            todo="Install it with: pip install 'voicelog[mic]'",
        ) from problem
    except OSError as problem:
        raise AudioError(
            f"The system's sound library cannot be used: {problem}.",
            todo="Install PortAudio (on Debian and Ubuntu: apt install libportaudio2).",
        ) from problem
    return sounddevice
