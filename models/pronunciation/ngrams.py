"""N-grams of letters with their sounds: interpolated modified Kneser-Ney, then pruning.

A sequence holds token ids of one byte; 0 begins and 255 ends it. An n-gram of up to eight tokens
is one unsigned integer of 64 bits, its last token in the lowest byte.

Sources: Chen and Goodman 1999 (modified Kneser-Ney), Seymore and Rosenfeld 1996 (pruning by
weighted difference).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voicelog.hearing.building.spelling_to_sound import BEGIN, END

Keys = NDArray[np.uint64]
Floats = NDArray[np.float64]

_BYTE = np.uint64(8)

_NEVER = 1e-9
"""The chance of a token that never comes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """All n-grams of one length."""

    keys: Keys
    """Sorted."""
    count: Floats
    """How often each was seen."""
    chance: Floats
    """Natural logarithm of the last token's chance after the others."""
    backoff: Floats
    """Natural logarithm of the weight of the shorter history where this one says nothing."""


def estimate(sequences: Sequence[bytes], longest: int, vocabulary: int) -> list[Order]:
    """N-grams of one to `longest` tokens; `vocabulary` is how many tokens there are."""
    seen = [_counted(sequences, length) for length in range(1, longest + 1)]
    orders: list[Order] = []
    below: Floats | None = None
    backoffs: list[Floats] = []
    for length, (keys, count) in enumerate(seen, start=1):
        weight = (
            count if length == longest else _continuations(keys, count, seen[length][0], length)
        )
        groups, starts = np.unique(keys >> _BYTE, return_index=True)
        sizes = np.diff(np.append(starts, len(keys)))
        if length == 1:
            weight[0] = 0.0  # nothing is followed by the token that begins a word
        discount = np.minimum(_discounts(weight), weight)
        total = np.add.reduceat(weight, starts)
        spare = np.add.reduceat(discount, starts) / total
        shorter = (
            np.full(len(keys), 1.0 / vocabulary)
            if below is None
            else below[np.searchsorted(seen[length - 2][0], keys & _mask(length - 1))]
        )
        chance = (weight - discount) / np.repeat(total, sizes) + np.repeat(spare, sizes) * shorter
        if length == 1:
            chance[0] = _NEVER
        else:
            backoff = np.zeros(len(seen[length - 2][0]))
            backoff[np.searchsorted(seen[length - 2][0], groups)] = np.log(spare)
            backoffs.append(backoff)
        below = chance
        orders.append(Order(keys=keys, count=count, chance=np.log(chance), backoff=chance))
    backoffs.append(np.zeros(len(orders[-1].keys)))
    return [
        Order(keys=o.keys, count=o.count, chance=o.chance, backoff=backoff)
        for o, backoff in zip(orders, backoffs, strict=True)
    ]


def prune(orders: Sequence[Order], least: float) -> list[Order]:
    """Drop n-grams that say little more than the shorter ones, and settle the weights anew.

    An n-gram goes when it is the history of no other and its count times the logarithm of how
    much likelier it makes its last token is below `least`.
    """
    kept = [order.keys for order in orders]
    for length in range(len(orders), 1, -1):
        order, lower = orders[length - 1], orders[length - 2]
        shorter = lower.chance[np.searchsorted(lower.keys, order.keys & _mask(length - 1))]
        history = lower.backoff[np.searchsorted(lower.keys, order.keys >> _BYTE)]
        keep = order.count * np.abs(order.chance - history - shorter) >= least
        if length < len(orders):
            keep |= np.isin(order.keys, kept[length] >> _BYTE)
        kept[length - 1] = order.keys[keep]
    pruned = []
    for length, (order, keys) in enumerate(zip(orders, kept, strict=True), start=1):
        at = np.searchsorted(order.keys, keys)
        longer = orders[length] if length < len(orders) else None
        backoff = (
            np.zeros(len(keys))
            if longer is None
            else _weights(keys, kept[length], longer, order, length)
        )
        pruned.append(
            Order(keys=keys, count=order.count[at], chance=order.chance[at], backoff=backoff)
        )
    return pruned


def _weights(keys: Keys, children: Keys, longer: Order, order: Order, length: int) -> Floats:
    """The backoff weight of each history, from the chance its kept n-grams leave over."""
    mine = np.exp(longer.chance[np.searchsorted(longer.keys, children)])
    shorter = np.exp(order.chance[np.searchsorted(order.keys, children & _mask(length))])
    parent = np.searchsorted(keys, children >> _BYTE)
    left = 1.0 - np.bincount(parent, mine, len(keys))
    left_below = 1.0 - np.bincount(parent, shorter, len(keys))
    return np.log(np.maximum(left, 1e-6) / np.maximum(left_below, 1e-6))


def _counted(sequences: Sequence[bytes], length: int) -> tuple[Keys, Floats]:
    """The n-grams of one length, sorted, and how often each is seen."""
    joined = b"".join(bytes((BEGIN,)) + tokens + bytes((END,)) for tokens in sequences)
    tokens = np.frombuffer(joined, dtype=np.uint8)
    begins = np.cumsum(tokens == BEGIN)
    size = len(tokens) - length + 1
    keys = np.zeros(size, dtype=np.uint64)
    for step in range(length):
        keys = (keys << _BYTE) | tokens[step : step + size]
    whole = begins[:size] == begins[length - 1 :]
    if length == 1:
        whole &= tokens != BEGIN
    found, count = np.unique(keys[whole], return_counts=True)
    if length == 1:  # a history that no token follows in itself
        found, count = np.append(np.uint64(BEGIN), found), np.append(1, count)
    return found, count.astype(np.float64)


def _continuations(keys: Keys, count: Floats, longer: Keys, length: int) -> Floats:
    """How many different tokens come before each n-gram; those that begin keep their count."""
    suffix = np.searchsorted(keys, longer & _mask(length))
    before = np.bincount(suffix, minlength=len(keys)).astype(np.float64)
    return np.where(before > 0, before, count)


def _discounts(weight: Floats) -> Floats:
    """What Kneser-Ney takes from each n-gram: by its count, 1, 2, or 3 and more."""
    n1, n2, n3, n4 = (max(1.0, float((weight == times).sum())) for times in (1, 2, 3, 4))
    share = n1 / (n1 + 2 * n2)
    steps = (1 - 2 * share * n2 / n1, 2 - 3 * share * n3 / n2, 3 - 4 * share * n4 / n3)
    one, two, more = (min(max(step, 0.1), 0.9 * (at + 1)) for at, step in enumerate(steps))
    return np.where(weight < 1.5, one, np.where(weight < 2.5, two, more))


def _mask(tokens: int) -> np.uint64:
    return np.uint64((1 << (8 * tokens)) - 1)
