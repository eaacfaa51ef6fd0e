"""Spoken sentences with names, drawn sentences, and the words that come of them."""

from __future__ import annotations

import random
import re

import pytest

pytest.importorskip("num2words", reason="the packages that train models are not installed")

from models.language.catalogue_sentences import catalogue_sentences
from models.language.sentences import (
    KEPT_OUT,
    NameFiller,
    is_kept_out,
    names,
    spoken_lines,
    to_learn,
    to_measure,
)
from models.language.vocabulary import catalogue_words, own_words
from models.synthesis.texts import LONGEST, texts

SPOKEN = re.compile(r"(?:[a-z']+|\{(?:place|bird|person)\}(?:'s)?)(?: |$)")


def test_every_line_is_written_as_it_is_spoken() -> None:
    odd = [line for line in spoken_lines() if SPOKEN.sub("", line + " ").strip()]
    assert not odd, odd[:5]


def test_a_fixed_part_is_kept_out_of_all_learning() -> None:
    lines = spoken_lines()
    learnt, measured = to_learn(lines), to_measure(lines)
    assert not set(learnt) & set(measured)
    assert len(learnt) + len(measured) == len(lines)
    assert len(measured) / len(lines) == pytest.approx(KEPT_OUT, abs=0.01)
    assert is_kept_out(measured[0])


def test_every_placeholder_gets_a_name() -> None:
    filled = NameFiller(random.Random(3)).fill("{person} moved {bird}'s nest in {place}")
    assert "{" not in filled
    assert any(filled.startswith(name) for name in names("person"))


def test_texts_to_speak_hold_nothing_kept_out() -> None:
    made = texts(["turn on the lamp"], ["one", "two", "three"] * 4, 400, random.Random(1))
    assert len(made) == 400
    assert not set(made) & set(to_measure(spoken_lines()))
    assert all(0 < len(text.split()) <= LONGEST and "{" not in text for text in made)


def test_drawn_sentences_are_the_same_for_a_seed_and_speak_of_every_kind() -> None:
    drawn = catalogue_sentences(6000, seed=4)
    assert drawn == catalogue_sentences(6000, seed=4)
    said = {word for line in drawn for word in line.split()}
    known = {word for word in catalogue_words() if word.isalpha()}
    assert len(said & known) > 0.5 * len(known)
    assert not any("_" in line or "  " in line for line in drawn)


def test_the_trades_words_letters_and_names_are_in_the_vocabulary() -> None:
    words = own_words()
    assert {"coop", "broody", "kilovolts", "b", "raccoon"} <= words
    assert not [word for word in words if not re.fullmatch(r"[a-z']+", word)]
