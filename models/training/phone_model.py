"""The phone trigram that the objective uses for transcripts and for anything else that is said.

A state of the model is a pair of phones, the one before and the one being spoken: exactly what an
output of the network names. From pair (l, k) the model goes to pair (k, m) with the probability
that m follows l k, or it ends.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from voicelog.hearing.building.phones import BASE_PHONES, SILENCE

if TYPE_CHECKING:
    import torch

PHONES = len(BASE_PHONES)
"""Silence, which is also taken to lie before an utterance, and the phones of English."""

NEVER = -1e30
"""The logarithm of a probability of nought. Finite, so that sums and gradients stay numbers."""

PRIOR_COUNT = 20.0
"""How many more times a context is taken to have been seen, following the next shorter one."""

START_PRIOR = 1e-3
"""The count of an utterance starting with a phone that none was seen to start with."""

Pronunciation = Sequence[int]
"""The phones of one way to say a word."""

Transcript = Sequence[Sequence[Pronunciation]]
"""The words of an utterance in order, each with all its pronunciations, the usual one first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhoneTensors:
    """A `PhoneModel` on the device of the network, float32."""

    follow: torch.Tensor
    """(P, P, P): the probability that m follows the pair (l, k), at [l, k, m]."""
    follow_by_next: torch.Tensor
    """The same at [m, l, k]: the order in which the way back through time reads it."""
    start: torch.Tensor
    """(P, P): the probability that an utterance starts in a pair."""
    final: torch.Tensor
    """(P, P): the probability that it ends after a pair."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhoneModel:
    """A phone trigram. From each pair the ways on and the end have probability one together."""

    follow: np.ndarray
    """(P, P, P) float32: the probability that m follows the pair (l, k), at [l, k, m]."""
    start: np.ndarray
    """(P, P) float32: the probability that an utterance starts in a pair."""
    final: np.ndarray
    """(P, P) float32: the probability that it ends after a pair."""

    @property
    def phones(self) -> int:
        """How many phones there are, silence among them."""
        return len(self.follow)

    def to(self, device: torch.device | str) -> PhoneTensors:
        """The model on a device."""
        import torch

        follow = torch.from_numpy(self.follow).to(device).contiguous()
        return PhoneTensors(
            follow=follow,
            follow_by_next=follow.permute(2, 0, 1).contiguous(),
            start=torch.from_numpy(self.start).to(device).contiguous(),
            final=torch.from_numpy(self.final).to(device).contiguous(),
        )


def logarithm(probability: np.ndarray) -> np.ndarray:
    """The natural logarithm, `NEVER` where the probability is nought."""
    possible = probability > 0
    return np.where(possible, np.log(np.where(possible, probability, 1.0)), NEVER)


def estimate_phone_model(
    transcripts: Iterable[Transcript],
    *,
    phones: int = PHONES,
    silence: int = SILENCE,
    silence_kept: float = 0.3,
    draws: int = 2,
    seed: int = 0,
) -> PhoneModel:
    """Count the phones of transcripts, each said `draws` times.

    Each time a word is said in one of its pronunciations, and a pause is made at each place where
    one may be with probability `silence_kept`, since nobody has marked where the pauses are.
    """
    chance = random.Random(seed)
    boundary = phones  # stands for the end of one utterance, before the start of the next
    said: list[int] = [boundary]
    for transcript in transcripts:
        for _ in range(draws):
            phones_said = _said_once(transcript, silence, silence_kept, chance)
            if phones_said:
                said += [silence, *phones_said, boundary]
    return _estimate(np.asarray(said, dtype=np.int64), phones, silence)


def _said_once(
    transcript: Transcript, silence: int, silence_kept: float, chance: random.Random
) -> list[int]:
    """The phones of a transcript said once, its pauses and pronunciations left to chance."""
    said = [silence] if chance.random() < silence_kept else []
    for pronunciations in transcript:
        said += chance.choice(pronunciations) if len(pronunciations) > 1 else pronunciations[0]
        if chance.random() < silence_kept:
            said.append(silence)
    return said


def _estimate(said: np.ndarray, phones: int, silence: int) -> PhoneModel:
    """The trigram of utterances in one row: boundary, silence, phones, boundary, silence, …"""
    boundary = phones
    starts = np.flatnonzero(said[:-1] == boundary) + 2  # past the boundary and its silence
    start_counts = np.zeros((phones, phones))
    start_counts[silence] = START_PRIOR + np.bincount(said[starts], minlength=phones)

    left, middle, right = said[:-2], said[1:-1], said[2:]
    inside = (left != boundary) & (middle != boundary)
    place = (left * phones + middle) * (phones + 1) + right
    triples = np.bincount(place[inside], minlength=phones * phones * (phones + 1))
    triples = triples.reshape(phones, phones, phones + 1)
    pairs = triples.sum(axis=0)
    unigram = pairs.sum(axis=0) + 1.0  # one more of each, so that nothing is impossible
    bigram = _backed_off(pairs, unigram / unigram.sum())
    trigram = _backed_off(triples, bigram).astype(np.float32)
    return PhoneModel(
        follow=np.ascontiguousarray(trigram[..., :phones]),
        start=(start_counts / start_counts.sum()).astype(np.float32),
        final=np.ascontiguousarray(trigram[..., phones]),
    )


def _backed_off(counts: np.ndarray, shorter: np.ndarray) -> np.ndarray:
    """Probabilities from counts and those of the context that is one phone shorter."""
    return (counts + PRIOR_COUNT * shorter) / (counts.sum(axis=-1, keepdims=True) + PRIOR_COUNT)
