"""Hands-free listening: chunks of sound go in, words and finished utterances come out.

An utterance ends when nothing has been said for a while. Wind, rain and crowing end in nothing:
the recogniser rarely reads words into them, and a stretch whose words have little confidence is
dropped (`readings.NOISE_BELOW`). A word or two heard with little confidence are `Unsure`:
they are shown and not kept. Nothing is printed here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

from voicelog.hearing import readings
from voicelog.hearing.audio import RATE
from voicelog.hearing.loudness import Loudness
from voicelog.hearing.native_stderr import quiet

if TYPE_CHECKING:
    from voicelog.hearing.readings import Stretch
    from voicelog.hearing.vosk_engine import Recogniser, Session
    from voicelog.types import Transcript

PAUSE_S = 1.5
"""Seconds without a word that end an utterance; shorter pauses are breath and thought."""

LONGEST_S = 120.0
"""An utterance is handed over after this long even if the talking goes on."""

SETTLED_S = 0.7
"""Seconds without one more word that are enough where the sound has been quiet for a pause.

The last word shows up about half a second after its end, and words may be put for others for two
seconds more, which keeps nobody waiting.
"""

LAG_S = 0.5
"""So much longer than a pause no word may have been added where the sound never is quiet."""

FEW_WORDS = 3
"""Words up to which an utterance may be something else than speech."""

SURE = 0.9
"""Confidence that one word of a very short utterance must reach.

Of 110 recordings of noise (16 minutes) one gave words that `readings` let pass: one word, with
0.84. Of 13 utterances of real people with up to three words twelve had one with 0.91 or more;
"stop" with 0.80 was lost. Longer ones are not asked.
"""

_LEAD_S = 1.0
"""Sound kept from before the first word was noticed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Partial:
    """Words heard so far in the utterance that is going on; they may still change."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Utterance:
    """A finished utterance with its sound."""

    transcript: Transcript
    """Times in seconds from the start of `samples`."""
    samples: bytes
    """16 kHz, 16 bit, one channel: `audio.write_wav` writes them to a file."""
    from_s: float
    """Where it began, in seconds since listening began."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsure:
    """Very few words, none of them sure: most likely no speech."""

    text: str


Heard: TypeAlias = Partial | Utterance | Unsure


def never() -> bool:
    """Listen until the source ends."""
    return False


def listen(
    recogniser: Recogniser,
    chunks: Iterable[bytes],
    *,
    stopped: Callable[[], bool] = never,
    pause_s: float = PAUSE_S,
) -> Iterator[Heard]:
    """Hear a source of 16-bit mono chunks at 16 kHz, best a quarter of a second long or shorter.

    When `stopped` says so, or the source ends, what has been said so far is handed over.
    """
    turn = _Turn(recogniser, pause_s)
    for chunk in chunks:
        yield from turn.take(chunk)
        if stopped():
            break
    yield from turn.finish()


def is_speech(transcript: Transcript) -> bool:
    """Whether someone spoke, rather than a cock or the wind."""
    words = transcript.words
    return len(words) > FEW_WORDS or any(word.confidence >= SURE for word in words)


class _Turn:
    """The utterance that is going on: its stretches, its sound, and how long it has been still."""

    def __init__(self, recogniser: Recogniser, pause_s: float) -> None:
        self._recogniser = recogniser
        self._session: Session = recogniser.open(pause_s)
        self._pause_s = pause_s
        self._stretches: list[Stretch] = []
        self._sound = bytearray()
        self._sound_from = 0
        self._loudness = Loudness()
        self._most_words = 0
        self._grew_s = 0.0
        self._shown = ""

    def take(self, chunk: bytes) -> Iterator[Heard]:
        self._sound += chunk
        self._loudness.take(chunk)
        with quiet():
            ended = self._session.accept(chunk)
            silent = self._fallen_silent(self._session.partial())
            stretch = self._session.stretch() if ended or silent else None
            going_on = "" if ended or silent else self._session.partial()
        if stretch is not None:
            self._stretches.append(stretch)
        if not self._stretches and not going_on:
            self._forget_old_sound()
        yield from self._show(going_on)
        if self._stretches and (silent or self._over(going_on)):
            yield self._hand_over()

    def finish(self) -> Iterator[Heard]:
        with quiet():
            stretch = self._session.stretch()
        if stretch is not None:
            self._stretches.append(stretch)
        if self._stretches:
            yield self._hand_over()

    def _fallen_silent(self, going_on: str) -> bool:
        """Whether a stretch that has words is over: by the sound, or in noise by the words."""
        words = len(going_on.split())
        if not words or words > self._most_words:
            self._most_words, self._grew_s = words, self._session.heard_s
        without_more = self._session.heard_s - self._grew_s
        if without_more >= self._pause_s + LAG_S:
            return words > 0
        enough = words > 0 and without_more >= SETTLED_S
        return enough and self._loudness.quiet_s >= self._pause_s

    def _over(self, going_on: str) -> bool:
        last_word = self._stretches[-1].words[-1].to_s
        still = not going_on and self._session.heard_s - last_word >= self._pause_s
        return still or len(self._sound) / 2 / RATE > LONGEST_S

    def _show(self, going_on: str) -> Iterator[Partial]:
        before = " ".join(word.text for stretch in self._stretches for word in stretch.words)
        text = f"{before} {going_on}".strip()
        if text != self._shown:
            self._shown = text
            yield Partial(text=text)

    def _hand_over(self) -> Utterance | Unsure:
        from_s = self._sound_from / RATE
        samples = bytes(self._sound)
        transcript = readings.join(
            [readings.shifted(stretch, -from_s) for stretch in self._stretches],
            seconds=len(samples) / 2 / RATE,
            engine=self._recogniser.engine,
        )
        self._stretches, self._shown = [], ""
        self._forget_old_sound()
        if not is_speech(transcript):
            return Unsure(text=transcript.text)
        return Utterance(transcript=transcript, samples=samples, from_s=from_s)

    def _forget_old_sound(self) -> None:
        surplus = max(0, len(self._sound) - int(_LEAD_S * RATE) * 2)
        del self._sound[:surplus]
        self._sound_from += surplus // 2
        self._loudness.forget_all_but(_LEAD_S)
