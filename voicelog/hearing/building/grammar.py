"""How likely words follow each other: an n-gram as a network of words, before it has labels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from voicelog.errors import ModelError
from voicelog.hearing.building.fst_files import Transducer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

BACK_OFF = -1
"""Instead of a word on an arc: to a state that knows less of what was said, without a word."""

_SHOWN = 5
"""Words named in an error."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grammar:
    """States are what is known of the words said so far; arcs are the words that may come next."""

    words: tuple[str, ...]
    start: int
    """State before the first word."""
    sources: NDArray[np.int64]
    """For each arc the state it leaves."""
    targets: NDArray[np.int64]
    """For each arc the state it leads to."""
    word_indexes: NDArray[np.int64]
    """For each arc the place of its word in `words`, or `BACK_OFF`."""
    costs: NDArray[np.float32]
    """For each arc the cost in nats: minus the logarithm of the probability."""
    final_costs: NDArray[np.float32]
    """For each state the cost in nats of ending there; infinite where no sentence ends."""


def grammar_transducer(grammar: Grammar, labelled: Sequence[str]) -> Transducer:
    """The grammar as a network whose label 1 is the first of the words `labelled`, and so on.

    Raises:
        ModelError: the grammar has words that have no label.
    """
    label_of = {word: label for label, word in enumerate(labelled, start=1)}
    missing = [word for word in grammar.words if word not in label_of]
    if missing:
        more = f" and {len(missing) - _SHOWN} more" if len(missing) > _SHOWN else ""
        raise ModelError(
            "The grammar has words whose pronunciation is not known: "
            f"{', '.join(missing[:_SHOWN])}{more}.",
            todo="Give the lexicon a pronunciation for each of them, or leave them out.",
        )
    # The last one is what BACK_OFF picks: no label.
    labels = np.array([*(label_of[word] for word in grammar.words), 0], dtype=np.int64)
    return Transducer.acceptor(
        start=grammar.start,
        final=grammar.final_costs,
        sources=grammar.sources,
        labels=labels[grammar.word_indexes],
        costs=grammar.costs,
        targets=grammar.targets,
    )
