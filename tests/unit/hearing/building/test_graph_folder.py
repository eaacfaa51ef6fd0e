"""The files of a graph folder, as they are read back."""

from __future__ import annotations

import importlib.util
import json
import math
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest

from tests.unit.hearing.building.graph_reading import read_graph, read_words
from voicelog.errors import ModelError
from voicelog.hearing.building.grammar import Grammar
from voicelog.hearing.building.graph_folder import write_graph, write_settings
from voicelog.hearing.building.phones import Pronunciation
from voicelog.hearing.model_folder import find_model, missing_files

Lexicon = dict[str, list[Pronunciation]]
AnyOrder = Callable[[Sequence[str]], Grammar]


@pytest.fixture
def graph(tmp_path: Path, small_lexicon: Lexicon, any_order: AnyOrder) -> Path:
    write_graph(tmp_path / "graph", small_lexicon, any_order(sorted(small_lexicon)))
    return tmp_path / "graph"


def test_the_settings_are_those_of_the_carried_model(tmp_path: Path) -> None:
    write_settings(tmp_path / "conf")
    for name in ("mfcc.conf", "model.conf"):
        carried = (find_model() / "conf" / name).read_text()
        assert (tmp_path / "conf" / name).read_text() == carried


def test_no_file_that_the_recogniser_needs_is_missing(graph: Path) -> None:
    write_settings(graph.parent / "conf")
    assert missing_files(graph.parent) == ("am/final.mdl",)
    assert (graph / "disambig_tid.int").read_text().split() == []


def test_labels_are_the_same_in_all_files(graph: Path, small_lexicon: Lexicon) -> None:
    words = read_words(graph / "words.txt")
    assert words[0] == "<eps>"
    assert sorted(words[1:]) == sorted(small_lexicon)
    sounds, order = read_graph(graph / "HCLr.fst"), read_graph(graph / "Gr.fst")
    every_label = set(range(1, len(words)))
    assert {arc.output for arcs in sounds.arcs for arc in arcs} - {0} == every_label
    assert {arc.input for arc in order.arcs[0]} == every_label
    assert sounds.final_label not in every_label


def test_the_grammar_is_written_as_it_is(tmp_path: Path, small_lexicon: Lexicon) -> None:
    grammar = Grammar(
        words=("hens", "the"),
        start=2,
        sources=np.array([2, 2, 0, 1, 0]),
        targets=np.array([1, 0, 0, 2, 1]),
        word_indexes=np.array([1, -1, 1, 0, 0]),
        costs=np.array([0.5, 1.5, 2.5, 3.5, 4.5], dtype=np.float32),
        final_costs=np.array([0.75, np.inf, np.inf], dtype=np.float32),
    )
    write_graph(tmp_path, small_lexicon, grammar)
    words = read_words(tmp_path / "words.txt")
    order = read_graph(tmp_path / "Gr.fst")
    assert order.start == 2
    assert order.final == [0.75, math.inf, math.inf]
    assert order.epsilons == [(0, 0), (0, 0), (1, 1)]
    arcs = {
        (source, words[arc.input], arc.target, arc.cost)
        for source, arcs in enumerate(order.arcs)
        for arc in arcs
    }
    assert arcs == {
        (2, "the", 1, 0.5),
        (2, "<eps>", 0, 1.5),
        (0, "the", 0, 2.5),
        (1, "hens", 2, 3.5),
        (0, "hens", 1, 4.5),
    }
    for leaving in order.arcs:
        assert [arc.input for arc in leaving] == sorted(arc.input for arc in leaving)
        assert all(arc.input == arc.output for arc in leaving)


def test_words_of_the_grammar_that_have_no_pronunciation_are_told(
    tmp_path: Path, small_lexicon: Lexicon, any_order: AnyOrder
) -> None:
    strange = [f"strange{number}" for number in range(7)]
    with pytest.raises(ModelError, match=r"strange0, .*strange4 and 2 more"):
        write_graph(tmp_path / "graph", small_lexicon, any_order(["hens", *strange]))
    assert not (tmp_path / "graph").exists()


@pytest.mark.parametrize("word", ["", "two words", "tab\tbed", "line\nend", "\u2028", "<eps>"])
def test_a_word_that_would_spoil_the_list_is_told(
    tmp_path: Path, word: str, any_order: AnyOrder
) -> None:
    with pytest.raises(ModelError, match="cannot be a word"):
        write_graph(tmp_path / "graph", {word: [("AH",)], "a": [("AH",)]}, any_order(["a"]))
    assert not (tmp_path / "graph").exists()


def test_the_same_words_give_the_same_bytes(
    graph: Path, tmp_path: Path, small_lexicon: Lexicon, any_order: AnyOrder
) -> None:
    write_graph(tmp_path / "again", small_lexicon, any_order(sorted(small_lexicon)))
    for file in graph.rglob("*"):
        if file.is_file():
            assert (tmp_path / "again" / file.relative_to(graph)).read_bytes() == file.read_bytes()


READ_BACK = """
import json, sys
import kaldifst
for file in sys.argv[1:]:
    fst = kaldifst.StdConstFst.read(file)
    arcs = [
        [[arc.ilabel, arc.olabel, arc.weight.value, arc.nextstate]
         for arc in kaldifst.ArcIterator(fst, state)]
        for state in range(fst.num_states)
    ]
    finals = [fst.final(state).value for state in range(fst.num_states)]
    epsilons = [fst.num_input_epsilons(state) for state in range(fst.num_states)]
    sorted_by = [fst.is_ilabel_sorted, fst.is_olabel_sorted]
    print(json.dumps([fst.start, finals, arcs, epsilons, sorted_by]))
"""


@pytest.mark.skipif(
    importlib.util.find_spec("kaldifst") is None, reason="kaldifst, a reader of FSTs, is missing"
)
def test_another_reader_finds_the_same_numbers(graph: Path) -> None:
    sounds, order = read_graph(graph / "HCLr.fst"), read_graph(graph / "Gr.fst")
    (graph / "HCL.fst").write_bytes(sounds.const_part)
    files = [str(graph / "HCL.fst"), str(graph / "Gr.fst")]
    # In a process of its own: loaded before the recogniser, it makes that one hang.
    done = subprocess.run(
        [sys.executable, "-c", READ_BACK, *files], capture_output=True, text=True, check=True
    )
    for ours, line in zip((sounds, order), done.stdout.splitlines(), strict=True):
        start, final, arcs, epsilons, sorted_by = json.loads(line)
        assert start == ours.start
        assert final == ours.final
        assert epsilons == [without_input for without_input, _ in ours.epsilons]
        assert sorted_by == [ours is order, True]
        assert arcs == [
            [[arc.input, arc.output, arc.cost, arc.target] for arc in leaving]
            for leaving in ours.arcs
        ]
