"""Utterances out of a stream of chunks, faster than real time."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from voicelog.hearing.audio import RATE, read_recording, write_wav
from voicelog.hearing.listening import Partial, Utterance, listen
from voicelog.hearing.vosk_engine import Recogniser

Samples = NDArray[np.int16]


def chunks(samples: Samples, size: int = RATE // 8) -> Iterator[bytes]:
    for start in range(0, len(samples), size):
        yield samples[start : start + size].tobytes()


def silence(seconds: float) -> Samples:
    return np.zeros(int(seconds * RATE), np.int16)


def utterances(recogniser: Recogniser, samples: Samples) -> list[Utterance]:
    return [one for one in listen(recogniser, chunks(samples)) if isinstance(one, Utterance)]


@pytest.fixture
def eggs(speech: Path) -> Samples:
    return read_recording(speech / "eggs_two_coops.ogg").samples


@pytest.fixture
def weather(speech: Path) -> Samples:
    return read_recording(speech / "weather.wav").samples


def test_silence_ends_an_utterance(recogniser: Recogniser, eggs: Samples, weather: Samples) -> None:
    sound = np.concatenate([silence(12), eggs, silence(4), weather, silence(4)])
    first, second = utterances(recogniser, sound)
    assert first.transcript.text.startswith("collected nine eggs")
    assert second.transcript.text.startswith("sixty two degrees")
    assert first.from_s < 12.3
    assert 12 + len(eggs) / RATE < second.from_s < 16.3 + len(eggs) / RATE


def test_the_sound_of_an_utterance_holds_its_words(
    recogniser: Recogniser, eggs: Samples, tmp_path: Path
) -> None:
    (heard,) = utterances(recogniser, np.concatenate([silence(12), eggs, silence(4)]))
    assert heard.transcript.to_s == pytest.approx(len(heard.samples) / 2 / RATE, abs=0.001)
    assert 0 <= heard.transcript.words[0].from_s < 1.6
    assert heard.transcript.words[-1].to_s < heard.transcript.to_s
    write_wav(tmp_path / "a.wav", heard.samples)
    again = recogniser.hear(read_recording(tmp_path / "a.wav"))
    assert again.text.startswith("collected nine eggs from the red coop")


def test_a_short_pause_does_not_end_it(
    recogniser: Recogniser, eggs: Samples, weather: Samples
) -> None:
    sound = np.concatenate([eggs, silence(0.6), weather, silence(4)])
    (heard,) = utterances(recogniser, sound)
    assert "eggs" in heard.transcript.text
    assert "degrees" in heard.transcript.text


def test_words_show_while_they_are_said(recogniser: Recogniser, eggs: Samples) -> None:
    events = list(listen(recogniser, chunks(np.concatenate([eggs, silence(4)]))))
    shown = [event.text for event in events if isinstance(event, Partial)]
    assert len(shown) > 5
    assert any(0 < len(text.split()) < 6 for text in shown)
    assert isinstance(events[[isinstance(e, Utterance) for e in events].index(True) - 1], Partial)


def test_the_end_of_the_source_hands_over_what_was_said(
    recogniser: Recogniser, eggs: Samples
) -> None:
    (heard,) = utterances(recogniser, eggs)
    assert heard.transcript.text.endswith("green coop")


def test_it_stops_when_told_and_keeps_what_was_said(recogniser: Recogniser, eggs: Samples) -> None:
    taken = 0

    def counted() -> Iterator[bytes]:
        nonlocal taken
        for chunk in chunks(np.concatenate([eggs, silence(60)])):
            taken += 1
            yield chunk

    events = list(listen(recogniser, counted(), stopped=lambda: taken >= 24))
    assert taken == 24
    assert isinstance(events[-1], Utterance)
    assert events[-1].transcript.text.startswith("collected nine eggs")


@pytest.mark.parametrize("name", ["zeros.wav", "wind.ogg", "rain.ogg", "clatter.ogg", "tones.ogg"])
def test_sounds_without_speech_give_nothing(
    recogniser: Recogniser, speech: Path, name: str
) -> None:
    samples = read_recording(speech / "nothing" / name).samples
    assert utterances(recogniser, np.tile(samples, 3)) == []


def test_an_empty_source(recogniser: Recogniser) -> None:
    assert list(listen(recogniser, iter(()))) == []
