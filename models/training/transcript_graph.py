"""All the ways to say a transcript, as a graph of phones in context.

Words have several pronunciations, and before, between and after them there may be a pause. Each
state of the graph is a phone spoken after a given one, so it stands for one pair of outputs of the
network: (phone before) * phones + phone. A state is entered once and then may last. States are
numbered so that every arc leads to a higher number.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, fields
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from models.training.phone_model import (
    NEVER,
    PHONES,
    PhoneModel,
    Pronunciation,
    Transcript,
    logarithm,
)
from voicelog.hearing.building.phones import SILENCE

if TYPE_CHECKING:
    import torch

STATES_AT_MOST = 1024
"""One thread of a block of the graphics processor works on a state, and a block has no more."""

START = -1
"""Stands for the start of the utterance where a state that comes before is named."""

UTTERANCES_A_TASK = 256
"""How many utterances a worker takes at a time."""


class TranscriptTooLongError(ValueError):
    """An utterance has more phones than a graph may have states."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TranscriptGraph:
    """The ways to say one transcript, not yet weighted."""

    labels: np.ndarray
    """(states,) int16: the pair of phones of each state."""
    arcs: np.ndarray
    """(2, arcs) int16: from which state to which."""
    starts: np.ndarray
    """int16: the states that an utterance may start in."""
    ends: np.ndarray
    """int16: the states that it may end in."""
    fewest_frames: int
    """The frames of output that the shortest way takes; with fewer, nothing fits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GraphBatch:
    """The weighted graphs of a batch, padded to the same number of states. Weights are logarithms.

    `before` and `before_weights` list for each state those that lead to it, `after` and
    `after_weights` those that it leads to; the lists are filled up with -1 and `NEVER`.
    """

    labels: torch.Tensor
    """(B, states) int32: the pair of phones of each state."""
    states: torch.Tensor
    """(B,) int32: how many states each graph has."""
    before: torch.Tensor
    """(B, most before, states) int32."""
    before_weights: torch.Tensor
    """(B, most before, states) float32."""
    after: torch.Tensor
    """(B, most after, states) int32."""
    after_weights: torch.Tensor
    """(B, most after, states) float32."""
    start: torch.Tensor
    """(B, states) float32: the weight of starting in a state."""
    final: torch.Tensor
    """(B, states) float32: the weight of ending in it."""

    def to(self, device: torch.device | str) -> GraphBatch:
        """The batch on a device, copied while other work goes on where memory is pinned."""
        moved = {
            field.name: getattr(self, field.name).to(device, non_blocking=True)
            for field in fields(self)
        }
        return GraphBatch(**moved)

    def pin_memory(self) -> GraphBatch:
        """The batch in memory that a graphics processor reads by itself."""
        pinned = {field.name: getattr(self, field.name).pin_memory() for field in fields(self)}
        return GraphBatch(**pinned)


class _Frontier:
    """The states that the next phone may follow, by their phone, which is its left context."""

    def __init__(self) -> None:
        self.by_phone: dict[int, list[int]] = {}

    def add(self, phone: int, states: Iterable[int]) -> None:
        self.by_phone.setdefault(phone, []).extend(states)


class _Drawing:
    """A graph while it is drawn, word by word."""

    def __init__(self, phones: int, silence: int) -> None:
        self.phones = phones
        self.silence = silence
        self.labels: list[int] = []
        self.sources: list[int] = []
        self.targets: list[int] = []
        self.starts: list[int] = []
        self.frontier = _Frontier()
        self.frontier.add(silence, [START])

    def state(self, left: int, phone: int, before: Iterable[int]) -> int:
        """A new state that follows those `before`."""
        new = len(self.labels)
        self.labels.append(left * self.phones + phone)
        for source in before:
            if source == START:
                self.starts.append(new)
            else:
                self.sources.append(source)
                self.targets.append(new)
        return new

    def pause(self) -> None:
        """A pause that may be made or left out."""
        after_phone = self.frontier.by_phone.items()
        pauses = [self.state(left, self.silence, before) for left, before in after_phone]
        self.frontier.add(self.silence, pauses)

    def word(self, pronunciations: Iterable[Pronunciation]) -> None:
        """A word in any of its pronunciations; what they begin with in common is drawn once."""
        entered = self.frontier.by_phone
        ends = _Frontier()
        drawn: dict[tuple[int, ...], list[int]] = {}
        for pronunciation in dict.fromkeys(map(tuple, pronunciations)):
            before: list[int] = []
            for length, phone in enumerate(pronunciation, start=1):
                beginning = pronunciation[:length]
                if beginning not in drawn:
                    drawn[beginning] = (
                        [self.state(left, phone, states) for left, states in entered.items()]
                        if length == 1
                        else [self.state(pronunciation[length - 2], phone, before)]
                    )
                before = drawn[beginning]
            ends.add(pronunciation[-1], before)
        self.frontier = ends

    def ends(self) -> list[int]:
        """The states that the drawing may end in now."""
        reached = (state for states in self.frontier.by_phone.values() for state in states)
        return sorted(state for state in reached if state != START)


def transcript_graph(
    transcript: Transcript, *, phones: int = PHONES, silence: int = SILENCE
) -> TranscriptGraph:
    """The graph of a transcript; one without words is a pause alone.

    Where it would have more than `STATES_AT_MOST` states, only the first pronunciation of each
    word is kept. Raises TranscriptTooLongError where even that has more.
    """
    drawing = _drawn(transcript, phones, silence)
    if len(drawing.labels) > STATES_AT_MOST:
        transcript = [pronunciations[:1] for pronunciations in transcript]
        drawing = _drawn(transcript, phones, silence)
    if len(drawing.labels) > STATES_AT_MOST:
        raise TranscriptTooLongError(
            f"A transcript of {len(transcript)} words needs {len(drawing.labels)} states, more "
            f"than {STATES_AT_MOST}. Nothing was built of it. Cut the recording into shorter ones."
        )
    shortest = sum(min(map(len, pronunciations)) for pronunciations in transcript)
    return TranscriptGraph(
        labels=np.array(drawing.labels, dtype=np.int16),
        arcs=np.array([drawing.sources, drawing.targets], dtype=np.int16),
        starts=np.array(drawing.starts, dtype=np.int16),
        ends=np.array(drawing.ends(), dtype=np.int16),
        fewest_frames=max(1, shortest),
    )


def _drawn(transcript: Transcript, phones: int, silence: int) -> _Drawing:
    drawing = _Drawing(phones, silence)
    drawing.pause()
    for pronunciations in transcript:
        drawing.word(pronunciations)
        drawing.pause()
    return drawing


def _graph_or_none(transcript: Transcript, phones: int, silence: int) -> TranscriptGraph | None:
    try:
        return transcript_graph(transcript, phones=phones, silence=silence)
    except TranscriptTooLongError:
        return None


def transcript_graphs(
    transcripts: Sequence[Transcript],
    *,
    phones: int = PHONES,
    silence: int = SILENCE,
    workers: int | None = None,
) -> list[TranscriptGraph | None]:
    """The graphs of many transcripts, drawn by `workers` processes, by default one a core.

    None stands for a transcript that is too long for a graph.
    """
    draw = partial(_graph_or_none, phones=phones, silence=silence)
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(draw, transcripts, chunksize=UTTERANCES_A_TASK))


def collate(graphs: Sequence[TranscriptGraph], phone_model: PhoneModel) -> GraphBatch:
    """Weight graphs by the phone model and pad them to the same number of states."""
    import torch

    phones = phone_model.phones
    counts = np.array([len(graph.labels) for graph in graphs])
    most = int(counts.max())
    labels = np.zeros((len(graphs), most), dtype=np.int32)
    labels[np.arange(most) < counts[:, None]] = np.concatenate([graph.labels for graph in graphs])
    flat_labels = labels.ravel()

    # From here on a state is named by its place in the whole padded batch.
    offsets = np.arange(len(graphs)) * most
    sources, targets = _in_batch([graph.arcs for graph in graphs], offsets)
    starts = _in_batch([graph.starts for graph in graphs], offsets)
    ends = _in_batch([graph.ends for graph in graphs], offsets)

    follow = logarithm(phone_model.follow).reshape(-1, phones)
    arc_weights = follow[flat_labels[sources], flat_labels[targets] % phones]
    before, before_weights = _listed(targets, sources, arc_weights, labels.shape)
    after, after_weights = _listed(sources, targets, arc_weights, labels.shape)
    start = np.full(labels.size, NEVER, dtype=np.float32)
    start[starts] = logarithm(phone_model.start).ravel()[flat_labels[starts]]
    final = np.full(labels.size, NEVER, dtype=np.float32)
    final[ends] = logarithm(phone_model.final).ravel()[flat_labels[ends]]
    return GraphBatch(
        labels=torch.from_numpy(labels),
        states=torch.from_numpy(counts.astype(np.int32)),
        before=torch.from_numpy(before),
        before_weights=torch.from_numpy(before_weights),
        after=torch.from_numpy(after),
        after_weights=torch.from_numpy(after_weights),
        start=torch.from_numpy(start.reshape(labels.shape)),
        final=torch.from_numpy(final.reshape(labels.shape)),
    )


def _in_batch(states: Sequence[np.ndarray], offsets: np.ndarray) -> np.ndarray:
    """States of single graphs, joined along the last axis, as places in the padded batch."""
    lengths = [array.shape[-1] for array in states]
    return np.concatenate(states, axis=-1) + np.repeat(offsets, lengths)


def _listed(
    owners: np.ndarray, others: np.ndarray, weights: np.ndarray, shape: tuple[int, int]
) -> tuple[np.ndarray, np.ndarray]:
    """For each owner the states at the other ends of its arcs, and the weights of the arcs."""
    batch, states = shape
    order = np.argsort(owners, kind="stable")
    owners, others, weights = owners[order], others[order], weights[order]
    rank = np.arange(len(owners)) - np.searchsorted(owners, owners)
    most = int(rank.max(initial=0)) + 1
    listed = np.full((batch, most, states), -1, dtype=np.int32)
    listed_weights = np.full((batch, most, states), NEVER, dtype=np.float32)
    place = (owners // states, rank, owners % states)
    listed[place] = others % states
    listed_weights[place] = weights
    return listed, listed_weights
