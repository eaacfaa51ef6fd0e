"""What no record used: remarks where it says something, left-over words where it does not."""

from __future__ import annotations

from voicelog.understanding.event import Event
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.steering import Steered
from voicelog.understanding.stretches import Stretch

_ENOUGH_BESIDE = 4
"""Content words that make a remark beside other records; fewer are said in passing."""
_EMPTY = ("fillers", "grammar", "boundary", "correction", "leading", "before_verb", "same_again",
          "not_done", "planned", "each", "both", "negative_count", "pronouns", "pointing",
          "reported")  # fmt: skip


def remarks(mentions: Mentions, idle: list[Stretch], beside: bool) -> list[tuple[int, int]]:
    """Runs of not understood words that say enough to be kept as a remark."""
    runs: list[tuple[int, int]] = []
    for stretch in idle:
        if runs and runs[-1][1] == stretch.first:
            runs[-1] = (runs[-1][0], stretch.last)
        else:
            runs.append((stretch.first, stretch.last))
    needed = _ENOUGH_BESIDE if beside else 1
    return [run for run in runs if len(content_words(mentions, *run)) >= needed]


def content_words(mentions: Mentions, first: int, last: int) -> list[int]:
    """The tokens of a range that say something of themselves."""
    timed = {at for time in mentions.times_in(first, last) for at in range(time.first, time.last)}
    return [
        at
        for at in range(first, last)
        if at not in timed
        and any(letter.isalnum() for letter in mentions.tokens[at].lower)
        and not any(mentions.covers(name, at) for name in _EMPTY)
    ]


def left_over(
    mentions: Mentions,
    events: list[Event],
    steered: Steered,
    remarked: list[tuple[int, int]],
    corrected: frozenset[int],
) -> tuple[str, ...]:
    """Runs of words that no record, question or instruction used."""
    used = set(corrected)
    for event in events:
        used.update(event.reading.used)
        for said in event.slots.values():
            used.update(range(said.first, said.last))
        for name in (*event.places, *event.flocks, *event.birds):
            used.update(range(name.first, name.last))
    spans = [*steered.questions, *remarked, *(span for span, _ in steered.instructions)]
    for first, last in spans:
        used.update(range(first, last))
    left = [at for at in content_words(mentions, 0, len(mentions.tokens)) if at not in used]
    runs: list[list[int]] = []
    for at in left:
        if runs and runs[-1][-1] == at - 1:
            runs[-1].append(at)
        else:
            runs.append([at])
    return tuple(mentions.words(run[0], run[-1] + 1) for run in runs)
