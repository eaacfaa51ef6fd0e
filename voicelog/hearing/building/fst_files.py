"""Weighted finite-state transducers in the binary files of OpenFst, which the recogniser reads.

Two kinds are written: `const`, a table of states and a table of arcs; and `olabel_lookahead`, the
same followed by what can still be output from each state (`lookahead`). Numbers are little-endian;
the layout is that of OpenFst 1.6 to 1.8, arcs of the kind `standard` (costs in nats, float32).
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import TYPE_CHECKING, Self

import numpy as np

from voicelog.hearing.building.lookahead import LabelSets

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

ARC = np.dtype([("input", "<i4"), ("output", "<i4"), ("cost", "<f4"), ("target", "<i4")])

_STATE = np.dtype(
    [
        ("final", "<f4"),
        ("first_arc", "<u4"),
        ("arcs", "<u4"),
        ("input_epsilons", "<u4"),
        ("output_epsilons", "<u4"),
    ]
)

_MAGIC = 2125659606
_ADD_ON_MAGIC = 446681434
_CONST_VERSION, _ADD_ON_VERSION = 2, 1

_EXPANDED = 1 << 0
_ACCEPTOR, _NOT_ACCEPTOR = 1 << 16, 1 << 17
_INPUT_SORTED, _OUTPUT_SORTED = 1 << 28, 1 << 30
_WEIGHTED = 1 << 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Transducer:
    """States from 0 on; state 0 to `len(final)`, and the arcs between them."""

    start: int
    final: NDArray[np.float32]
    """For each state the cost of ending there, infinite where one cannot."""
    sources: NDArray[np.int64]
    """For each arc the state it leaves; in ascending order."""
    arcs: NDArray[np.void]
    """In the layout `ARC`; the label 0 is none."""
    properties: int
    """What readers may rely on without looking."""

    @classmethod
    def acceptor(
        cls,
        *,
        start: int,
        final: NDArray[np.float32],
        sources: NDArray[np.int64],
        labels: NDArray[np.int64],
        costs: NDArray[np.float32],
        targets: NDArray[np.int64],
    ) -> Self:
        """One whose arcs output what they take in; they are sorted by label."""
        order, arcs = _sorted_arcs(sources, labels, labels, costs, targets, key=labels)
        return cls(
            start=start,
            final=final,
            sources=sources[order],
            arcs=arcs,
            properties=_EXPANDED | _ACCEPTOR | _INPUT_SORTED | _OUTPUT_SORTED | _WEIGHTED,
        )

    @classmethod
    def sorted_by_output(
        cls,
        *,
        start: int,
        final: NDArray[np.float32],
        sources: NDArray[np.int64],
        inputs: NDArray[np.int64],
        outputs: NDArray[np.int64],
        costs: NDArray[np.float32],
        targets: NDArray[np.int64],
    ) -> Self:
        """One that can be joined with another by its outputs."""
        order, arcs = _sorted_arcs(sources, inputs, outputs, costs, targets, key=outputs)
        return cls(
            start=start,
            final=final,
            sources=sources[order],
            arcs=arcs,
            properties=_EXPANDED | _NOT_ACCEPTOR | _OUTPUT_SORTED | _WEIGHTED,
        )


def const_file(transducer: Transducer) -> bytes:
    """The bytes of a file of the kind `const`."""
    header = _header(
        "const",
        _CONST_VERSION,
        transducer.properties,
        start=transducer.start,
        states=len(transducer.final),
        arcs=len(transducer.arcs),
    )
    return header + _state_table(transducer).tobytes() + transducer.arcs.tobytes()


def lookahead_file(transducer: Transducer, reachable: LabelSets) -> bytes:
    """The bytes of a file of the kind `olabel_lookahead`.

    The file has room for two sets of look-ahead, by input and by output; only the latter is in it.
    Of the latter it could also say how its labels were called before; they were never otherwise.
    """
    header = _header("olabel_lookahead", _ADD_ON_VERSION, transducer.properties)
    by_input, by_output = False, True
    add_on = struct.pack("<???", True, by_input, by_output)
    reach_input, keeps_old_labels = False, False
    facts = struct.pack(
        "<??iq", reach_input, keeps_old_labels, reachable.final_label, len(reachable.of_state)
    )
    return b"".join(
        (
            header,
            struct.pack("<i", _ADD_ON_MAGIC),
            const_file(transducer),
            add_on,
            facts,
            _interval_sets(reachable),
        )
    )


def _header(
    kind: str, version: int, properties: int, *, start: int = -1, states: int = 0, arcs: int = 0
) -> bytes:
    flags = 0
    return b"".join(
        (
            struct.pack("<i", _MAGIC),
            _text(kind),
            _text("standard"),
            struct.pack("<iiQqqq", version, flags, properties, start, states, arcs),
        )
    )


def _text(text: str) -> bytes:
    return struct.pack("<i", len(text)) + text.encode("ascii")


def _sorted_arcs(
    sources: NDArray[np.int64],
    inputs: ArrayLike,
    outputs: ArrayLike,
    costs: ArrayLike,
    targets: ArrayLike,
    *,
    key: NDArray[np.int64],
) -> tuple[NDArray[np.intp], NDArray[np.void]]:
    """The order of the arcs by source and `key`, and the arcs in it."""
    order = np.lexsort((key, sources))
    arcs = np.empty(len(sources), dtype=ARC)
    arcs["input"], arcs["output"], arcs["cost"], arcs["target"] = inputs, outputs, costs, targets
    return order, arcs[order]


def _state_table(transducer: Transducer) -> NDArray[np.void]:
    count = len(transducer.final)
    states = np.zeros(count, dtype=_STATE)
    states["final"] = transducer.final
    states["arcs"] = np.bincount(transducer.sources, minlength=count)
    states["first_arc"] = np.cumsum(states["arcs"]) - states["arcs"]
    for field, side in (("input_epsilons", "input"), ("output_epsilons", "output")):
        empty = transducer.sources[transducer.arcs[side] == 0]
        states[field] = np.bincount(empty, minlength=count)
    return states


def _interval_sets(reachable: LabelSets) -> bytes:
    """For each state: how many intervals (int64), their ends (int32 pairs), how many labels."""
    first = reachable.offsets[reachable.of_state]
    counts = reachable.offsets[reachable.of_state + 1] - first
    ends = np.cumsum(3 + 2 * counts)
    words = np.zeros(int(ends[-1]), dtype="<i4")
    words[ends - 3 - 2 * counts] = counts  # the upper half of the int64 stays 0
    state = np.repeat(np.arange(len(counts)), counts)
    within = np.arange(len(state)) - np.repeat(np.cumsum(counts) - counts, counts)
    place = ends[state] - 1 - 2 * counts[state] + 2 * within
    words[place] = reachable.begins[first[state] + within]
    words[place + 1] = reachable.ends[first[state] + within]
    words[ends - 1] = np.bincount(
        state, weights=words[place + 1] - words[place], minlength=len(counts)
    )
    return words.tobytes()
