"""The sound card, stood in for by a module of its name."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from voicelog.errors import AudioError
from voicelog.hearing import microphone as module
from voicelog.hearing.audio import RATE, Recording
from voicelog.hearing.microphone import Microphone, microphone, play
from voicelog.hearing.sources import CHUNK, PlayedIn


class BrokenError(Exception):
    """Stands for the sound library's own error."""


@pytest.fixture
def library(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    def put(**streams: type) -> None:
        stand_in = ModuleType("sounddevice")
        for name, stream in streams.items():
            setattr(stand_in, name, stream)
        stand_in.PortAudioError = BrokenError  # type: ignore[attr-defined]
        monkeypatch.setitem(sys.modules, "sounddevice", stand_in)

    monkeypatch.setattr(module, "_ECHO_S", 0.0)
    return put


def test_without_the_extra_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(AudioError, match=r"voicelog\[mic\]"), microphone():
        pass


def test_without_a_microphone_it_says_so(library: Callable[..., None]) -> None:
    class Stream:
        def __init__(self, **_: object) -> None:
            raise BrokenError("no such device")

    library(RawInputStream=Stream)
    with pytest.raises(AudioError, match=r"No microphone .* no such device"), microphone():
        pass


def test_chunks_come_from_the_microphone_and_it_is_closed(library: Callable[..., None]) -> None:
    closed: list[bool] = []

    class Stream:
        def __init__(self, **settings: Any) -> None:
            assert (settings["samplerate"], settings["channels"]) == (RATE, 1)
            assert settings["blocksize"] == CHUNK
            assert settings["device"] == "the other one"
            self.callback = settings["callback"]

        def start(self) -> None:
            for number in range(3):
                self.callback(bytes([number] * 4), 2, None, None)

        def close(self) -> None:
            closed.append(True)

    library(RawInputStream=Stream)
    with microphone("the other one") as source:
        assert [next(iter(source)) for _ in range(3)] == [bytes([n] * 4) for n in range(3)]
    assert closed == [True]


def test_what_comes_in_meanwhile_is_not_heard(library: Callable[..., None]) -> None:
    library()
    opened = Microphone()
    opened.keep(b"said before and not taken")
    with opened.unheard():
        opened.keep(b"the voice itself")
    opened.keep(b"said after")
    assert next(opened) == b"said after"


def test_a_microphone_that_falls_silent_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_WAIT_S", 0.01)
    with pytest.raises(AudioError, match="Check its plug"):
        next(Microphone())


def test_a_recording_is_played_to_its_end(library: Callable[..., None]) -> None:
    played: list[bytes] = []

    class Stream:
        def __init__(self, **settings: Any) -> None:
            assert settings["samplerate"] == RATE

        def __enter__(self) -> Stream:
            return self

        def __exit__(self, *_: object) -> None:
            played.append(b"closed")

        def write(self, samples: bytes) -> None:
            played.append(samples)

    library(RawOutputStream=Stream)
    samples = np.arange(100, dtype=np.int16)
    play(Recording(samples=samples, seconds=100 / RATE))
    assert played == [samples.tobytes(), b"closed"]


def test_without_a_loudspeaker_it_says_so(library: Callable[..., None]) -> None:
    class Stream:
        def __init__(self, **_: object) -> None:
            raise BrokenError("nothing plugged in")

    library(RawOutputStream=Stream)
    with pytest.raises(AudioError, match="nothing plugged in"):
        play(Recording(samples=np.zeros(4, np.int16), seconds=0.0))


def test_a_recording_is_played_in_at_the_pace_of_speech() -> None:
    samples = np.arange(RATE // 2, dtype=np.int16)
    source = PlayedIn(samples)
    assert source.passed_s == 0
    chunks, times = [], []
    for chunk in source:
        chunks.append(chunk)
        times.append(source.passed_s)
    assert b"".join(chunks) == samples.tobytes()
    # Never before it would have been spoken.
    assert all(at >= (number + 1) * CHUNK / RATE for number, at in enumerate(times))


def test_what_is_played_in_unheard_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = [0.0]
    monkeypatch.setattr("voicelog.hearing.sources.time.monotonic", lambda: clock[0])
    monkeypatch.setattr(
        "voicelog.hearing.sources.time.sleep", lambda s: clock.__setitem__(0, clock[0] + s)
    )
    samples = np.arange(RATE, dtype=np.int16)
    source = PlayedIn(samples)
    chunks = iter(source)
    assert next(chunks) == samples[:CHUNK].tobytes()
    with source.unheard():
        clock[0] += 0.35
    assert next(chunks) == samples[round(0.45 * RATE) :][:CHUNK].tobytes()


def test_a_voice_speaks_a_line_and_leaves_the_screen_alone(
    library: Callable[..., None],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    speech: Path,
) -> None:
    from voicelog.hearing import speaking

    texts: list[str] = []

    class Engine:
        def setProperty(self, *_: object) -> None:  # noqa: N802 the library's own name
            pass

        def save_to_file(self, text: str, file: str) -> None:
            texts.append(text)
            Path(file).write_bytes((speech / "weather.wav").read_bytes())

        def runAndWait(self) -> None:  # noqa: N802 the library's own name
            print("Audio saved")

    stand_in = ModuleType("pyttsx3")
    stand_in.init = Engine  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "pyttsx3", stand_in)
    library()
    played: list[Recording] = []
    monkeypatch.setattr(speaking, "play", played.append)
    voice = speaking.Voice()
    voice.say("Kept: one.")
    voice.say("  ")
    assert texts == ["Kept: one."]
    assert [recording.seconds > 1 for recording in played] == [True]
    assert capsys.readouterr() == ("", "")


def test_without_the_extra_for_voices_it_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from voicelog.hearing.speaking import Voice

    monkeypatch.setitem(sys.modules, "pyttsx3", None)
    with pytest.raises(AudioError, match=r"voicelog\[voice\]"):
        Voice()


def test_a_system_without_a_voice_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    from voicelog.hearing.speaking import Voice

    def init() -> None:
        raise RuntimeError("libespeak.so.1: no such file")

    stand_in = ModuleType("pyttsx3")
    stand_in.init = init  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "pyttsx3", stand_in)
    with pytest.raises(AudioError, match="espeak-ng"):
        Voice()
