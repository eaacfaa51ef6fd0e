"""The phone trigram is a probability, and prefers what it has seen."""

from __future__ import annotations

import numpy as np
import pytest

from models.training.phone_model import NEVER, PRIOR_COUNT, estimate_phone_model, logarithm

SAID = [[[(1, 2)], [(3,)]], [[(3, 1), (2,)]]]


def test_from_each_pair_something_follows_or_it_ends() -> None:
    model = estimate_phone_model(SAID, phones=4)
    np.testing.assert_allclose(model.follow.sum(axis=2) + model.final, 1, rtol=1e-6)
    assert model.follow.min() > 0
    assert model.final.min() > 0


def test_utterances_start_after_silence() -> None:
    start = estimate_phone_model(SAID, phones=4).start
    assert start.sum() == pytest.approx(1)
    assert start[0].min() > 0
    assert not start[1:].any()


def test_counts_are_joined_with_shorter_contexts() -> None:
    # Said once and without pauses: 1 2 1, so that all counts are known.
    model = estimate_phone_model([[[(1, 2, 1)]]], phones=3, silence_kept=0, draws=1)
    unigram_2 = 2 / 7  # seen once, and one more of each of four: silence, 1, 2 and the end
    bigram_12 = (1 + PRIOR_COUNT * unigram_2) / (2 + PRIOR_COUNT)  # of 1 2 and 1 end
    trigram_012 = (1 + PRIOR_COUNT * bigram_12) / (1 + PRIOR_COUNT)
    assert model.follow[0, 1, 2] == pytest.approx(trigram_012)


def test_pauses_are_kept_as_often_as_asked() -> None:
    word = [[(1,)]]
    never = estimate_phone_model([word] * 200, phones=2, silence_kept=0)
    always = estimate_phone_model([word] * 200, phones=2, silence_kept=1)
    assert never.start[0, 0] < 0.001 < 0.999 < always.start[0, 0]
    assert never.final[0, 1] > 0.9 > 0.1 > always.final[0, 1]


def test_every_pronunciation_is_counted() -> None:
    model = estimate_phone_model([[[(1,), (2,)]]] * 200, phones=4, silence_kept=0)
    assert 0.3 < model.start[0, 1] < 0.7
    assert model.start[0, 1] + model.start[0, 2] > 0.99


def test_estimating_twice_gives_the_same() -> None:
    first, second = (estimate_phone_model(SAID, phones=4) for _ in range(2))
    np.testing.assert_array_equal(first.follow, second.follow)


def test_the_logarithm_of_nought_is_a_number() -> None:
    np.testing.assert_array_equal(logarithm(np.array([0.0, 1.0])), [NEVER, 0])
