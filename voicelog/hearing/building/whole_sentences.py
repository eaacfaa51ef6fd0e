"""A grammar that prefers whole sentences it was given, as for commands.

Trigrams know two words back only, and so mix the beginning of one command with the end of another.
Here a speaker says one of the sentences as it is, with a probability fixed beforehand, and else
anything that the trigrams allow.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from voicelog.hearing.building.grammar import BACK_OFF, Grammar

if TYPE_CHECKING:
    from numpy.typing import NDArray

SHARE = 0.9
"""Probability that one of the sentences is said as it is."""

MOST = 20_000
"""Different sentences; of more the trigrams alone know enough."""


def with_whole_sentences(grammar: Grammar, sentences: Iterable[str]) -> Grammar:
    """The grammar before which one of the sentences may be said instead.

    A sentence that is given several times is as much likelier. All their words must be in the
    grammar. Where there are more than `MOST` different ones it stays as it was.
    """
    counts: dict[tuple[str, ...], int] = {}
    for sentence in sentences:
        words = tuple(sentence.split())
        counts[words] = counts.get(words, 0) + 1
    if not counts or len(counts) > MOST:
        return grammar
    tree = _Tree(counts)
    first = len(grammar.final_costs)
    number = {word: index for index, word in enumerate(grammar.words)}
    arcs = [
        (first + source, first + target, number[word], cost)
        for (source, word), (target, cost) in tree.arcs.items()
    ]
    arcs.append((first, grammar.start, BACK_OFF, -math.log(1 - SHARE)))
    sources, targets, said, costs = (np.array(column) for column in zip(*arcs, strict=True))
    return Grammar(
        words=grammar.words,
        start=first,
        sources=_joined(grammar.sources, sources),
        targets=_joined(grammar.targets, targets),
        word_indexes=_joined(grammar.word_indexes, said),
        costs=np.concatenate([grammar.costs, costs]).astype(np.float32),
        final_costs=np.concatenate([grammar.final_costs, tree.final_costs]).astype(np.float32),
    )


class _Tree:
    """The sentences by their beginnings; costs are shared out by how often each goes on so."""

    def __init__(self, counts: dict[tuple[str, ...], int]) -> None:
        children: dict[tuple[int, str], int] = {}
        often = [sum(counts.values())]
        ending = [0]
        for sentence, count in counts.items():
            node = 0
            for word in sentence:
                target = children.setdefault((node, word), len(often))
                if target == len(often):
                    often.append(0)
                    ending.append(0)
                often[target] += count
                node = target
            ending[node] += count
        self.arcs = {
            (source, word): (target, self._cost(often[target], often[source], source))
            for (source, word), target in children.items()
        }
        self.final_costs = np.array(
            [
                -math.log(ends / passing) if ends else math.inf
                for ends, passing in zip(ending, often, strict=True)
            ]
        )

    @staticmethod
    def _cost(part: int, whole: int, source: int) -> float:
        return -math.log(part / whole * (SHARE if source == 0 else 1.0))


def _joined(before: NDArray[np.int64], added: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.concatenate([before, added.astype(np.int64)])
