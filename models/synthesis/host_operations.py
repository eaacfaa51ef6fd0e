"""The operations of an ONNX graph that only work out shapes and lengths, in numpy."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from float_graph import Node

Operation = Callable[..., Any]

TYPES = {1: np.float32, 6: np.int32, 7: np.int64, 9: np.bool_, 10: np.float16, 11: np.float64}
"""Types by their number in ONNX."""


def slices(
    starts: np.ndarray, ends: np.ndarray, axes: np.ndarray | None, steps: np.ndarray | None
) -> dict[int, slice]:
    """What to take along each axis."""
    numbers = range(len(starts)) if axes is None else axes.tolist()
    pace = [1] * len(starts) if steps is None else steps.tolist()
    return {
        axis: slice(start, end, step)
        for axis, start, end, step in zip(
            numbers, starts.tolist(), ends.tolist(), pace, strict=True
        )
    }


def new_shape(old: tuple[int, ...], wanted: np.ndarray) -> list[int]:
    """The shape that Reshape makes: 0 keeps an axis as it is."""
    return [old[axis] if size == 0 else size for axis, size in enumerate(wanted.tolist())]


def _slice(
    value: np.ndarray,
    starts: np.ndarray,
    ends: np.ndarray,
    axes: np.ndarray | None = None,
    steps: np.ndarray | None = None,
) -> np.ndarray:
    cuts = slices(starts, ends, axes, steps)
    return value[tuple(cuts.get(axis, slice(None)) for axis in range(value.ndim))]


def _expand(value: np.ndarray, shape: np.ndarray) -> np.ndarray:
    return value * np.ones(shape.tolist(), dtype=value.dtype)


def _unsqueeze(value: np.ndarray, axes: np.ndarray) -> np.ndarray:
    return np.expand_dims(value, tuple(axes.tolist()))


def _squeeze(value: np.ndarray, axes: np.ndarray) -> np.ndarray:
    return np.squeeze(value, tuple(axes.tolist()))


def _range(start: np.ndarray, stop: np.ndarray, step: np.ndarray) -> np.ndarray:
    return np.arange(start.item(), stop.item(), step.item())


def _divide(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    return one // other if one.dtype.kind == "i" else one / other


def _constant(node: Node) -> Operation:
    value = node.attributes.get("value", np.zeros(1, np.float32))
    return lambda shape: np.full(shape.tolist(), value.item(), value.dtype)


def _gather(node: Node) -> Operation:
    axis = node.attributes.get("axis", 0)
    return lambda value, places: np.take(value, places, axis=axis)


def _concat(node: Node) -> Operation:
    axis = node.attributes["axis"]
    return lambda *values: np.concatenate(values, axis=axis)


def _cast(node: Node) -> Operation:
    kind = TYPES[node.attributes["to"]]
    return lambda value: np.asarray(value).astype(kind)


def _transpose(node: Node) -> Operation:
    order = node.attributes["perm"]
    return lambda value: value.transpose(order)


SIMPLE: dict[str, Operation] = {
    "Add": np.add,
    "And": np.logical_and,
    "CumSum": lambda value, axis: np.cumsum(value, axis=axis.item()),
    "Div": _divide,
    "Equal": np.equal,
    "Expand": _expand,
    "Greater": np.greater,
    "GreaterOrEqual": np.greater_equal,
    "Less": np.less,
    "Mul": np.multiply,
    "NonZero": lambda value: np.array(np.nonzero(value)),
    "Range": _range,
    "Reshape": lambda value, shape: value.reshape(new_shape(value.shape, shape)),
    "Slice": _slice,
    "Sqrt": np.sqrt,
    "Squeeze": _squeeze,
    "Sub": np.subtract,
    "Unsqueeze": _unsqueeze,
    "Where": np.where,
}
"""Operations without attributes."""

WITH_ATTRIBUTES: dict[str, Callable[[Node], Operation]] = {
    "Cast": _cast,
    "Concat": _concat,
    "ConstantOfShape": _constant,
    "Gather": _gather,
    "Transpose": _transpose,
}


def host_operation(node: Node) -> Operation | None:
    """The operation in numpy, or None where there is none."""
    if node.kind in SIMPLE:
        return SIMPLE[node.kind]
    maker = WITH_ATTRIBUTES.get(node.kind)
    return maker(node) if maker else None
