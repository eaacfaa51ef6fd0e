"""A recording with several memos, cut where nothing is said for long."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from voicelog.hearing import readings
from voicelog.hearing.readings import Stretch
from voicelog.types import Alternative, Transcript, Word

PAUSE_S = 2.0
"""Seconds without a word that part two memos of one recording.

Of 24 demonstration recordings, each one memo, the longest halt between two words was 0.36 s.
Where silence was put between two of them, the halt as heard was as long as the silence and the
two recordings' own quiet edges together (0.64 s in the middle), within 0.2 s.
"""

STRETCH_PAUSE_S = 1.5
"""Where the recogniser may begin anew: words show up late, so sooner than memos are parted."""

LEAD_S = 0.25
"""A memo is taken to begin so long before its first word, and to end so long after its last."""


def cut(stretches: Iterable[Stretch], *, seconds: float, engine: str) -> tuple[Transcript, ...]:
    """The memos of a recording of `seconds`, in order; one without words where nothing was said.

    Times are those of the recording. The first memo begins with the recording unless nothing is
    said for long; the last one ends with it.
    """
    memos = _grouped([part for stretch in stretches for part in _parted(stretch)])
    if not memos:
        return (readings.join((), seconds=seconds, engine=engine),)
    cuts = [
        (round(max(0.0, memo[0].words[0].from_s - LEAD_S), 2), memo[-1].words[-1].to_s + LEAD_S)
        for memo in memos
    ]
    begins = [begin for begin, _ in cuts]
    ends = [round(end, 2) for _, end in cuts]
    if memos[0][0].words[0].from_s < PAUSE_S:
        begins[0] = 0.0
    ends[-1] = round(seconds, 3)
    return tuple(
        replace(readings.join(memo, seconds=seconds, engine=engine), from_s=begin, to_s=end)
        for memo, begin, end in zip(memos, begins, ends, strict=True)
    )


def _grouped(stretches: Sequence[Stretch]) -> list[list[Stretch]]:
    memos: list[list[Stretch]] = []
    for stretch in stretches:
        if memos and not _parts(memos[-1][-1].words[-1], stretch.words[0]):
            memos[-1].append(stretch)
        else:
            memos.append([stretch])
    return memos


def _parted(stretch: Stretch) -> Iterator[Stretch]:
    """A stretch with a long pause in it as the stretches around that pause.

    Its other readings say nothing of when their words were said, so the parts have none.
    """
    words = stretch.words
    cuts = [at for at, (one, next_) in enumerate(pairwise(words), start=1) if _parts(one, next_)]
    if not cuts:
        yield stretch
        return
    for begin, end in pairwise((0, *cuts, len(words))):
        text = " ".join(word.text for word in words[begin:end])
        alone = Alternative(text=text, score=stretch.readings[0].score)
        yield Stretch(words=words[begin:end], readings=(alone,))


def _parts(word: Word, next_: Word) -> bool:
    return next_.from_s - word.to_s >= PAUSE_S
