"""Pronunciations in order, as a tree of what they begin with and the tails that they end in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from voicelog.errors import ModelError
from voicelog.hearing.building import phones
from voicelog.hearing.building.phones import Pronunciation

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]

_LAST = len(phones.BASE_PHONES)
"""Added to the phone that ends a word: to the model, and so here, it is another one than inside.
No pronunciation is thus the beginning of another one."""

_TODO = "Give every word at least one pronunciation in the phones of the ARPAbet."
_CODE = {name: base for base, name in enumerate(phones.BASE_PHONES) if base != phones.SILENCE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Spellings:
    """Distinct pronunciations in the order of their phones, and which words have which."""

    codes: Ints
    """A row each: base phones, the last one marked by `_LAST`, then zeros, one at least."""
    lengths: Ints
    """For each row its number of phones."""
    words: tuple[str, ...]
    """In the order in which they come up in the rows, so that labels of a branch are close."""
    rows: Ints
    """For each pair of a pronunciation and a word with it, in the order of the rows: the row."""
    labels: Ints
    """For each such pair the label of the word: 1 for the first word."""

    @classmethod
    def of(cls, lexicon: Mapping[str, Sequence[Pronunciation]]) -> Spellings:
        """Sort out a lexicon.

        Raises:
            ModelError: as of `lexicon_graph`.
        """
        sounding = _words_by_sound(lexicon)
        ordered = sorted(sounding)
        labels: dict[str, int] = {}
        pairs = [
            (row, labels.setdefault(word, len(labels) + 1))
            for row, code in enumerate(ordered)
            for word in sounding[code]
        ]
        width = max(map(len, ordered)) + 1
        codes = np.array(ordered, dtype=f"S{width}").view(np.uint8).reshape(-1, width)
        rows, spoken = np.array(pairs, dtype=np.int64).T
        return cls(
            codes=codes.astype(np.int64),
            lengths=np.count_nonzero(codes, axis=1),
            words=tuple(labels),
            rows=rows,
            labels=spoken,
        )

    def base(self, rows: Ints, positions: Ints | int) -> Ints:
        """Base phones at positions of some rows."""
        bases: Ints = self.codes[rows, positions] % _LAST
        return bases

    def number(self, rows: Ints, positions: Ints | int) -> Ints:
        """Phones with their place in the word, at positions of some rows."""
        ends, begins = self.codes[rows, positions] > _LAST, np.equal(positions, 0)
        place = np.where(
            begins,
            np.where(ends, phones.SINGLETON, phones.BEGIN),
            np.where(ends, phones.END, phones.INTERNAL),
        )
        return phones.phone_number(self.base(rows, positions), place)

    def forward(self, rows: Ints, positions: Ints) -> Ints:
        """Transitions into the phones at positions, from 1 on, of some rows."""
        return phones.forward_transition(
            self.number(rows, positions), self.base(rows, positions - 1)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """What several pronunciations begin with. A node is a beginning, of one phone or more."""

    said_at: Ints
    """For each row the position at which its words are output; from there on is its tail."""
    node: Ints
    """For each row and position before that the number of the node; -1 elsewhere."""
    rows: Ints
    """For each node the first row with it."""
    positions: Ints
    """For each node the position of its last phone."""

    @classmethod
    def of(cls, spellings: Spellings) -> Tree:
        """The tree of sorted pronunciations."""
        codes, last = spellings.codes, spellings.lengths - 1
        shared = (codes[1:] != codes[:-1]).argmax(axis=1)
        before, after = np.concatenate(([0], shared)), np.concatenate((shared, [0]))
        # A first phone can come after any other, which tails know nothing of.
        said_at = np.minimum(np.maximum(np.maximum(before, after), 1), last)
        # Words that sound the same part at the very end.
        several = np.bincount(spellings.rows, minlength=len(codes)) > 1
        said_at[several] = last[several]
        position = np.arange(codes.shape[1])
        inside = position < said_at[:, None]
        fresh = inside & (position >= before[:, None])
        numbers = np.where(fresh, np.cumsum(fresh).reshape(fresh.shape) - 1, -1)
        rows, positions = np.nonzero(fresh)
        return cls(
            said_at=said_at,
            node=np.where(inside, np.maximum.accumulate(numbers, axis=0), -1),
            rows=rows,
            positions=positions,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tails:
    """Ends of pronunciations; those that are alike from the phone before them on are one."""

    rows: Ints
    """For each tail a row with it."""
    positions: Ints
    """For each tail where it begins in that row."""
    tail: Ints
    """For each row and position in its tail the number of what is left from there; -1 elsewhere."""

    @classmethod
    def of(cls, spellings: Spellings, tree: Tree) -> Tails:
        """All tails of pronunciations of two phones and more."""
        codes = spellings.codes
        position = np.arange(codes.shape[1])
        left = (position >= tree.said_at[:, None]) & (position < spellings.lengths[:, None])
        rows, positions = np.nonzero(left & (position > 0))
        span = np.minimum(positions[:, None] - 1 + position, codes.shape[1] - 1)
        text = codes[rows[:, None], span].astype(np.uint8)
        as_text = text.view(f"S{text.shape[1]}").ravel()
        _, chosen, which = np.unique(as_text, return_index=True, return_inverse=True)
        tail = np.full(codes.shape, -1)
        tail[rows, positions] = which
        return cls(rows=rows[chosen], positions=positions[chosen], tail=tail)


def _words_by_sound(lexicon: Mapping[str, Sequence[Pronunciation]]) -> dict[bytes, dict[str, None]]:
    """Words in the order of the lexicon, by their pronunciation as codes."""
    sounding: dict[bytes, dict[str, None]] = {}
    for word, pronunciations in lexicon.items():
        if not pronunciations:
            raise ModelError(f"The word {word!r} has no pronunciation.", todo=_TODO)
        for pronunciation in pronunciations:
            sounding.setdefault(_code(word, pronunciation), {})[word] = None
    if not sounding:
        raise ModelError("There are no words to make a speech model of.", todo=_TODO)
    return sounding


def _code(word: str, pronunciation: Pronunciation) -> bytes:
    try:
        *others, last = map(_CODE.__getitem__, pronunciation)
    except (KeyError, ValueError):
        said = " ".join(pronunciation)
        raise ModelError(
            f"The word {word!r} cannot be pronounced as {said!r}.", todo=_TODO
        ) from None
    return bytes((*others, last + _LAST))
