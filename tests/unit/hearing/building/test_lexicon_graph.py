"""Every pronunciation of every word is in the graph, with that word as all that comes out."""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.unit.hearing.building.graph_reading import ReadGraph, read_graph, silence, spoken
from voicelog.errors import ModelError
from voicelog.hearing.building.fst_files import lookahead_file
from voicelog.hearing.building.lexicon_graph import lexicon_graph
from voicelog.hearing.building.phones import ARPABET, Pronunciation

Lexicon = dict[str, list[Pronunciation]]

PAUSE = math.log(2)

few_phones = st.sampled_from(["AA", "K", "T", "ZH"])
any_phone = st.sampled_from(ARPABET)
pronunciations = st.lists(few_phones | any_phone, min_size=1, max_size=6).map(tuple)
lexicons = st.dictionaries(
    st.text("abcdefghij'", min_size=1, max_size=4),
    st.lists(pronunciations, min_size=1, max_size=3),
    min_size=1,
    max_size=14,
)


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("graph") / "HCLr.fst"


def built(lexicon: Lexicon, file: Path) -> tuple[ReadGraph, list[str]]:
    graph = lexicon_graph(lexicon)
    file.write_bytes(lookahead_file(graph.transducer, graph.reachable))
    return read_graph(file), ["", *graph.words]


def sounding(lexicon: Lexicon, pronunciation: Pronunciation) -> set[str]:
    return {word for word, ways in lexicon.items() if pronunciation in ways}


@settings(deadline=None, max_examples=150)
@given(lexicons)
def test_a_pronunciation_gives_the_words_that_have_it_and_no_other(
    file: Path, lexicon: Lexicon
) -> None:
    graph, words = built(lexicon, file)
    assert sorted(words[1:]) == sorted(lexicon)
    for pronunciation in {way for ways in lexicon.values() for way in ways}:
        for each in (1, 3):
            found = graph.outputs(list(spoken(pronunciation, each=each)))
            said = {tuple(words[label] for label in labels) for labels, _ in found}
            assert said == {(word,) for word in sounding(lexicon, pronunciation)}
            assert {cost for _, cost in found} == {round(2 * PAUSE, 4)}


@settings(deadline=None, max_examples=80)
@given(lexicons, st.data())
def test_words_follow_each_other_with_silence_or_without(
    file: Path, lexicon: Lexicon, data: st.DataObject
) -> None:
    graph, words = built(lexicon, file)
    ways = st.sampled_from([way for ways in lexicon.values() for way in ways])
    one, other = data.draw(ways), data.draw(ways)
    expected = set(product(sounding(lexicon, one), sounding(lexicon, other)))
    together = [*spoken(one), *spoken(other, before=one[-1])]
    apart = [
        *silence("SIL"),
        *spoken(one),
        *silence(one[-1]),
        *spoken(other),
        *silence(other[-1]),
    ]
    for inputs in (together, apart):
        found = graph.outputs(inputs)
        assert {tuple(words[label] for label in labels) for labels, _ in found} == expected
        assert {cost for _, cost in found} == {round(3 * PAUSE, 4)}


@settings(deadline=None, max_examples=80)
@given(lexicons)
def test_look_ahead_tells_what_can_come_out_of_each_state(file: Path, lexicon: Lexicon) -> None:
    graph, words = built(lexicon, file)
    assert graph.final_label == len(words)
    for state, intervals in enumerate(graph.intervals):
        labels = [label for begin, end in intervals for label in range(begin, end)]
        expected = {graph.final_label if label < 0 else label for label in graph.next_labels(state)}
        assert labels == sorted(expected)
        assert graph.counts[state] == len(labels)


@settings(deadline=None, max_examples=50)
@given(lexicons)
def test_a_state_has_one_entering_transition_and_its_loop(file: Path, lexicon: Lexicon) -> None:
    graph, _ = built(lexicon, file)
    entering: dict[int, set[int]] = {}
    for state, arcs in enumerate(graph.arcs):
        assert [arc.output for arc in arcs] == sorted(arc.output for arc in arcs)
        for arc in arcs:
            entering.setdefault(arc.target, set()).add(arc.input)
            assert (arc.input % 2 == 1) == (arc.target == state)
    for state, inputs in entering.items():
        loops = {number for number in inputs if number % 2}
        assert inputs == {0} or (len(inputs) == 2 and loops == {max(inputs) - 1}), state


def test_words_that_sound_the_same_part_only_at_their_end(
    file: Path, small_lexicon: Lexicon
) -> None:
    graph, words = built(small_lexicon, file)
    outputs = {words[arc.output]: arc.input for arcs in graph.arcs for arc in arcs if arc.output}
    assert outputs["coop"] == outputs["coupe"] == list(spoken(("K", "UW", "P"), each=1))[-1]
    assert outputs["hen"] != outputs["hens"]


def test_words_that_end_alike_share_what_follows_the_word(file: Path) -> None:
    """The two last sounds, if the one before them is the same too."""
    one = ("K", "AA", "N", "T", "ER")
    alike, _ = built({"counter": [one], "hinter": [("HH", "IY", "N", "T", "ER")]}, file)
    unlike, _ = built({"counter": [one], "hisder": [("HH", "IY", "S", "D", "ER")]}, file)
    assert len(unlike.arcs) - len(alike.arcs) == 2


@pytest.mark.parametrize(
    ("lexicon", "told"),
    [
        ({}, "no words"),
        ({"coop": []}, "'coop' has no pronunciation"),
        ({"coop": [()]}, "'coop' cannot be pronounced as ''"),
        ({"coop": [("K", "UW1", "P")]}, "'coop' cannot be pronounced as 'K UW1 P'"),
        ({"coop": [("SIL",)]}, "'coop' cannot be pronounced as 'SIL'"),
    ],
)
def test_what_cannot_be_pronounced_is_told(lexicon: Lexicon, told: str) -> None:
    with pytest.raises(ModelError, match=told):
        lexicon_graph(lexicon)
