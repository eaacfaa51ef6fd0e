"""From a back-off model to a grammar, with names put where the model has a placeholder.

A placeholder is a word of the model such as `{bird}`: it was counted wherever some bird's name
stood, and any farm's names may be put there. `{bird}'s` is filled with the names' possessives.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from voicelog.hearing.building.grammar import BACK_OFF, Grammar
from voicelog.hearing.building.ngram import END, UNKNOWN, Trigrams, split_key

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

POSSESSIVE = "'s"

Names = Mapping[str, Mapping[str, float]]
"""For each placeholder the names that may stand there, as they are said, and their weights."""


def grammar_of(model: Trigrams, names: Names | None = None) -> Grammar:
    """The grammar of a model; placeholders for which there is no name are left out.

    `names` may hold words that the model does not know. The unknown word is left out as well:
    nothing sounds like it.
    """
    arcs = _model_arcs(model)
    words = list(model.words)
    marked = {
        index: word
        for index, word in enumerate(words)
        if (word.startswith("{") or word == UNKNOWN) or word.startswith("<")
    }
    number = {word: index for index, word in enumerate(words)}
    added: list[_Arcs] = []
    states = arcs.states
    for index, word in marked.items():
        tree = _NameTree.of(_said(word, names or {}), number, words)
        here = arcs.word == index
        if tree is not None and here.any():
            added.append(tree.put(arcs.source[here], arcs.target[here], arcs.cost[here], states))
            states += tree.inner * int(here.sum())
    return _finished(arcs, marked, added, words, states)


def _said(placeholder: str, names: Names) -> Mapping[str, float]:
    if placeholder in names:
        return names[placeholder]
    plain = placeholder.removesuffix(POSSESSIVE)
    if plain == placeholder:
        return {}
    return {f"{name}{POSSESSIVE}": weight for name, weight in names.get(plain, {}).items()}


@dataclass(slots=True)
class _Arcs:
    """Arcs by column; `final` where it is known."""

    source: NDArray[np.int64]
    target: NDArray[np.int64]
    word: NDArray[np.int64]
    cost: NDArray[np.float64]
    states: int = 0
    final: NDArray[np.float64] | None = None
    start: int = 0


def _model_arcs(model: Trigrams) -> _Arcs:
    """States are the histories: none, a word, a pair; arcs go to the longest history kept."""
    import numpy as np

    first, second = model.pairs >> 21, model.pairs & ((1 << 21) - 1)
    after_word = np.unique(first)
    after_pair = np.unique(model.triples >> 21)
    words = len(after_word)

    def state_of_word(word: NDArray[np.int64]) -> NDArray[np.int64]:
        at = np.minimum(np.searchsorted(after_word, word), words - 1)
        return np.where(after_word[at] == word, at + 1, 0)

    def state_of_pair(pair: NDArray[np.int64]) -> NDArray[np.int64]:
        at = np.minimum(np.searchsorted(after_pair, pair), len(after_pair) - 1)
        longest = after_pair[at] == pair
        return np.where(longest, at + 1 + words, state_of_word(pair & ((1 << 21) - 1)))

    every = np.arange(len(model.words))
    known = model.one > 0
    _, _, third = split_key(model.triples)
    shorter = model.triples & ((1 << 42) - 1)
    rest = np.searchsorted(model.pairs, after_pair)
    back = np.full(words, BACK_OFF)
    nothing_said = np.zeros(int(known.sum()), np.int64)
    columns = [
        (nothing_said, state_of_word(every[known]), every[known], model.one[known]),
        (state_of_word(first), state_of_pair(model.pairs), second, model.two),
        (state_of_pair(model.triples >> 21), state_of_pair(shorter), third, model.three),
        (np.arange(words) + 1, np.zeros(words, np.int64), back, model.rest_one[after_word]),
        (
            np.arange(len(after_pair)) + 1 + words,
            state_of_word(after_pair & ((1 << 21) - 1)),
            np.full(len(after_pair), BACK_OFF),
            model.rest_two[rest],
        ),
    ]
    source, target, word, share = (np.concatenate(parts) for parts in zip(*columns, strict=True))
    return _without_ends(
        _Arcs(
            source=source,
            target=target,
            word=word,
            cost=-np.log(np.clip(share, 1e-12, None)),
            states=1 + words + len(after_pair),
            start=int(state_of_pair(np.zeros(1, np.int64))[0]),
        ),
        end=model.words.index(END),
    )


def _without_ends(arcs: _Arcs, end: int) -> _Arcs:
    """Ends of sentences become final costs; arcs to a begin, which is no word, go."""
    import numpy as np

    final = np.full(arcs.states, np.inf)
    ends = arcs.word == end
    final[arcs.source[ends]] = arcs.cost[ends]
    kept = ~ends & (arcs.word != 0)
    return _Arcs(
        source=arcs.source[kept],
        target=arcs.target[kept],
        word=arcs.word[kept],
        cost=arcs.cost[kept],
        states=arcs.states,
        final=final,
        start=arcs.start,
    )


@dataclass(slots=True)
class _NameTree:
    """Names as a tree of words. Node 0 is before a name, -1 after one."""

    parent: list[int] = field(default_factory=list)
    child: list[int] = field(default_factory=list)
    word: list[int] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    inner: int = 0

    @classmethod
    def of(
        cls, names: Mapping[str, float], number: dict[str, int], words: list[str]
    ) -> _NameTree | None:
        """The tree of `names`; words that are new are numbered and added. None without names."""
        said = {tuple(name.split()): weight for name, weight in names.items() if name.split()}
        if not said:
            return None
        tree = cls()
        tree._grow(0, said, number, words)
        return tree

    def _grow(
        self,
        node: int,
        names: Mapping[tuple[str, ...], float],
        number: dict[str, int],
        words: list[str],
    ) -> None:
        total = sum(names.values())
        for first in dict.fromkeys(name[0] for name in names):
            rests = {name[1:]: weight for name, weight in names.items() if name[0] == first}
            index = _numbered(first, number, words)
            whole = rests.pop((), None)
            if whole is not None:
                self._add(node, -1, index, -math.log(whole / total))
            if rests:
                self.inner += 1
                child = self.inner
                self._add(node, child, index, -math.log(sum(rests.values()) / total))
                self._grow(child, rests, number, words)

    def _add(self, parent: int, child: int, word: int, cost: float) -> None:
        self.parent.append(parent)
        self.child.append(child)
        self.word.append(word)
        self.cost.append(cost)

    def put(
        self,
        source: NDArray[np.int64],
        target: NDArray[np.int64],
        cost: NDArray[np.float64],
        states: int,
    ) -> _Arcs:
        """The tree in the place of each arc given; new states are counted from `states`."""
        import numpy as np

        parent, child = np.array(self.parent), np.array(self.child)
        base = states + np.arange(len(source))[:, None] * self.inner - 1
        begins = np.where(parent == 0, source[:, None], base + parent)
        ends = np.where(child == -1, target[:, None], base + child)
        costs = np.array(self.cost) + np.where(parent == 0, cost[:, None], 0.0)
        return _Arcs(
            source=begins.ravel(),
            target=ends.ravel(),
            word=np.tile(np.array(self.word), len(source)),
            cost=costs.ravel(),
        )


def _numbered(word: str, number: dict[str, int], words: list[str]) -> int:
    if word not in number:
        number[word] = len(words)
        words.append(word)
    return number[word]


def _finished(
    arcs: _Arcs,
    marked: Mapping[int, str],
    added: Sequence[_Arcs],
    words: Sequence[str],
    states: int,
) -> Grammar:
    """One grammar of all arcs, over the words that are said only."""
    import numpy as np

    said = [index for index in range(len(words)) if index not in marked]
    renumbered = np.full(len(words) + 1, BACK_OFF)
    renumbered[said] = np.arange(len(said))
    kept = ~np.isin(arcs.word, list(marked))
    every = [
        _Arcs(arcs.source[kept], arcs.target[kept], arcs.word[kept], arcs.cost[kept]),
        *added,
    ]
    final = np.full(states, np.inf)
    if arcs.final is not None:
        final[: arcs.states] = arcs.final
    return Grammar(
        sources=np.concatenate([part.source for part in every]),
        targets=np.concatenate([part.target for part in every]),
        word_indexes=renumbered[np.concatenate([part.word for part in every])],
        costs=np.concatenate([part.cost for part in every]).astype(np.float32),
        final_costs=final.astype(np.float32),
        start=arcs.start,
        words=tuple(words[index] for index in said),
    )
