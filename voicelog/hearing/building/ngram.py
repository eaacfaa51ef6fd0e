"""Word trigrams: counted, smoothed, mixed, pruned.

Interpolated modified Kneser-Ney smoothing (Chen and Goodman, "An empirical study of smoothing
techniques for language modeling", 1999), written down as a back-off model: every listed n-gram
has its full probability, every history the share that is left for words not listed after it.
Mixing is linear and exact on the listed n-grams; pruning is by weighted difference (Seymore and
Rosenfeld, "Scalable backoff language models", 1996).

An n-gram is one 64-bit key, 21 bits a word, so that sorting and searching are numpy's.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

BEGIN = "<s>"
END = "</s>"
UNKNOWN = "[unk]"
"""A word outside the vocabulary."""

MARKS = (BEGIN, END, UNKNOWN)
"""The first words of every vocabulary, in this order."""

_BITS = 21
_MASK = (1 << _BITS) - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Trigrams:
    """A back-off model over `words` (the marks first).

    `one` has the probability of each word, `two` and `three` those of the pairs and triples whose
    keys `pairs` and `triples` list in rising order. `rest_one` (a word) and `rest_two` (a pair,
    as in `pairs`) are the shares left to shorter histories.
    """

    words: tuple[str, ...]
    one: NDArray[np.float64]
    rest_one: NDArray[np.float64]
    pairs: NDArray[np.int64]
    two: NDArray[np.float64]
    rest_two: NDArray[np.float64]
    triples: NDArray[np.int64]
    three: NDArray[np.float64]


def train(sentences: Iterable[str], words: Sequence[str]) -> Trigrams:
    """A model of sentences of words parted by spaces; words not in `words` count as unknown.

    `words` has no marks and no repeats. Raises ValueError where no sentence has a word.
    """
    listed = (*MARKS, *words)
    number = {word: index for index, word in enumerate(listed)}
    tokens = _tokens(sentences, number)
    if len(tokens) == 0:
        raise ValueError("no sentence to learn from")
    triples, often = _counted_triples(tokens)
    three, rest_two = _discounted(triples >> _BITS, often)
    # Shorter n-grams are counted by how many words come before them, but for the first of a
    # sentence, before which nothing comes.
    pairs, often_two = _lower_counts(triples, often, tokens)
    two, rest_one = _discounted(pairs >> _BITS, often_two)
    singles, often_one = _lower_counts_of_pairs(pairs)
    one, rest_none = _discounted(np.zeros_like(singles), often_one)
    full_one = np.full(len(listed), rest_none.get(0, 1.0) / (len(listed) - 1))
    full_one[singles] += one
    full_one[0] = 0.0
    full_one /= full_one.sum()
    shares_one = _by_index(rest_one, len(listed))
    full_two = two + shares_one[pairs >> _BITS] * full_one[pairs & _MASK]
    shares_two = np.ones(len(pairs))
    at = np.searchsorted(pairs, np.fromiter(rest_two, np.int64, len(rest_two)))
    shares_two[at] = np.fromiter(rest_two.values(), np.float64, len(rest_two))
    shorter = np.searchsorted(pairs, triples & ((1 << 2 * _BITS) - 1))
    history = np.searchsorted(pairs, triples >> _BITS)
    full_three = three + shares_two[history] * full_two[shorter]
    return Trigrams(
        words=listed,
        one=full_one,
        rest_one=shares_one,
        pairs=pairs,
        two=full_two,
        rest_two=shares_two,
        triples=triples,
        three=full_three,
    )


def probability(model: Trigrams, keys: NDArray[np.int64]) -> NDArray[np.float64]:
    """Of the last word of each triple of `keys` after the two before it."""
    found, at = _looked_up(model.triples, keys)
    history_found, history = _looked_up(model.pairs, keys >> _BITS)
    share = np.where(history_found, model.rest_two[history], 1.0)
    shorter = _pair_probability(model, keys & ((1 << 2 * _BITS) - 1))
    return np.where(found, model.three[at], share * shorter)


def mix(models: Sequence[Trigrams], weights: Sequence[float]) -> Trigrams:
    """The linear mixture of models over the same words; `weights` add up to one."""
    words = models[0].words
    if any(model.words != words for model in models):
        raise ValueError("models of different vocabularies cannot be mixed")
    pairs = np.unique(np.concatenate([model.pairs for model in models]))
    triples = np.unique(np.concatenate([model.triples for model in models]))
    one = sum(weight * model.one for model, weight in zip(models, weights, strict=True))
    two = sum(
        weight * _pair_probability(model, pairs)
        for model, weight in zip(models, weights, strict=True)
    )
    three = sum(
        weight * probability(model, triples) for model, weight in zip(models, weights, strict=True)
    )
    return _with_shares(words, np.asarray(one), pairs, np.asarray(two), triples, np.asarray(three))


def prune(model: Trigrams, least: float) -> Trigrams:
    """Without the pairs and triples that change the probability of a text by less than `least`.

    `least` is in nats a word. Pairs that a remaining triple needs stay.
    """
    history = _pair_probability(model, model.triples >> _BITS) * _at_word(
        model.one, model.triples >> 2 * _BITS
    )
    shorter = _pair_probability(model, model.triples & ((1 << 2 * _BITS) - 1))
    share = model.rest_two[np.searchsorted(model.pairs, model.triples >> _BITS)]
    gain = history * model.three * np.abs(np.log(model.three / (share * shorter)))
    triples = gain >= least
    needed = np.unique(
        np.concatenate(
            [model.triples[triples] >> _BITS, model.triples[triples] & ((1 << 2 * _BITS) - 1)]
        )
    )
    first = _at_word(model.one, model.pairs >> _BITS)
    backed = model.rest_one[model.pairs >> _BITS] * model.one[model.pairs & _MASK]
    # The pair of two begins is a history only: nothing backs off to a begin.
    gain_two = first * model.two * np.abs(np.log(model.two / np.clip(backed, 1e-30, None)))
    pairs = (gain_two >= least) | np.isin(model.pairs, needed) | (model.pairs == 0)
    return _with_shares(
        model.words,
        model.one,
        model.pairs[pairs],
        model.two[pairs],
        model.triples[triples],
        model.three[triples],
    )


def perplexity(model: Trigrams, sentences: Iterable[str]) -> tuple[float, float]:
    """Perplexity a word (ends of sentences counted, unknown words not), and unknown words' share.

    Raises ValueError where no sentence has a word.
    """
    number = {word: index for index, word in enumerate(model.words)}
    tokens = _tokens(sentences, number)
    if len(tokens) == 0:
        raise ValueError("no sentence to measure")
    keys = _running_triples(tokens)
    known = (keys & _MASK) != number[UNKNOWN]
    logs = np.log(probability(model, keys[known]))
    words = (keys & _MASK) != number[END]
    return float(np.exp(-logs.mean())), float(1 - known[words].mean())


def best_weights(
    models: Sequence[Trigrams], sentences: Sequence[str], rounds: int = 30
) -> list[float]:
    """Weights of a mixture that make `sentences` likeliest (expectation maximisation)."""
    number = {word: index for index, word in enumerate(models[0].words)}
    keys = _running_triples(_tokens(sentences, number))
    each = np.stack([probability(model, keys) for model in models])
    weights = np.full(len(models), 1 / len(models))
    for _ in range(rounds):
        parts = weights[:, None] * each
        weights = (parts / parts.sum(0)).mean(1)
    return [float(weight) for weight in weights]


def split_key(keys: NDArray[np.int64]) -> tuple[NDArray[np.int64], ...]:
    """First, second and third word of triples; of pairs the first is 0."""
    return keys >> 2 * _BITS, (keys >> _BITS) & _MASK, keys & _MASK


def _tokens(sentences: Iterable[str], number: dict[str, int]) -> NDArray[np.int64]:
    """All sentences in a row, two begins before each and an end after it."""
    unknown = number[UNKNOWN]
    row: list[int] = []
    for sentence in sentences:
        said = sentence.split()
        if said:
            row += (0, 0, *(number.get(word, unknown) for word in said), 1)
    return np.array(row, np.int64)


def _running_triples(tokens: NDArray[np.int64]) -> NDArray[np.int64]:
    keys = (tokens[:-2] << 2 * _BITS) | (tokens[1:-1] << _BITS) | tokens[2:]
    running: NDArray[np.int64] = keys[tokens[2:] != 0]
    return running


def _counted_triples(tokens: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    return np.unique(_running_triples(tokens), return_counts=True)


def _lower_counts(
    triples: NDArray[np.int64], often: NDArray[np.int64], tokens: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pairs with how many different words come before them; at a begin, how often they occur."""
    tails = triples & ((1 << 2 * _BITS) - 1)
    at_begin = (tails >> _BITS) == 0
    weight = np.where(at_begin, often, 1)
    # A begin is itself the history of pairs.
    begins = np.array([0], np.int64)
    pairs, where = np.unique(np.concatenate([tails, begins]), return_inverse=True)
    often_two = np.bincount(where, np.append(weight, int((tokens == 1).sum()))).astype(np.int64)
    return pairs, often_two


def _lower_counts_of_pairs(
    pairs: NDArray[np.int64],
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    return np.unique((pairs & _MASK)[pairs != 0], return_counts=True)


def _discounted(
    histories: NDArray[np.int64], often: NDArray[np.int64]
) -> tuple[NDArray[np.float64], dict[int, float]]:
    """Discounted probabilities, and the share of each history that discounting leaves."""
    steps = _discounts(often)
    taken = np.minimum(steps[np.minimum(often, 3)], often)
    known, where = np.unique(histories, return_inverse=True)
    total = np.bincount(where, often)
    left = np.bincount(where, taken) / total
    return (often - taken) / total[where], dict(zip(known.tolist(), left.tolist(), strict=True))


def _discounts(often: NDArray[np.int64]) -> NDArray[np.float64]:
    """What is taken from counts of 0, 1, 2 and more (Chen and Goodman, equation 26)."""
    n1, n2, n3, n4 = (max(1, int((often == count).sum())) for count in (1, 2, 3, 4))
    y = n1 / (n1 + 2 * n2)
    raw = (1 - 2 * y * n2 / n1, 2 - 3 * y * n3 / n2, 3 - 4 * y * n4 / n3)
    # Small or repeated texts have counts of counts for which the formula makes no sense.
    kept = [min(max(value, 0.1), count - 0.1) for count, value in enumerate(raw, 1)]
    return np.array([0.0, *kept])


def _by_index(shares: dict[int, float], size: int) -> NDArray[np.float64]:
    full = np.ones(size)
    full[list(shares)] = list(shares.values())
    return full


def _looked_up(
    listed: NDArray[np.int64], keys: NDArray[np.int64]
) -> tuple[NDArray[np.bool_], NDArray[np.int64]]:
    at = np.minimum(np.searchsorted(listed, keys), len(listed) - 1)
    return listed[at] == keys, at


def _pair_probability(model: Trigrams, keys: NDArray[np.int64]) -> NDArray[np.float64]:
    found, at = _looked_up(model.pairs, keys)
    backed = model.rest_one[keys >> _BITS] * model.one[keys & _MASK]
    return np.where(found, model.two[at], backed)


def _at_word(one: NDArray[np.float64], words: NDArray[np.int64]) -> NDArray[np.float64]:
    """How often a history of one word comes up; a begin does once a sentence."""
    return np.where(words == 0, one[1], one[words])


def _with_shares(
    words: tuple[str, ...],
    one: NDArray[np.float64],
    pairs: NDArray[np.int64],
    two: NDArray[np.float64],
    triples: NDArray[np.int64],
    three: NDArray[np.float64],
) -> Trigrams:
    """A model whose shares make every history add up to one."""
    first = pairs >> _BITS
    size = len(words)
    rest_one = _share(_sums(first, two, size), _sums(first, one[pairs & _MASK], size))
    draft = Trigrams(
        words=words,
        one=one,
        rest_one=rest_one,
        pairs=pairs,
        two=two,
        rest_two=np.ones(len(pairs)),
        triples=triples,
        three=three,
    )
    history = np.searchsorted(pairs, triples >> _BITS)
    shorter = _pair_probability(draft, triples & ((1 << 2 * _BITS) - 1))
    listed = _sums(history, three, len(pairs))
    return replace(draft, rest_two=_share(listed, _sums(history, shorter, len(pairs))))


def _sums(groups: NDArray[np.int64], values: NDArray[np.float64], size: int) -> NDArray[np.float64]:
    """The sum of the values of each group."""
    return np.bincount(groups, values, size).astype(np.float64)


def _share(listed: NDArray[np.float64], covered: NDArray[np.float64]) -> NDArray[np.float64]:
    """What is left by the listed words, of what shorter histories leave for the others."""
    # Both near nothing: every word is listed, and the share is never used.
    return np.clip(1 - listed, 1e-9, None) / np.clip(1 - covered, 1e-9, None)
