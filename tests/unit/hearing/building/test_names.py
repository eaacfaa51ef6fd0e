"""A grammar of a language model, with names in the place of its placeholders."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from voicelog.errors import ModelError
from voicelog.hearing.building.grammar import BACK_OFF, Grammar
from voicelog.hearing.building.language_file import read_language, write_language
from voicelog.hearing.building.names import grammar_of
from voicelog.hearing.building.ngram import Trigrams, probability, train

WORDS = ["{bird}", "{bird}'s", "{place}", "ate", "eggs", "in", "set", "the"]
SAID = [
    "{bird} set the eggs",
    "{bird} ate eggs in {place}",
    "the eggs in {place}",
    "{bird}'s eggs",
    "set {bird} in {place}",
]
NAMES = {
    "{bird}": {"dot": 3.0, "dot clover": 1.0, "clover": 1.0, "bess": 1.0},
    "{place}": {"coop a": 1.0, "coop b": 1.0, "the barn": 2.0},
}


@pytest.fixture(scope="module")
def model() -> Trigrams:
    return train(SAID, WORDS)


@pytest.fixture(scope="module")
def grammar(model: Trigrams) -> Grammar:
    return grammar_of(model, NAMES)


def cost(grammar: Grammar, sentence: str) -> float:
    """Of the cheapest way through the grammar that says just this."""
    ways = {grammar.start: 0.0}
    for word in sentence.split():
        ways = _after(grammar, _backed_off(grammar, ways), grammar.words.index(word))
    ended = _backed_off(grammar, ways)
    return min(spent + grammar.final_costs[state] for state, spent in ended.items())


def _after(grammar: Grammar, ways: dict[int, float], word: int) -> dict[int, float]:
    found: dict[int, float] = {}
    for state, spent in ways.items():
        for arc in np.flatnonzero((grammar.sources == state) & (grammar.word_indexes == word)):
            target = int(grammar.targets[arc])
            found[target] = min(found.get(target, math.inf), spent + float(grammar.costs[arc]))
    return found


def _backed_off(grammar: Grammar, ways: dict[int, float]) -> dict[int, float]:
    found, open_ = dict(ways), dict(ways)
    while open_:
        open_ = _after(grammar, open_, BACK_OFF)
        for state, spent in open_.items():
            found[state] = min(found.get(state, math.inf), spent)
    return found


def test_a_sentence_without_names_costs_what_the_model_says(
    model: Trigrams, grammar: Grammar
) -> None:
    the, eggs = model.words.index("the"), model.words.index("eggs")
    keys = [a << 42 | b << 21 | c for a, b, c in ((0, 0, the), (0, the, eggs), (the, eggs, 1))]
    said = -np.log(probability(model, np.array(keys))).sum()
    assert cost(grammar, "the eggs") == pytest.approx(said, abs=1e-4)


def test_a_name_costs_the_placeholder_and_its_own_share(grammar: Grammar) -> None:
    often, seldom = cost(grammar, "dot set the eggs"), cost(grammar, "bess set the eggs")
    assert seldom - often == pytest.approx(math.log(3), abs=1e-4)


def test_names_of_several_words_and_possessives_can_be_said(grammar: Grammar) -> None:
    assert math.isfinite(cost(grammar, "set dot clover in coop b"))
    assert math.isfinite(cost(grammar, "bess's eggs in the barn"))


def test_what_follows_a_name_is_what_follows_its_placeholder(grammar: Grammar) -> None:
    assert cost(grammar, "bess set the eggs") < cost(grammar, "bess the eggs set")


def test_no_placeholder_or_mark_is_a_word(grammar: Grammar) -> None:
    assert not [word for word in grammar.words if word[0] in "{<["]
    assert not [word for word in grammar_of(train(SAID, WORDS)).words if "{" in word]


def test_names_make_every_state_leave_by_what_it_had(model: Trigrams, grammar: Grammar) -> None:
    """From each history the words and the end have the same share with names and without."""
    bare = grammar_of(model, {"{bird}": {"dot": 1.0}, "{place}": {"barn": 1.0}})
    for state in range(len(bare.final_costs)):
        assert leaving(bare, state) == pytest.approx(leaving(grammar, state), abs=1e-5)


def leaving(grammar: Grammar, state: int) -> float:
    here = (grammar.sources == state) & (grammar.word_indexes != BACK_OFF)
    return float(np.exp(-grammar.costs[here]).sum() + np.exp(-grammar.final_costs[state]))


def test_a_model_comes_out_of_its_file_as_it_went_in(model: Trigrams, tmp_path: Path) -> None:
    write_language(model, tmp_path / "ngrams.npz")
    again = read_language(tmp_path / "ngrams.npz")
    assert again.words == model.words
    assert np.array_equal(again.triples, model.triples)
    assert np.array_equal(again.pairs, model.pairs)
    for name in ("one", "two", "three", "rest_one", "rest_two"):
        assert getattr(again, name) == pytest.approx(getattr(model, name), rel=3e-4, abs=1e-9)


def test_a_damaged_file_is_told_of(tmp_path: Path) -> None:
    (tmp_path / "ngrams.npz").write_bytes(b"no archive")
    with pytest.raises(ModelError, match="cannot be read"):
        read_language(tmp_path / "ngrams.npz")
    with pytest.raises(ModelError, match="cannot be read"):
        read_language(tmp_path / "missing.npz")
