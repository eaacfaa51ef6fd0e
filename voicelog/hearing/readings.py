"""The recogniser's list of readings of a stretch of sound, and what can be learned from it.

A *reading* is one way to hear a stretch, with a score in nats: the difference of two scores is
the logarithm of how many times likelier one reading is. From the list come the words' confidence
and the alternatives of a whole recording. Pure functions; no engine.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from voicelog.hearing.confidence import evidence
from voicelog.types import Alternative, Transcript, Word

LISTED = 200
"""Readings asked for a stretch; more cost time and tell little more (see the benchmark)."""

CARRIED = 30
"""Alternatives handed on with a transcript."""

NOISE_BELOW = 0.55
"""A stretch whose words have less confidence than this on the mean is taken for no English."""

FEW_WORDS = 2
"""Words up to which a stretch must be surer, as noise gives one or two words if any."""

SHORTEST_S = 0.1
"""Seconds from the first word to the end of the last: nothing is said in less, but clicks are."""

FEW_NOISE_BELOW = 0.7
"""Mean confidence that so few words must reach.

With these limits, of recordings in which words were read: noise 1 of 83 kept any (of 110 with 947
s), foreign speech 13 of 32; lost were none of 204 memos clean and with noise 10 dB below them, 1 of
133 at 5 dB, and 39 of 201 sentences of real people, in which about half of the words were wrong.
"""

UNKNOWN = frozenset({"[unk]", "<unk>", "<UNK>", "[noise]", "[laughter]", "<eps>"})
"""Marks for sounds that are no word of the vocabulary: they are no words here either."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedWord:
    """A word of a reading, seconds from the start of the recording."""

    text: str
    from_s: float
    to_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One way to hear a stretch."""

    words: tuple[TimedWord, ...]
    score: float

    @property
    def text(self) -> str:
        """The words in a row."""
        return " ".join(word.text for word in self.words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """The words of a stretch between two silences, and all its readings, the best first."""

    words: tuple[Word, ...]
    readings: tuple[Alternative, ...]


def judge(readings: Sequence[Reading]) -> Stretch | None:
    """The best reading with its words' confidence; None where there is only noise or silence."""
    if not readings or not readings[0].words:
        return None
    ordered = sorted(readings, key=lambda reading: -reading.score)
    # The recogniser's first stays first: a tie in the scores must not change the text.
    best = readings[0]
    told = evidence(best, ordered, full=len(readings) >= LISTED)
    words = tuple(
        Word(
            text=word.text,
            from_s=round(word.from_s, 2),
            to_s=round(word.to_s, 2),
            confidence=round(of_word.confidence, 3),
        )
        for word, of_word in zip(best.words, told, strict=True)
    )
    if _is_noise(words):
        return None
    return Stretch(words=words, readings=_without_repeats((best, *ordered)))


def join(stretches: Sequence[Stretch], *, seconds: float, engine: str) -> Transcript:
    """One transcript of stretches that follow each other in a recording of `seconds`."""
    combined: tuple[Alternative, ...] = ()
    for stretch in stretches:
        combined = _best_pairs(combined, stretch.readings) if combined else stretch.readings
        combined = combined[:CARRIED]
    return Transcript(
        text=" ".join(word.text for stretch in stretches for word in stretch.words),
        words=tuple(word for stretch in stretches for word in stretch.words),
        alternatives=combined,
        from_s=0.0,
        to_s=round(seconds, 3),
        engine=engine,
    )


def shifted(stretch: Stretch, by_s: float) -> Stretch:
    """The stretch with its times moved by so many seconds."""
    words = tuple(
        replace(word, from_s=round(word.from_s + by_s, 2), to_s=round(word.to_s + by_s, 2))
        for word in stretch.words
    )
    return replace(stretch, words=words)


def _is_noise(words: Sequence[Word]) -> bool:
    if words[-1].to_s - words[0].from_s < SHORTEST_S:
        return True
    mean = sum(word.confidence for word in words) / len(words)
    return mean < (FEW_NOISE_BELOW if len(words) <= FEW_WORDS else NOISE_BELOW)


def _without_repeats(readings: Sequence[Reading]) -> tuple[Alternative, ...]:
    kept: dict[str, Alternative] = {}
    for reading in readings:
        if reading.words and reading.text not in kept:
            kept[reading.text] = Alternative(text=reading.text, score=round(reading.score, 3))
            if len(kept) == CARRIED:
                break
    return tuple(kept.values())


def _best_pairs(
    before: Sequence[Alternative], after: Sequence[Alternative]
) -> tuple[Alternative, ...]:
    """The likeliest of all pairs of two ordered lists, found without making all of them."""
    kept: dict[str, Alternative] = {}
    for pair in _pairs_best_first(before, after):
        kept.setdefault(pair.text, pair)
        if len(kept) == CARRIED:
            break
    return tuple(kept.values())


def _pairs_best_first(
    before: Sequence[Alternative], after: Sequence[Alternative]
) -> Iterator[Alternative]:
    """From the best pair outwards: a pair's neighbours are looked at when it has been taken."""
    waiting = [(-(before[0].score + after[0].score), 0, 0)]
    seen = {(0, 0)}
    while waiting:
        lost, i, j = heapq.heappop(waiting)
        text = f"{before[i].text} {after[j].text}"
        yield Alternative(text=text, score=round(-lost, 3))
        for next_ in ((i + 1, j), (i, j + 1)):
            if next_[0] < len(before) and next_[1] < len(after) and next_ not in seen:
                seen.add(next_)
                score = before[next_[0]].score + after[next_[1]].score
                heapq.heappush(waiting, (-score, *next_))
