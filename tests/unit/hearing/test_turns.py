"""When an utterance ends and what is no speech, with a recogniser that is told its words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import pytest

from voicelog.hearing.audio import RATE
from voicelog.hearing.listening import (
    FEW_WORDS,
    LAG_S,
    PAUSE_S,
    SURE,
    Partial,
    Unsure,
    Utterance,
    listen,
)
from voicelog.hearing.readings import Stretch
from voicelog.hearing.sources import CHUNK
from voicelog.types import Alternative, Word

LATE_S = 0.4
"""A word shows up so long after its end."""


@dataclass
class ToldSession:
    """Gives the words whose time has come; `flicker` puts another last word in every chunk."""

    words: Sequence[Word]
    flicker: bool = False
    heard_s: float = 0.0
    given: int = 0
    chunks: int = 0

    def accept(self, chunk: bytes) -> bool:
        self.heard_s += len(chunk) / 2 / RATE
        self.chunks += 1
        return False

    def _shown(self) -> list[Word]:
        return [w for w in self.words[self.given :] if w.to_s + LATE_S <= self.heard_s]

    def partial(self) -> str:
        texts = [word.text for word in self._shown()]
        if texts and self.flicker:
            texts[-1] += str(self.chunks)
        return " ".join(texts)

    def stretch(self) -> Stretch | None:
        words = tuple(self._shown())
        self.given += len(words)
        text = " ".join(word.text for word in words)
        return Stretch(words=words, readings=(Alternative(text=text, score=0),)) if words else None


@dataclass
class ToldRecogniser:
    words: Sequence[Word]
    flicker: bool = False
    engine: str = "told beforehand"
    sessions: list[ToldSession] = field(default_factory=list)

    def open(self, _pause_s: float) -> ToldSession:
        self.sessions.append(ToldSession(self.words, self.flicker))
        return self.sessions[-1]


def spoken(*words: tuple[str, float], confidence: float = 0.95, long: float = 0.3) -> list[Word]:
    return [Word(text=text, from_s=at, to_s=at + long, confidence=confidence) for text, at in words]


def sound(words: Sequence[Word], seconds: float, noise: float) -> np.ndarray:
    chance = np.random.default_rng(5)
    samples = (
        chance.normal(0, noise, int(seconds * RATE)) if noise else np.zeros(int(seconds * RATE))
    )
    for word in words:
        at = slice(int(word.from_s * RATE), int(word.to_s * RATE))
        samples[at] += chance.normal(0, 3000, len(samples[at]))
    return samples.astype(np.int16)


def heard(
    words: Sequence[Word], seconds: float, *, noise: float = 0, flicker: bool = False
) -> list[tuple[float, Partial | Utterance | Unsure]]:
    """What came, with the seconds of sound that had been given by then."""
    given = 0.0
    samples = sound(words, seconds, noise)

    def chunks() -> Iterator[bytes]:
        nonlocal given
        for start in range(0, len(samples), CHUNK):
            given = (start + CHUNK) / RATE
            yield samples[start : start + CHUNK].tobytes()

    told = ToldRecogniser(words, flicker)
    return [(given, item) for item in listen(told, chunks())]  # type: ignore[arg-type]


def ends(items: list[tuple[float, Partial | Utterance | Unsure]]) -> list[tuple[float, str]]:
    return [(at, item.transcript.text) for at, item in items if isinstance(item, Utterance)]


FIVE = spoken(("one", 1.0), ("two", 1.4), ("three", 1.8), ("four", 2.2), ("five", 2.6))


@pytest.mark.parametrize("flicker", [False, True])
def test_an_utterance_ends_a_pause_after_its_last_sound(flicker: bool) -> None:
    ((at, _),) = ends(heard(FIVE, 8, flicker=flicker))
    assert at == pytest.approx(FIVE[-1].to_s + PAUSE_S, abs=0.11)


def test_in_loud_noise_the_words_alone_end_it() -> None:
    ((at, _),) = ends(heard(FIVE, 8, noise=2500, flicker=True))
    assert at <= FIVE[-1].to_s + LATE_S + PAUSE_S + LAG_S + 0.11


def test_breaths_do_not_end_it_and_long_pauses_do() -> None:
    words = spoken(("one", 1.0), ("two", 2.4), ("three", 3.8), ("four", 8.0), ("five", 9.2))
    found = ends(heard(words, 14))
    assert [text for _, text in found] == ["one two three", "four five"]


def test_words_show_as_they_come_and_vanish_when_it_ends() -> None:
    shown = [item.text for _, item in heard(FIVE, 8) if isinstance(item, Partial)]
    assert shown == ["one", "one two", "one two three", "one two three four",
                     "one two three four five"]  # fmt: skip


def test_a_few_unsure_words_are_shown_and_are_no_utterance() -> None:
    unsure = spoken(*((f"w{at}", 1 + at * 0.5) for at in range(FEW_WORDS)), confidence=SURE - 0.01)
    items = [item for _, item in heard(unsure, 8)]
    assert [item.text for item in items if isinstance(item, Unsure)] == ["w0 w1 w2"]
    assert not any(isinstance(item, Utterance) for item in items)


def test_one_sure_word_or_many_unsure_ones_are_speech() -> None:
    many = spoken(*((f"w{at}", 1 + at * 0.5) for at in range(FEW_WORDS + 1)), confidence=0.1)
    assert len(ends(heard(many, 9))) == 1
    assert len(ends(heard(spoken(("one", 1.0), confidence=SURE), 6))) == 1


def test_the_sound_of_an_utterance_holds_its_words_and_no_more_than_a_lead() -> None:
    words = spoken(("one", 20.0), ("two", 20.5), ("three", 21.0), ("four", 21.5))
    ((_, item),) = [(at, i) for at, i in heard(words, 26) if isinstance(i, Utterance)]
    assert 18.5 < item.from_s < 20
    assert item.transcript.words[0].from_s == pytest.approx(20 - item.from_s, abs=0.02)
    assert len(item.samples) / 2 / RATE == pytest.approx(item.transcript.to_s, abs=0.01)
