"""Small lexicons, and grammars in which any word may follow any."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from voicelog.hearing.building.grammar import BACK_OFF, Grammar
from voicelog.hearing.building.phones import Pronunciation

Lexicon = dict[str, list[Pronunciation]]


def _said(*ways: str) -> list[Pronunciation]:
    return [tuple(way.split()) for way in ways]


@pytest.fixture(scope="session")
def small_lexicon() -> Lexicon:
    """Homophones, beginnings of other words, words of one phone, words said in two ways."""
    return {
        "a": _said("AH", "EY"),
        "add": _said("AE D"),
        "adds": _said("AE D Z"),
        "ads": _said("AE D Z"),
        "coop": _said("K UW P"),
        "coops": _said("K UW P S"),
        "coupe": _said("K UW P"),
        "eye": _said("AY"),
        "hen": _said("HH EH N"),
        "hens": _said("HH EH N Z"),
        "i": _said("AY"),
        "pens": _said("P EH N Z"),
        "the": _said("DH AH", "DH IY"),
    }


@pytest.fixture(scope="session")
def any_order() -> Callable[[Sequence[str]], Grammar]:
    """A grammar of words that are all equally likely anywhere, said from a state of their own."""

    def build(words: Sequence[str]) -> Grammar:
        count = len(words)
        return Grammar(
            words=tuple(words),
            start=1,
            sources=np.array([1] + [0] * count),
            targets=np.zeros(count + 1, dtype=np.int64),
            word_indexes=np.array([BACK_OFF, *range(count)]),
            costs=np.array([0.25] + [np.log(count + 1)] * count, dtype=np.float32),
            final_costs=np.array([np.log(count + 1), np.inf], dtype=np.float32),
        )

    return build
