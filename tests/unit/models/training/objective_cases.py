"""Small utterances for the tests of the objective, and their sums by listing every way."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator

import torch
from hypothesis import strategies as st

from models.training.phone_model import PhoneModel, Transcript, estimate_phone_model
from models.training.transcript_graph import GraphBatch, collate, transcript_graph

PHONES = 4
"""Silence and three phones: few enough to list everything that can be said."""

PRONUNCIATIONS = st.lists(st.integers(1, PHONES - 1), min_size=1, max_size=2).map(tuple)
WORDS = st.lists(PRONUNCIATIONS, min_size=1, max_size=3)
TRANSCRIPTS = st.lists(WORDS, min_size=0, max_size=2)

SAID: list[Transcript] = [
    [[(1, 2)], [(3,), (2, 1)]],
    [[(3,)]],
    [[(2, 2), (2,)], [(1,)], [(1, 3)]],
]
"""What the phone model of the tests was estimated from."""


def phone_model() -> PhoneModel:
    """A phone model of four phones."""
    return estimate_phone_model(SAID, phones=PHONES)


def graphs_of(*transcripts: Transcript, phones: int = PHONES) -> GraphBatch:
    """The weighted graphs of transcripts."""
    drawn = [transcript_graph(transcript, phones=phones) for transcript in transcripts]
    return collate(drawn, phone_model())


def ways_to_say(transcript: Transcript) -> list[tuple[int, ...]]:
    """The phones of every choice of pronunciations and pauses; other choices may sound the same."""
    pauses = itertools.product([(), (0,)], repeat=len(transcript) + 1)
    distinct = [dict.fromkeys(map(tuple, pronunciations)) for pronunciations in transcript]
    said = [
        sum(itertools.chain(*zip(spoken, rest, strict=True)), first)
        for first, *rest in pauses
        for spoken in itertools.product(*distinct)
    ]
    return [phones for phones in said if phones]


def all_sequences(longest: int) -> Iterator[tuple[int, ...]]:
    """All sequences of phones of at most `longest`."""
    for length in range(1, longest + 1):
        yield from itertools.product(range(PHONES), repeat=length)


def log_sum(logits: torch.Tensor, sequences: Iterable[tuple[int, ...]]) -> float:
    """The log of the sum over all ways to lay each of the sequences along the (T, outputs)."""
    model = phone_model()
    terms = [
        _log_weight(model, phones) + score
        for phones in sequences
        for score in _scores(logits, phones)
    ]
    return torch.logsumexp(torch.tensor(terms, dtype=torch.double), 0).item()


def _log_weight(model: PhoneModel, phones: tuple[int, ...]) -> float:
    before = (0, 0, *phones)
    weight = math.log(model.start[0, phones[0]]) + math.log(model.final[before[-2], phones[-1]])
    for place in range(1, len(phones)):
        weight += math.log(model.follow[tuple(before[place : place + 3])])
    return weight


def _scores(logits: torch.Tensor, phones: tuple[int, ...]) -> Iterator[float]:
    """The score of each way to give every phone one frame or more."""
    frames = len(logits)
    for begins in itertools.combinations(range(1, frames), len(phones) - 1):
        score, edges = 0.0, (0, *begins, frames)
        for place, phone in enumerate(phones):
            pair = (phones[place - 1] if place else 0) * PHONES + phone
            score += logits[edges[place], 2 * pair].item()
            score += logits[edges[place] + 1 : edges[place + 1], 2 * pair + 1].sum().item()
        yield score
