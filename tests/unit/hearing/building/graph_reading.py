"""Graph files read back number by number, and followed arc by arc."""

from __future__ import annotations

import math
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from voicelog.hearing.building.phones import BASE_PHONES, Pronunciation

MAGIC = 2125659606
ADD_ON_MAGIC = 446681434


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    input: int
    output: int
    cost: float
    target: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadGraph:
    start: int
    properties: int
    final: list[float]
    arcs: list[list[Arc]]
    epsilons: list[tuple[int, int]]
    """For each state how many arcs the file says have no input, and no output."""
    intervals: list[list[tuple[int, int]]]
    """For each state; none in a file without look-ahead."""
    counts: list[int]
    final_label: int
    const_part: bytes

    def outputs(self, inputs: Sequence[int]) -> set[tuple[tuple[int, ...], float]]:
        """All ways from the start to an end over exactly these inputs: outputs, cost."""
        found = set()
        waiting = [(self.start, 0, (), 0.0)]
        while waiting:
            state, taken, said, cost = waiting.pop()
            if taken == len(inputs) and math.isfinite(self.final[state]):
                found.add((said, round(cost + self.final[state], 4)))
            for arc in self.arcs[state]:
                here = (*said, arc.output) if arc.output else said
                if arc.input == 0:
                    waiting.append((arc.target, taken, here, cost + arc.cost))
                elif taken < len(inputs) and arc.input == inputs[taken]:
                    waiting.append((arc.target, taken + 1, here, cost + arc.cost))
        return found

    def next_labels(self, state: int) -> set[int]:
        """What can be output first after a state; -1 is the end."""
        labels, seen, waiting = set(), {state}, [state]
        while waiting:
            here = waiting.pop()
            if math.isfinite(self.final[here]):
                labels.add(-1)
            for arc in self.arcs[here]:
                if arc.output:
                    labels.add(arc.output)
                elif arc.target not in seen:
                    seen.add(arc.target)
                    waiting.append(arc.target)
        return labels


class _Bytes:
    def __init__(self, data: bytes) -> None:
        self.data, self.at = data, 0

    def take(self, form: str) -> tuple[int | float | bool, ...]:
        values = struct.unpack_from("<" + form, self.data, self.at)
        self.at += struct.calcsize("<" + form)
        return values

    def header(self) -> tuple[str, int, int, int, int, int]:
        """Kind, version, properties, start, states, arcs."""
        assert self.take("i") == (MAGIC,)
        kind, arc = self.text(), self.text()
        assert arc == "standard"
        version, flags, *rest = self.take("iiQqqq")
        assert flags == 0
        return kind, version, *rest

    def text(self) -> str:
        (length,) = self.take("i")
        self.at += length
        return self.data[self.at - length : self.at].decode()


def read_graph(file: Path) -> ReadGraph:
    """Read a file of the kind `const` or `olabel_lookahead`; every byte of it must be used."""
    data = _Bytes(file.read_bytes())
    kind, version, outer, start, states, count = data.header()
    const_from = 0
    if kind == "olabel_lookahead":
        assert (version, start, states, count) == (1, -1, 0, 0)
        assert data.take("i") == (ADD_ON_MAGIC,)
        const_from = data.at
        kind, version, properties, start, states, count = data.header()
        assert properties == outer
    assert (kind, version) == ("const", 2)
    rows = [data.take("fIIII") for _ in range(states)]
    arcs = [
        Arc(input=one[0], output=one[1], cost=one[2], target=one[3])
        for one in (data.take("iifi") for _ in range(count))
    ]
    const_part = data.data[const_from : data.at]
    intervals: list[list[tuple[int, int]]] = []
    counts: list[int] = []
    final_label = 0
    if const_from:
        assert data.take("???") == (True, False, True)
        assert data.take("??") == (False, False)
        final_label, sets = data.take("iq")
        assert sets == states
        for _ in range(sets):
            (length,) = data.take("q")
            intervals.append([data.take("ii") for _ in range(length)])
            counts += data.take("i")
    assert data.at == len(data.data)
    assert [row[1] for row in rows] == [sum(row[2] for row in rows[:n]) for n in range(states)]
    return ReadGraph(
        start=start,
        properties=outer,
        final=[row[0] for row in rows],
        arcs=[arcs[row[1] : row[1] + row[2]] for row in rows],
        epsilons=[(row[3], row[4]) for row in rows],
        intervals=intervals,
        counts=counts,
        final_label=final_label,
        const_part=const_part,
    )


def read_words(file: Path) -> list[str]:
    """The words in the order of their labels, nothing (0) first."""
    lines = [line.split(" ") for line in file.read_text("utf-8").splitlines()]
    assert [int(number) for _, number in lines] == list(range(len(lines)))
    return [word for word, _ in lines]


def spoken(pronunciation: Pronunciation, before: str = "SIL", each: int = 2) -> Iterator[int]:
    """The transitions of a word said after a phone, every sound `each` times three frames long."""
    for place, phone in enumerate(pronunciation):
        if len(pronunciation) == 1:
            position = 3
        elif place == 0:
            position = 0
        else:
            position = 1 if place == len(pronunciation) - 1 else 2
        number = 2 + 4 * (BASE_PHONES.index(phone) - 1) + position
        yield from transitions(number, before, each)
        before = phone


def silence(before: str, each: int = 2) -> list[int]:
    """The transitions of silence after a phone."""
    return transitions(1, before, each)


def transitions(number: int, before: str, each: int) -> list[int]:
    state = 40 * (number - 1) + BASE_PHONES.index(before)
    return [2 * state + 2] + [2 * state + 1] * (each - 1)
