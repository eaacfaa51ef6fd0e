"""Numbers of phones and transitions are those that the carried model has."""

from __future__ import annotations

from voicelog.hearing.building import phones
from voicelog.hearing.model_folder import find_model


def test_there_are_thirty_nine_phones_in_order() -> None:
    assert len(phones.ARPABET) == len(set(phones.ARPABET)) == 39
    assert list(phones.ARPABET) == sorted(phones.ARPABET)
    assert phones.BASE_PHONES.index("SIL") == phones.SILENCE


def test_word_boundaries_are_those_of_the_carried_model() -> None:
    carried = find_model() / "graph" / "phones" / "word_boundary.int"
    ours = [f"{number} {kind}" for number, kind in phones.word_boundaries()]
    assert ours == carried.read_text().splitlines()


def test_names_tell_the_place_in_the_word() -> None:
    names = dict(phones.phone_names())
    assert names["<eps>"] == 0
    assert names["SIL"] == phones.SILENCE_NUMBER
    assert [names[f"AA{suffix}"] for suffix in ("_B", "_E", "_I", "_S")] == [2, 3, 4, 5]
    assert names["ZH_S"] == phones.PHONE_COUNT == 157
    kinds = dict(phones.word_boundaries())
    words = {"B": "begin", "E": "end", "I": "internal", "S": "singleton"}
    for name, number in names.items():
        if "_" in name:
            assert kinds[number] == words[name[-1]]


def test_transitions_are_numbered_through_the_states_in_order() -> None:
    states = list(phones.transition_states())
    assert len(states) == 157 * 40
    for place in (0, 39, 40, 41, 6279):
        forward = phones.forward_transition(states[place].phone, place % 40)
        assert forward == 2 * place + 2
        assert phones.self_loop(forward) == 2 * place + 1


def test_what_sounds_alike_shares_outputs() -> None:
    outputs: dict[tuple[int, int], set[tuple[str, int]]] = {}
    names = {number: name.partition("_")[0] for name, number in phones.phone_names()}
    for place, state in enumerate(phones.transition_states()):
        pair = (state.forward_output, state.loop_output)
        outputs.setdefault(pair, set()).add((names[state.phone], place % 40))
    assert all(len(alike) == 1 for alike in outputs.values())
    assert sorted(sum(outputs, ())) == list(range(2 * 40 * 40))
