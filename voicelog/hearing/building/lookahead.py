"""Which words can still come out of a state: what the recogniser asks before it goes there.

While a word is half said, its network's state allows only the words that begin so. The grammar's
costs of these can be told early if the set is known, and paths whose words the grammar does not
allow are never taken (Allauzen, Riley, Schalkwyk: A Generalized Composition Algorithm for Weighted
Finite-State Transducers, Interspeech 2009). Sets are kept as intervals of labels, few if labels
are given in the order of the pronunciations.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

EVERY = 0
"""The set of all labels, the end of the sentence included."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSets:
    """Sets of labels, and which of them each state has."""

    of_state: NDArray[np.int64]
    """For each state the number of its set."""
    offsets: NDArray[np.int64]
    """For each set, and one past the last, where its intervals begin in `begins` and `ends`."""
    begins: NDArray[np.int64]
    """First labels of the intervals."""
    ends: NDArray[np.int64]
    """Labels after the last ones."""
    final_label: int
    """The label that stands for the end of the sentence; no word has it."""


def label_sets(
    of_state: NDArray[np.int64],
    owners: NDArray[np.int64],
    labels: NDArray[np.int64],
    *,
    sets: int,
    words: int,
) -> LabelSets:
    """The set `EVERY` and those named by pairs of a set and a label, in any order, even twice.

    Args:
        of_state: for each state the number of its set.
        owners: for each pair the set, from 1 to `sets` - 1.
        labels: for each pair the label, from 1 to `words`.
        sets: how many sets there are, `EVERY` included.
        words: how many labels of words there are; the one after them is the end of the sentence.
    """
    width = words + 2
    pairs = np.unique(owners * width + labels)
    # Neighbours of one interval differ by one; labels of two sets are never neighbours.
    breaks = np.flatnonzero(np.diff(pairs) != 1) + 1
    opening = pairs[np.concatenate(([0], breaks))] if len(pairs) else pairs
    closing = pairs[np.concatenate((breaks - 1, [len(pairs) - 1]))] if len(pairs) else pairs
    counts = np.bincount(opening // width, minlength=sets)
    counts[EVERY] = 1
    return LabelSets(
        of_state=of_state,
        offsets=np.concatenate(([0], np.cumsum(counts))),
        begins=np.concatenate(([1], opening % width)),
        ends=np.concatenate(([words + 2], closing % width + 1)),
        final_label=words + 1,
    )
