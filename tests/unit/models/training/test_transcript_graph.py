"""The graph of a transcript holds each way to say it once, and nothing else."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from hypothesis import given

torch = pytest.importorskip("torch")

from models.training.phone_model import NEVER, Transcript  # noqa: E402
from models.training.transcript_graph import (  # noqa: E402
    STATES_AT_MOST,
    TranscriptGraph,
    TranscriptTooLongError,
    collate,
    transcript_graph,
    transcript_graphs,
)
from tests.unit.models.training.objective_cases import (  # noqa: E402
    PHONES,
    TRANSCRIPTS,
    graphs_of,
    phone_model,
    ways_to_say,
)


def _paths(graph: TranscriptGraph) -> Counter[tuple[int, ...]]:
    """The phones along each path through the graph; pairs along it must fit together."""
    onward: dict[int, list[int]] = {}
    for source, target in graph.arcs.T.tolist():
        onward.setdefault(source, []).append(target)
    found: Counter[tuple[int, ...]] = Counter()

    def walk(state: int, left: int, phones: tuple[int, ...]) -> None:
        pair_left, phone = divmod(int(graph.labels[state]), PHONES)
        assert pair_left == left
        phones = (*phones, phone)
        if state in graph.ends:
            found[phones] += 1
        for target in onward.get(state, []):
            walk(target, phone, phones)

    for state in graph.starts.tolist():
        walk(state, 0, ())
    return found


@given(TRANSCRIPTS)
def test_paths_are_the_ways_to_say_it_each_once(transcript: Transcript) -> None:
    paths = _paths(transcript_graph(transcript, phones=PHONES))
    assert paths == Counter(ways_to_say(transcript))


@given(TRANSCRIPTS)
def test_arcs_lead_onward_and_the_shortest_way_is_known(transcript: Transcript) -> None:
    graph = transcript_graph(transcript, phones=PHONES)
    sources, targets = graph.arcs
    assert (sources < targets).all()
    assert graph.fewest_frames == min(map(len, ways_to_say(transcript)))


def test_without_words_there_is_a_pause() -> None:
    assert _paths(transcript_graph([], phones=PHONES)) == {(0,): 1}


def test_a_large_graph_keeps_the_first_pronunciations() -> None:
    one = [[(1, 2, 3, 1)]] * 150
    many = [[(1, 2, 3, 1), (2, 3, 1, 3), (3, 1, 2, 2)]] * 150
    np.testing.assert_array_equal(transcript_graph(many).labels, transcript_graph(one).labels)
    assert len(transcript_graph(many[:40]).labels) > len(transcript_graph(one[:40]).labels)


def test_a_transcript_too_long_is_told_or_left_out() -> None:
    endless: Transcript = [[(1, 2, 3)]] * STATES_AT_MOST
    with pytest.raises(TranscriptTooLongError, match="Cut the recording"):
        transcript_graph(endless)
    short: Transcript = [[(1,)]]
    first, second = transcript_graphs([endless, short], workers=1)
    assert first is None
    assert second is not None
    np.testing.assert_array_equal(second.labels, transcript_graph(short).labels)


@given(TRANSCRIPTS)
def test_a_padded_graph_has_the_arcs_of_the_graph(transcript: Transcript) -> None:
    graph = transcript_graph(transcript, phones=PHONES)
    longer: Transcript = [[(1, 2), (3,)], [(2, 3), (3, 1)], [(1,), (2,)]]
    batch = graphs_of(longer, transcript)
    arcs = {tuple(arc) for arc in graph.arcs.T.tolist()}
    _, states = batch.labels.shape
    before = {
        (int(source), state)
        for state in range(states)
        for source in batch.before[1, :, state]
        if source >= 0
    }
    after = {
        (state, int(target))
        for state in range(states)
        for target in batch.after[1, :, state]
        if target >= 0
    }
    assert before == after == arcs
    assert set(torch.nonzero(batch.start[1] > NEVER / 2).ravel().tolist()) == set(graph.starts)
    assert set(torch.nonzero(batch.final[1] > NEVER / 2).ravel().tolist()) == set(graph.ends)


def test_arcs_weigh_what_the_phone_model_says() -> None:
    model = phone_model()
    batch = collate([transcript_graph([[(1, 2)]], phones=PHONES)], model)
    pairs = [divmod(int(label), PHONES) for label in batch.labels[0]]
    for target in range(len(pairs)):
        for source, weight in zip(
            batch.before[0, :, target], batch.before_weights[0, :, target], strict=True
        ):
            if source >= 0:
                follow = model.follow[(*pairs[source], pairs[target][1])]
                assert weight.item() == pytest.approx(np.log(follow), rel=1e-5)
