"""All pronunciations of all words as one network: transitions of the acoustic model in, words out.

It is a tree over the phones of the words, with one root for each phone that can come before:

    start ──▶ root of silence                  root of p ──first phone──▶ … ──▶ a word's end
    a word's end on phone p ──▶ root of p, or through silence to the root of silence

A word is output where no other word shares the sounds any more, and what follows it is shared by
all words that end alike. No sign tells words apart that sound the same, since the recogniser joins
this network with a grammar while it listens and never determinises it. Each state is entered by
one transition only, and a loop on it prolongs that sound. Probabilities of transitions are in the
acoustic model; costs here are those of silence between words or none.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from voicelog.hearing.building import phones
from voicelog.hearing.building.fst_files import Transducer
from voicelog.hearing.building.lookahead import LabelSets, label_sets
from voicelog.hearing.building.phones import Pronunciation
from voicelog.hearing.building.pronunciation_tree import Spellings, Tails, Tree

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

SILENCE_COST = math.log(2)
"""Nats for silence between two words, and for none: either is as likely."""

_START = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LexiconGraph:
    """The network, and the words that its labels stand for."""

    transducer: Transducer
    words: tuple[str, ...]
    """The word of label 1, of label 2, …"""
    reachable: LabelSets
    """Which labels can come out next, for each state."""


def lexicon_graph(lexicon: Mapping[str, Sequence[Pronunciation]]) -> LexiconGraph:
    """Build the network of a lexicon. A word may have several pronunciations, and share them.

    Raises:
        ModelError: no words; a word without pronunciation, or with one that is empty or has
            another phone than those of `phones.ARPABET`.
    """
    spellings = Spellings.of(lexicon)
    tree = Tree.of(spellings)
    tails = Tails.of(spellings, tree)
    states = _States.of(spellings, tree, tails)
    arcs = _Arcs()
    _add_silence(arcs, states)
    _add_first_phones(arcs, spellings, tree, states)
    _add_branches(arcs, spellings, tree, tails, states)
    _add_tails(arcs, spellings, tails, states)
    _add_short_words(arcs, spellings, states)
    final = np.full(states.count, np.inf, dtype=np.float32)
    final[states.roots] = 0.0
    return LexiconGraph(
        transducer=arcs.joined(final),
        words=spellings.words,
        reachable=_reachable(spellings, tree, states),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _States:
    """Numbers of the states, from the start on.

    A beginning of one phone, and a word of one phone, has a state for each phone before it; any
    other has one state, since the phone before is part of it.
    """

    before: Ints
    """Base phones that a word can follow: silence, and those that words end on."""
    roots: Ints
    """For each of these the state between words."""
    silences: Ints
    """For each of these the state in the silence after it."""
    in_tree: Ints
    """All states of nodes of the tree, node by node."""
    node: Ints
    """For each node of the tree its first state."""
    copies: Ints
    """For each node of the tree how many states it has, one after the other."""
    tail: Ints
    """For each tail its state."""
    short_bases: Ints
    """Base phones that are a word."""
    short: Ints
    """A row for each of these: its states."""
    count: int

    @classmethod
    def of(cls, spellings: Spellings, tree: Tree, tails: Tails) -> _States:
        rows = np.arange(len(spellings.lengths))
        last = spellings.base(rows, spellings.lengths - 1)
        before = np.concatenate(([phones.SILENCE], np.unique(last)))
        width = len(before)
        copies = np.where(tree.positions == 0, width, 1)
        short_bases = np.unique(last[spellings.lengths == 1])
        sizes = (1, width, width, copies.sum(), len(tails.rows), len(short_bases) * width)
        ends = np.cumsum(sizes)
        _, roots, silences, in_tree, tail, short = np.split(np.arange(ends[-1]), ends[:-1])
        return cls(
            before=before,
            roots=roots,
            silences=silences,
            in_tree=in_tree,
            node=in_tree[np.cumsum(copies) - copies],
            copies=copies,
            tail=tail,
            short_bases=short_bases,
            short=short.reshape(-1, width),
            count=int(ends[-1]),
        )

    def after(self, bases: Ints) -> Ints:
        """Where base phones that words end on stand in `before`."""
        return np.searchsorted(self.before, bases)


class _Arcs:
    """Arcs as they are found, in pieces of many."""

    def __init__(self) -> None:
        self._pieces: list[tuple[Ints, ...]] = []
        self._costs: list[NDArray[np.float64]] = []

    def add(
        self,
        source: Ints | int,
        target: Ints | int,
        *,
        transition: Ints | int = 0,
        label: Ints | int = 0,
        cost: float = 0.0,
    ) -> None:
        """Arcs of one cost (nats); what is given once holds for all of them."""
        piece = np.broadcast_arrays(source, transition, label, target)
        self._pieces.append(tuple(values.ravel() for values in piece))
        self._costs.append(np.full(piece[0].size, cost))

    def add_loops(self, states: Ints, forward: Ints) -> None:
        """What prolongs the sounds that forward transitions into these states began."""
        self.add(states, states, transition=phones.self_loop(forward))

    def joined(self, final: NDArray[np.float32]) -> Transducer:
        """All of them as one network."""
        sources, inputs, outputs, targets = map(np.concatenate, zip(*self._pieces, strict=True))
        return Transducer.sorted_by_output(
            start=_START,
            final=final,
            sources=sources,
            inputs=inputs,
            outputs=outputs,
            costs=np.concatenate(self._costs),
            targets=targets,
        )


def _add_silence(arcs: _Arcs, states: _States) -> None:
    """From the start to the root of silence, and through every silence there."""
    forward = _silence_after(states.before)
    arcs.add(_START, states.roots[0], cost=SILENCE_COST)
    arcs.add(_START, states.silences[0], transition=forward[0], cost=SILENCE_COST)
    arcs.add_loops(states.silences, forward)
    arcs.add(states.silences, states.roots[0])


def _add_first_phones(arcs: _Arcs, spellings: Spellings, tree: Tree, states: _States) -> None:
    """From every root to the first phone of every word of several phones."""
    nodes = np.flatnonzero(tree.positions == 0)
    number = spellings.number(tree.rows[nodes], 0)
    forward = phones.forward_transition(number[:, None], states.before)
    entered = states.node[nodes][:, None] + np.arange(len(states.before))
    arcs.add(states.roots, entered, transition=forward)
    arcs.add_loops(entered, forward)


def _add_branches(
    arcs: _Arcs, spellings: Spellings, tree: Tree, tails: Tails, states: _States
) -> None:
    """From beginnings to longer ones, and from there, with the word, to tails."""
    inner = np.flatnonzero(tree.positions > 0)
    rows, positions = tree.rows[inner], tree.positions[inner]
    forward = spellings.forward(rows, positions)
    parents = tree.node[rows, positions - 1]
    arcs.add_loops(states.node[inner], forward)

    said = spellings.lengths[spellings.rows] > 1
    said_rows = spellings.rows[said]
    said_at = tree.said_at[said_rows]
    parents = np.concatenate((parents, tree.node[said_rows, said_at - 1]))
    forward = np.concatenate((forward, spellings.forward(said_rows, said_at)))
    labels = np.concatenate((np.zeros_like(inner), spellings.labels[said]))
    entered = states.tail[tails.tail[said_rows, said_at]]
    targets = np.concatenate((states.node[inner], entered))

    copies = states.copies[parents]
    within = np.arange(copies.sum()) - np.repeat(np.cumsum(copies) - copies, copies)
    arcs.add(
        np.repeat(states.node[parents], copies) + within,
        np.repeat(targets, copies),
        transition=np.repeat(forward, copies),
        label=np.repeat(labels, copies),
    )


def _add_tails(arcs: _Arcs, spellings: Spellings, tails: Tails, states: _States) -> None:
    """Through the tails to the ends of words."""
    rows, positions = tails.rows, tails.positions
    arcs.add_loops(states.tail, spellings.forward(rows, positions))
    ends = positions == spellings.lengths[rows] - 1
    _add_ends(arcs, states, states.tail[ends], spellings.base(rows[ends], positions[ends]))
    rows, positions = rows[~ends], positions[~ends] + 1
    forward = spellings.forward(rows, positions)
    arcs.add(states.tail[~ends], states.tail[tails.tail[rows, positions]], transition=forward)


def _add_short_words(arcs: _Arcs, spellings: Spellings, states: _States) -> None:
    """Words of one phone, from every root."""
    singleton = np.full_like(states.short_bases, phones.SINGLETON)
    number = phones.phone_number(states.short_bases, singleton)
    forward = phones.forward_transition(number[:, None], states.before)
    arcs.add_loops(states.short, forward)
    _add_ends(arcs, states, states.short, states.short_bases[:, None])
    said = spellings.lengths[spellings.rows] == 1
    which = np.searchsorted(states.short_bases, spellings.base(spellings.rows[said], 0))
    labels = spellings.labels[said][:, None]
    arcs.add(states.roots, states.short[which], transition=forward[which], label=labels)


def _add_ends(arcs: _Arcs, states: _States, ends: Ints, bases: Ints) -> None:
    """From ends of words on base phones to what follows, with silence or without."""
    after = states.after(bases)
    arcs.add(ends, states.roots[after], cost=SILENCE_COST)
    arcs.add(ends, states.silences[after], transition=_silence_after(bases), cost=SILENCE_COST)


def _silence_after(bases: Ints) -> Ints:
    return phones.forward_transition(np.full_like(bases, phones.SILENCE_NUMBER), bases)


def _reachable(spellings: Spellings, tree: Tree, states: _States) -> LabelSets:
    """A beginning allows the words that begin so; between words and in tails any can come next."""
    nodes = len(tree.rows)
    of_state = np.zeros(states.count, dtype=np.int64)
    of_state[states.in_tree] = np.repeat(np.arange(1, nodes + 1), states.copies)
    node = tree.node[spellings.rows]
    pairs, positions = np.nonzero(node >= 0)
    return label_sets(
        of_state,
        node[pairs, positions] + 1,
        spellings.labels[pairs],
        sets=nodes + 1,
        words=len(spellings.words),
    )
