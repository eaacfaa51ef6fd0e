"""Which letter makes which sound: expectation-maximisation over a dictionary.

Each letter makes none, one or two phones, in order. The chance of a letter making a run of phones
is learned from all alignments of all words, weighted by how likely they are (Dempster, Laird and
Rubin 1977; for letters and sounds Bisani and Ney 2008). Rare runs are dropped at the end, and the
words that then cannot be aligned, mostly abbreviations, are left out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

LETTERS = "abcdefghijklmnopqrstuvwxyz"
_NOTHING = 0
"""The id of "no phone"; phones count from 1. A run is a pair of ids, (first, second)."""


class Alignment:
    """The chance of each run of phones for each letter."""

    def __init__(self, phone_count: int) -> None:
        """Start with all runs equally likely, shorter ones more so."""
        size = phone_count + 1
        self._chance = np.full((len(LETTERS), size, size), 0.01 / size**2)
        self._chance[:, 1:, 0] = 1.0 / size
        self._chance[:, 0, 0] = 0.1
        self._chance[:, 0, 1:] = 0.0

    def learn(self, pairs: Sequence[tuple[str, Sequence[int]]], rounds: int) -> float:
        """Improve by `rounds` of expectation-maximisation; mean log-likelihood of the last."""
        groups = list(_groups(pairs))
        likelihood = 0.0
        for _ in range(rounds):
            counts = np.zeros_like(self._chance)
            likelihood = sum(self._collect(*group, counts) for group in groups) / len(pairs)
            self._settle(counts)
        return likelihood

    def drop_rare(self, pairs: Sequence[tuple[str, Sequence[int]]], least: float) -> None:
        """Forget the runs of a letter expected fewer than `least` times in all."""
        counts = np.zeros_like(self._chance)
        for group in _groups(pairs):
            self._collect(*group, counts)
        counts[counts < least] = 0.0
        self._settle(counts)

    def best(
        self, pairs: Sequence[tuple[str, Sequence[int]]]
    ) -> list[list[tuple[int, ...]] | None]:
        """The likeliest run for each letter of each pair; None where no alignment exists."""
        with np.errstate(divide="ignore"):
            log = np.log(self._chance).tolist()
        return [_best(log, word, phones) for word, phones in pairs]

    def _settle(self, counts: Floats) -> None:
        total = counts.sum(axis=(1, 2), keepdims=True)
        self._chance = counts / np.maximum(total, 1e-9)

    def _collect(self, words: Ints, phones: Ints, counts: Floats) -> float:
        """Add the expected counts of words of one length and sounds of one length."""
        tables = self._cells(words, phones)
        forward = _forward(tables)
        turned = [table[:, ::-1, ::-1] for table in tables]
        backward = _forward([turned[0], _moved(turned[1], 1), _moved(turned[2], 2)])
        backward = backward[:, ::-1, ::-1]
        total = forward[:, -1, -1]
        usable = total > 0
        scale = np.where(usable, 1.0 / np.where(usable, total, 1.0), 0.0)[:, None, None]
        for taken, table in enumerate(tables):
            here = forward[:, :-1, : table.shape[2] - taken if taken else None]
            there = backward[:, 1:, taken:]
            share = here * table[:, :, : here.shape[2]] * there * scale
            self._add(words, phones, share, taken, counts)
        return float(np.log(total[usable]).sum())

    def _cells(self, words: Ints, phones: Ints) -> list[Floats]:
        """The chance of each letter making 0, 1 or 2 phones from each position on.

        The last columns, where too few phones are left, are zero.
        """
        count, length = phones.shape
        tables = [np.zeros((count, words.shape[1], length + 1)) for _ in range(3)]
        letter = words[:, :, None]
        tables[0][:] = self._chance[letter, _NOTHING, _NOTHING]
        tables[1][:, :, :length] = self._chance[letter, phones[:, None, :], _NOTHING]
        if length > 1:
            two = self._chance[letter, phones[:, None, :-1], phones[:, None, 1:]]
            tables[2][:, :, : length - 1] = two
        return tables

    def _add(self, words: Ints, phones: Ints, share: Floats, taken: int, counts: Floats) -> None:
        size = counts.shape[1]
        width = phones.shape[1] + 1 - taken
        if width <= 0:
            return
        first = phones[:, None, :width] if taken else np.zeros((1, 1, 1), dtype=np.int64)
        second = phones[:, None, 1 : width + 1] if taken == 2 else np.zeros((1, 1, 1), np.int64)
        cell = (words[:, :, None] * size + first) * size + second
        cell = np.broadcast_to(cell, (*words.shape, width))
        weight = share[:, :, :width]
        counts += np.bincount(cell.ravel(), weight.ravel(), counts.size).reshape(counts.shape)


def _groups(pairs: Sequence[tuple[str, Sequence[int]]]) -> Iterator[tuple[Ints, Ints]]:
    """The pairs as arrays, those of equal lengths together."""
    lengths: dict[tuple[int, int], list[int]] = defaultdict(list)
    for number, (word, phones) in enumerate(pairs):
        lengths[len(word), len(phones)].append(number)
    for numbers in lengths.values():
        letters = [[LETTERS.index(letter) for letter in pairs[n][0]] for n in numbers]
        yield np.array(letters), np.array([list(pairs[n][1]) for n in numbers])


def _forward(tables: Sequence[Floats]) -> Floats:
    """The chance of having read i letters and j phones, for each word, i and j."""
    count, letters, width = tables[0].shape
    chance = np.zeros((count, letters + 1, width))
    chance[:, 0, 0] = 1.0
    for letter in range(letters):
        before = chance[:, letter]
        after = before * tables[0][:, letter]
        after[:, 1:] += (before * tables[1][:, letter])[:, :-1]
        after[:, 2:] += (before * tables[2][:, letter])[:, :-2]
        chance[:, letter + 1] = after
    return chance


def _moved(table: Floats, by: int) -> Floats:
    """A reversed table, so that its columns count from where the run ends."""
    moved = np.zeros_like(table)
    moved[:, :, : table.shape[2] - by] = table[:, :, by:]
    return moved


def _best(
    log: list[list[list[float]]], word: str, phones: Sequence[int]
) -> list[tuple[int, ...]] | None:
    """The likeliest alignment of one word; among equals the one with its phones earliest."""
    minus = float("-inf")
    width = len(phones) + 1
    score = [0.0] + [minus] * (width - 1)
    steps: list[list[int]] = []
    for letter in word:
        table = log[LETTERS.index(letter)]
        new, step = [minus] * width, [0] * width
        for at in range(width):
            tries = [score[at] + table[0][0]]
            if at >= 1:
                tries.append(score[at - 1] + table[phones[at - 1]][0])
            if at >= 2:
                tries.append(score[at - 2] + table[phones[at - 2]][phones[at - 1]])
            new[at] = max(tries)
            step[at] = tries.index(new[at])
        score = new
        steps.append(step)
    if score[-1] == minus:
        return None
    runs: list[tuple[int, ...]] = []
    at = width - 1
    for step in reversed(steps):
        taken = step[at]
        runs.append(tuple(phones[at - taken : at]))
        at -= taken
    return runs[::-1]
