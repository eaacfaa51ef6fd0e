"""Sentences that were given are likelier than mixtures of them."""

from __future__ import annotations

import math

import pytest

from voicelog.hearing.building import whole_sentences
from voicelog.hearing.building.grammar import BACK_OFF, Grammar
from voicelog.hearing.building.names import grammar_of
from voicelog.hearing.building.ngram import train
from voicelog.hearing.building.whole_sentences import SHARE, with_whole_sentences

SENTENCES = ["make the attic blue", "turn on the lamp in the attic", "make the hall blue"]


def grammar(sentences: list[str]) -> Grammar:
    words = sorted({word for line in sentences for word in line.split()})
    return with_whole_sentences(grammar_of(train(sentences, words)), sentences)


def best_cost(found: Grammar, sentence: str) -> float:
    """The least cost in nats of saying a sentence."""
    number = {word: index for index, word in enumerate(found.words)}
    costs = _without_words(found, {found.start: 0.0})
    for word in sentence.split():
        after: dict[int, float] = {}
        for arc, index in enumerate(found.word_indexes.tolist()):
            source, target = int(found.sources[arc]), int(found.targets[arc])
            if index == number[word] and source in costs:
                cost = costs[source] + float(found.costs[arc])
                after[target] = min(cost, after.get(target, math.inf))
        costs = _without_words(found, after)
    return min(cost + float(found.final_costs[state]) for state, cost in costs.items())


def _without_words(found: Grammar, costs: dict[int, float]) -> dict[int, float]:
    for _ in range(4):
        for arc, index in enumerate(found.word_indexes.tolist()):
            source, target = int(found.sources[arc]), int(found.targets[arc])
            if index == BACK_OFF and source in costs:
                cost = costs[source] + float(found.costs[arc])
                costs[target] = min(cost, costs.get(target, math.inf))
    return costs


def test_a_sentence_has_its_part_of_the_share() -> None:
    for sentence in SENTENCES:
        assert best_cost(grammar(SENTENCES), sentence) <= -math.log(SHARE / 3) + 1e-5


def test_a_repeated_sentence_is_as_much_likelier() -> None:
    found = grammar([*SENTENCES, SENTENCES[0]])
    assert best_cost(found, SENTENCES[0]) == pytest.approx(-math.log(SHARE / 2), abs=1e-5)


def test_a_mixture_can_be_said_and_is_less_likely() -> None:
    found = grammar(SENTENCES)
    plain = grammar_of(train(SENTENCES, list(found.words)))
    mixture = "make the attic"
    assert best_cost(found, mixture) == pytest.approx(
        best_cost(plain, mixture) - math.log(1 - SHARE), abs=1e-4
    )


def test_of_very_many_sentences_no_list_is_made(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(whole_sentences, "MOST", 2)
    plain = grammar_of(train(SENTENCES, sorted({w for line in SENTENCES for w in line.split()})))
    assert with_whole_sentences(plain, SENTENCES) is plain
