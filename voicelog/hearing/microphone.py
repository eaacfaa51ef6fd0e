"""The microphone as a source of chunks (the extra `mic`)."""

from __future__ import annotations

import queue
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from voicelog.errors import AudioError
from voicelog.hearing.audio import RATE

_CHUNK = RATE // 8
"""An eighth of a second: words appear soon after they are said."""

_WAIT_S = 5.0
"""A microphone that gives nothing for this long has been unplugged."""


@contextmanager
def microphone(device: str | int | None = None) -> Iterator[Iterator[bytes]]:
    """Open the microphone (`device` by its name or number, else the system's own).

    Yields 16 kHz 16-bit mono chunks without end; leaving the block closes it.

    Raises:
        AudioError: the extra is not installed, or there is no microphone that can be opened.
    """
    sounddevice = _library()
    waiting: queue.Queue[bytes] = queue.Queue()

    def keep(chunk: Any, _frames: int, _clock: Any, _state: Any) -> None:
        waiting.put(bytes(chunk))

    try:
        stream = sounddevice.RawInputStream(
            samplerate=RATE,
            blocksize=_CHUNK,
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
        yield _chunks(waiting)
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


def _chunks(waiting: queue.Queue[bytes]) -> Iterator[bytes]:
    while True:
        try:
            yield waiting.get(timeout=_WAIT_S)
        except queue.Empty as problem:
            raise AudioError(
                f"The microphone has given no sound for {_WAIT_S:.0f} seconds.",
                kept="What was said before is kept.",
                todo="Check its plug and start listening again.",
            ) from problem
