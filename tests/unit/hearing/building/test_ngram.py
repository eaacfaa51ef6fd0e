"""Word trigrams: probabilities that add up, mixtures between their parts, pruning that pays."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voicelog.hearing.building.ngram import (
    END,
    MARKS,
    UNKNOWN,
    Trigrams,
    best_weights,
    mix,
    perplexity,
    probability,
    prune,
    train,
)

WORDS = ["eggs", "feed", "four", "moved", "the", "two", "water", "we"]
SAID = [
    "we moved the water",
    "two eggs",
    "four eggs the feed",
    "we feed the water the water",
    "two two two",
    "unheard of feed",
]


def key(model: Trigrams, *words: str) -> int:
    first, second, third = (model.words.index(word) for word in words)
    return first << 42 | second << 21 | third


def after(model: Trigrams, first: int, second: int) -> float:
    """The sum of the probabilities of all words after two."""
    keys = (first << 42) | (second << 21) | np.arange(len(model.words))
    return float(probability(model, keys).sum())


sentences = st.lists(
    st.lists(st.sampled_from([*WORDS, "strange"]), min_size=1, max_size=6).map(" ".join),
    min_size=1,
    max_size=12,
)


@settings(max_examples=60, deadline=None)
@given(sentences, st.integers(0, 10), st.integers(0, 10))
def test_after_any_two_words_the_probabilities_add_up_to_one(
    said: list[str], first: int, second: int
) -> None:
    model = train(said, WORDS)
    assert after(model, first, second) == pytest.approx(1.0)
    assert after(prune(model, 1e-3), first, second) == pytest.approx(1.0)


@settings(max_examples=30, deadline=None)
@given(sentences, sentences, st.floats(0.05, 0.95), st.integers(0, 10))
def test_a_mixture_lies_between_its_parts_and_adds_up(
    one: list[str], other: list[str], share: float, second: int
) -> None:
    parts = [train(one, WORDS), train(other, WORDS)]
    mixed = mix(parts, [share, 1 - share])
    assert after(mixed, 0, second) == pytest.approx(1.0)
    listed = np.unique(np.concatenate([part.triples for part in parts]))
    ends = [probability(part, listed) for part in parts]
    found = probability(mixed, listed)
    assert (found >= np.minimum(*ends) - 1e-12).all()
    assert (found <= np.maximum(*ends) + 1e-12).all()


def test_what_was_said_is_likelier_than_what_was_not() -> None:
    model = train(SAID, WORDS)
    said, unsaid = key(model, "we", "moved", "the"), key(model, "we", "moved", "eggs")
    likely, unlikely = probability(model, np.array([said, unsaid]))
    assert likely > 5 * unlikely > 0


def test_a_word_never_said_can_still_be_said() -> None:
    model = train(["two eggs"], WORDS)
    assert probability(model, np.array([key(model, "two", "eggs", "feed")]))[0] > 0


def test_words_outside_the_vocabulary_count_as_unknown() -> None:
    model = train(SAID, WORDS)
    assert model.words[: len(MARKS)] == MARKS
    unheard = probability(model, np.array([key(model, MARKS[0], MARKS[0], UNKNOWN)]))[0]
    assert unheard > probability(model, np.array([key(model, MARKS[0], MARKS[0], END)]))[0]
    assert perplexity(model, ["strange eggs"])[1] == 0.5


def test_perplexity_of_equally_likely_words_is_their_number() -> None:
    """By hand: after one begin and one word the end is all but sure, the word one of four."""
    said = [word for word in ("eggs", "feed", "four", "two") for _ in range(400)]
    model = train(said, ["eggs", "feed", "four", "two"])
    assert perplexity(model, ["eggs"])[0] == pytest.approx(4**0.5, rel=0.02)


def test_the_weights_found_are_better_than_even_ones() -> None:
    models = [train(SAID, WORDS), train(["eggs feed", "feed eggs"], WORDS)]
    held_out = ["we moved the feed", "four eggs"]
    weights = best_weights(models, held_out)
    assert sum(weights) == pytest.approx(1.0)
    assert weights[0] > weights[1]
    even = perplexity(mix(models, [0.5, 0.5]), held_out)[0]
    assert perplexity(mix(models, weights), held_out)[0] <= even


def test_pruning_takes_triples_first_and_costs_little() -> None:
    model = train(SAID * 3, WORDS)
    smaller = prune(model, 3e-3)
    assert len(smaller.triples) < len(model.triples)
    assert perplexity(smaller, SAID)[0] < 1.5 * perplexity(model, SAID)[0]


def test_no_words_are_no_text_and_vocabularies_must_agree() -> None:
    with pytest.raises(ValueError, match="no sentence"):
        train(["", "  "], WORDS)
    with pytest.raises(ValueError, match="vocabularies"):
        mix([train(SAID, WORDS), train(SAID, WORDS[1:])], [0.5, 0.5])
