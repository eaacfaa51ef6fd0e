"""Run an ONNX graph in PyTorch: floats on the graphics card, shapes and lengths in numpy.

Whether a value lives on the device or on the host is settled when the plan is made, so that a run
waits for the card only where the graph itself turns numbers of the device into whole counts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import torch
from device_operations import HOST_ARGUMENTS, device_operation
from float_graph import Graph, Node, make_float, read_graph
from fused_graph import fuse
from host_operations import Operation, host_operation

INT64 = 7
"""ONNX's number of the type; a cast to it on the device brings the counts to the host."""

Amend = Callable[[np.ndarray], np.ndarray]


@dataclass(frozen=True, slots=True)
class _Step:
    """One operation with the slots it reads, writes and empties."""

    run: Operation
    reads: tuple[int, ...]
    writes: tuple[int, ...]
    empties: tuple[int, ...]


class Plan:
    """A graph made ready to run many times on one device."""

    def __init__(self, model: bytes, device: str, amend_counts: Amend | None = None) -> None:
        """Read the bytes of an ONNX file.

        `amend_counts` may change the counts that the graph works out for itself before anything
        is built upon them. Raises ValueError for a graph that cannot be run.
        """
        graph = read_graph(model)
        make_float(graph)
        _fold(graph)
        fuse(graph)
        self._device = torch.device(device)
        self._amend = amend_counts
        self._slots: dict[str, int] = {"": 0}
        self._values: list[object] = [None]
        self._on_device: set[str] = set()
        self._inputs = graph.inputs
        for name in graph.inputs:
            self._slot(name)
        self._constants = graph.constants
        self._steps = self._freeing(
            [step for node in graph.nodes for step in self._plan(node)], graph
        )
        self._output = self._slots[graph.outputs[0]]

    def __len__(self) -> int:
        return len(self._steps)

    @torch.inference_mode()
    def run(self, **inputs: np.ndarray) -> torch.Tensor:
        """The graph's first output, on the device.

        Raises KeyError where an input is missing.
        """
        values = self._values.copy()
        for name in self._inputs:
            values[self._slots[name]] = inputs[name]
        for step in self._steps:
            result = step.run(*[values[slot] for slot in step.reads])
            if len(step.writes) == 1:
                values[step.writes[0]] = result
            else:
                for slot, part in zip(step.writes, result, strict=True):
                    values[slot] = part
            for slot in step.empties:
                values[slot] = None
        output = values[self._output]
        assert isinstance(output, torch.Tensor)
        return output

    def _slot(self, name: str) -> int:
        if name not in self._slots:
            self._slots[name] = len(self._values)
            self._values.append(None)
        return self._slots[name]

    def _plan(self, node: Node) -> list[_Step]:
        """The steps of a node, with the copies to the device that it needs."""
        if node.kind == "Shape":
            run: Operation = lambda value: np.array(value.shape)  # noqa: E731
            return [self._step(run, [self._slot(node.inputs[0])], node.outputs)]
        if not self._on_device.intersection(node.inputs) and not self._is_heavy(node):
            run_here = host_operation(node)
            if run_here is not None:
                reads = [self._host_slot(name) for name in node.inputs]
                return [self._step(run_here, reads, node.outputs)]
        return self._plan_on_device(node)

    def _is_heavy(self, node: Node) -> bool:
        """Whether it works on the graph's float inputs or on large tables."""
        if node.kind == "Gather":
            table = self._constants.get(node.inputs[0])
            return table is not None and table.dtype == np.float32 and table.ndim > 1
        return any(name in self._inputs and name != self._inputs[0] for name in node.inputs)

    def _plan_on_device(self, node: Node) -> list[_Step]:
        host = HOST_ARGUMENTS.get(node.kind, frozenset())
        steps: list[_Step] = []
        reads = []
        for place, name in enumerate(node.inputs):
            if place in host or not name:
                reads.append(self._host_slot(name))
            elif name in self._on_device:
                reads.append(self._slots[name])
            else:
                reads.append(self._copied(name, steps))
        run = device_operation(node)
        if node.kind == "Cast" and node.attributes["to"] == INT64:
            return [*steps, self._step(self._counts, reads, node.outputs)]
        self._on_device.update(node.outputs)
        return [*steps, self._step(run, reads, node.outputs)]

    def _counts(self, value: torch.Tensor) -> np.ndarray:
        counts = value.cpu().numpy().astype(np.int64)
        return self._amend(counts) if self._amend else counts

    def _step(self, run: Operation, reads: list[int], outputs: tuple[str, ...]) -> _Step:
        return _Step(run, tuple(reads), tuple(self._slot(name) for name in outputs), ())

    def _host_slot(self, name: str) -> int:
        slot = self._slot(name)
        if name in self._constants:
            self._values[slot] = self._constants[name]
        return slot

    def _copied(self, name: str, steps: list[_Step]) -> int:
        """The slot of a host value's copy on the device: constants now, others at every run."""
        copy = f"{name} on the device"
        if copy in self._slots:
            return self._slots[copy]
        slot = self._slot(copy)
        constant = self._constants.get(name)
        if constant is None:
            steps.append(self._step(self._copy, [self._slots[name]], (copy,)))
        elif constant.size == 1 and constant.ndim == 0:
            self._values[slot] = float(constant)  # a number needs no place on the device
        else:
            self._values[slot] = self._to_device(constant)
        return slot

    def _copy(self, value: np.ndarray) -> torch.Tensor | float:
        if value.size == 1 and value.ndim <= 1 and value.dtype.kind == "f":
            return float(value.item())  # a number needs no copy, and so no wait
        return self._to_device(value)

    def _to_device(self, value: np.ndarray) -> torch.Tensor:
        return torch.from_numpy(np.array(value)).to(self._device)

    def _freeing(self, steps: list[_Step], graph: Graph) -> list[_Step]:
        """The same steps, each emptying the slots that none after it reads."""
        kept = {slot for slot, value in enumerate(self._values) if value is not None}
        kept.update(self._slots[name] for name in graph.outputs)
        freed = []
        for step in reversed(steps):
            last = {slot for slot in (*step.reads, *step.writes) if slot not in kept}
            kept.update(last)
            freed.append(_Step(step.run, step.reads, step.writes, tuple(last)))
        return freed[::-1]


def _fold(graph: Graph) -> None:
    """Work out whatever rests on constants alone."""
    left = []
    for node in graph.nodes:
        run = host_operation(node) if all(i in graph.constants for i in node.inputs) else None
        if run is None:
            left.append(node)
        else:
            result = run(*[graph.constants[name] for name in node.inputs])
            graph.constants[node.outputs[0]] = np.asarray(result)
    graph.nodes = left
    graph.drop_unused()
