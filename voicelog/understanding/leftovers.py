"""What no record used: remarks where it says something, left-over words where it does not."""

from __future__ import annotations

from bisect import bisect_left

from voicelog.understanding.event import Event
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.steering import Steered
from voicelog.understanding.stretches import Stretch

_ENOUGH_BESIDE = 4
"""Content words that make a remark beside other records; fewer are said in passing."""
_EMPTY = ("fillers", "grammar", "boundary", "correction", "leading", "before_verb", "same_again",
          "not_done", "planned", "each", "both", "negative_count", "pronouns", "pointing",
          "reported")  # fmt: skip


def content_words(mentions: Mentions) -> tuple[int, ...]:
    """The tokens that say something of themselves, in order."""
    empty = {
        at
        for name in _EMPTY
        for first, last in mentions.cues.get(name, ())
        for at in range(first, last)
    }
    empty.update(at for time in mentions.times for at in range(time.first, time.last))
    return tuple(
        at
        for at, token in enumerate(mentions.tokens)
        if at not in empty and any(letter.isalnum() for letter in token.lower)
    )


def remarks(
    idle: list[Stretch], content: tuple[int, ...], *, beside: bool
) -> list[tuple[int, int]]:
    """Runs of not understood words that say enough to be kept as a remark."""
    runs: list[tuple[int, int]] = []
    for stretch in idle:
        if runs and runs[-1][1] == stretch.first:
            runs[-1] = (runs[-1][0], stretch.last)
        else:
            runs.append((stretch.first, stretch.last))
    needed = _ENOUGH_BESIDE if beside else 1
    return [run for run in runs if says_something(run, content, least=needed)]


def says_something(run: tuple[int, int], content: tuple[int, ...], *, least: int = 1) -> bool:
    """Whether a range of tokens holds so many words that say something."""
    return bisect_left(content, run[1]) - bisect_left(content, run[0]) >= least


def times_alone(mentions: Mentions) -> list[tuple[int, int]]:
    """A memo of nothing but a time, which would otherwise be lost: its words are a remark."""
    passing = mentions.cues.get("fillers", ())
    said = [
        time
        for time in mentions.times
        if not any(first <= time.first and time.last <= last for first, last in passing)
    ]
    return [(said[0].first, said[-1].last)] if said else []


def left_over(
    events: list[Event],
    steered: Steered,
    remarked: list[tuple[int, int]],
    corrected: frozenset[int],
    content: tuple[int, ...],
) -> tuple[int, ...]:
    """The tokens that say something and that no record, question or instruction used."""
    used = set(corrected)
    for event in events:
        used.update(event.used)
        for said in event.slots.values():
            used.update(range(said.first, said.last))
        for name in (*event.places, *event.flocks, *event.birds):
            used.update(range(name.first, name.last))
    spans = [*steered.questions, *remarked, *steered.taken_back]
    spans += [span for span, _ in steered.instructions]
    for first, last in spans:
        used.update(range(first, last))
    return tuple(at for at in content if at not in used)


def words_of_runs(mentions: Mentions, left: tuple[int, ...]) -> tuple[str, ...]:
    """The words of tokens, those that stand side by side together."""
    runs: list[list[int]] = []
    for at in left:
        if runs and runs[-1][-1] == at - 1:
            runs[-1].append(at)
        else:
            runs.append([at])
    return tuple(mentions.words(run[0], run[-1] + 1) for run in runs)
