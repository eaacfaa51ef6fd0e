"""The operations of an ONNX graph on tensors of the graphics card (or of the CPU), in PyTorch."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import torch
from float_graph import Node
from host_operations import Operation, new_shape, slices
from layer_operations import LAYERS
from torch import Tensor
from torch.nn import functional

TYPES = {1: torch.float32, 6: torch.int32, 7: torch.int64, 9: torch.bool}
"""Types by their number in ONNX."""

HOST_ARGUMENTS: dict[str, frozenset[int]] = {
    "Clip": frozenset({1, 2}),
    "CumSum": frozenset({1}),
    "Expand": frozenset({1}),
    "LSTM": frozenset({1, 2, 3}),
    "Pad": frozenset({1}),
    "Pow": frozenset({1}),
    "ReduceMean": frozenset({1}),
    "ReduceSum": frozenset({1}),
    "Reshape": frozenset({1}),
    "Resize": frozenset({1, 2, 3}),
    "STFT": frozenset({1, 2, 3}),
    "Slice": frozenset({1, 2, 3, 4}),
    "Split": frozenset({1}),
    "Squeeze": frozenset({1}),
    "Unsqueeze": frozenset({1}),
}
"""Arguments, by their place, that stay numpy arrays: shapes, axes and the like."""

HAIR = 1e-20
"""A number that is positive and as good as zero."""


def _slice(
    value: Tensor,
    starts: np.ndarray,
    ends: np.ndarray,
    axes: np.ndarray | None = None,
    steps: np.ndarray | None = None,
) -> Tensor:
    cuts = slices(starts, ends, axes, steps)
    cuts = {axis % value.ndim: cut for axis, cut in cuts.items()}
    return value[tuple(cuts.get(axis, slice(None)) for axis in range(value.ndim))]


def _unsqueeze(value: Tensor, axes: np.ndarray) -> Tensor:
    size = value.ndim + len(axes)
    for axis in sorted(axis % size for axis in axes.tolist()):
        value = value.unsqueeze(axis)
    return value


def _squeeze(value: Tensor, axes: np.ndarray) -> Tensor:
    return value.squeeze(tuple(axes.tolist()))


def _expand(value: Tensor, shape: np.ndarray) -> Tensor:
    return value.expand(torch.broadcast_shapes(value.shape, shape.tolist()))


def _linear(value: Tensor, weight: Tensor, bias: Tensor | None = None) -> Tensor:
    flat = value.reshape(-1, weight.shape[0])
    product = torch.mm(flat, weight) if bias is None else torch.addmm(bias, flat, weight)
    return product.view(*value.shape[:-1], weight.shape[1])


def _snake(value: Tensor, pitch: Tensor, height: Tensor) -> Tensor:
    wave = torch.mul(value, pitch).sin_()
    return torch.addcmul(value, wave.mul_(wave), height)


def _reflect(value: Tensor, pads: np.ndarray) -> Tensor:
    before, after = np.split(pads, 2)
    return functional.pad(value, (int(before[-1]), int(after[-1])), mode="reflect")


def _scatter(value: Tensor, places: Tensor, updates: Tensor) -> Tensor:
    changed = value.clone()
    changed[tuple(places.unbind(-1))] = updates
    return changed


def _clip(value: Tensor, low: np.ndarray | None = None, high: np.ndarray | None = None) -> Tensor:
    return value.clamp(None if low is None else low.item(), None if high is None else high.item())


def _stft(_node: Node) -> Operation:
    """Spectra as (1, frames, frequencies, 2). In doubles: the angle of a weak part counts.

    The lowest and highest frequency are real: a hair above zero, their angle when negative is +π,
    as a Fourier transform of real numbers leaves it.
    """
    made: list[Tensor] = []  # the table is put on the device once

    def run(signal: Tensor, hop: np.ndarray, window: np.ndarray, length: np.ndarray) -> Tensor:
        if not made:
            made.append(torch.from_numpy(fourier_table(window, int(length))).to(signal.device))
        spectra = signal.unfold(-1, int(length), int(hop)).double() @ made[0]
        spectra[..., 1] = HAIR
        spectra[..., -1] = HAIR
        return spectra.float().view(*spectra.shape[:-1], -1, 2)

    return run


def fourier_table(window: np.ndarray, size: int) -> np.ndarray:
    """What turns `size` samples into the real and imaginary parts of each frequency."""
    turn = np.outer(np.arange(size), np.arange(size // 2 + 1)) % size * (2 * np.pi / size)
    parts = np.stack([np.cos(turn), -np.sin(turn)], axis=-1) * window[:, None, None]
    return parts.reshape(size, -1).astype(np.float64)


def _gather(node: Node) -> Operation:
    axis = node.attributes.get("axis", 0)

    def run(value: Tensor, places: Tensor | float) -> Tensor:
        if isinstance(places, float):
            return value.select(axis, int(places))
        if axis == 0 and value.ndim == 2:
            return functional.embedding(places, value)
        taken = value.index_select(axis, places.reshape(-1))
        return taken.view(*value.shape[:axis], *places.shape, *value.shape[axis + 1 :])

    return run


def _reduced(function: Callable[..., Tensor]) -> Callable[[Node], Operation]:
    def maker(node: Node) -> Operation:
        keep = bool(node.attributes.get("keepdims", 1))
        return lambda value, axes: function(value, dim=tuple(axes.tolist()), keepdim=keep)

    return maker


def _resize(node: Node) -> Operation:
    """Along the last axis, to the nearest or straight between the samples."""
    nearest = node.attributes["mode"] == b"nearest"

    def run(value: Tensor, _region: object, scales: np.ndarray) -> Tensor:
        scale = float(scales[-1])
        if nearest:
            longer = value.unsqueeze(-1).expand(*value.shape, round(scale))
            return longer.reshape(*value.shape[:-1], -1)
        size = int(value.shape[-1] * scale + 1e-3)
        return functional.interpolate(value, size=size, mode="linear", align_corners=False)

    return run


def _fused_product(node: Node) -> Operation:
    first, second = node.attributes.get("transA", 0), node.attributes.get("transB", 0)
    alpha = node.attributes.get("alpha", 1.0)

    def run(one: Tensor, other: Tensor) -> Tensor:
        product = torch.matmul(one.mT if first else one, other.mT if second else other)
        return product if alpha == 1.0 else product * alpha

    return run


def _fast_gelu(value: Tensor, bias: Tensor) -> Tensor:
    return functional.gelu(value + bias, approximate="tanh")


SIMPLE: dict[str, Operation] = {
    "Add": torch.add,
    "Atan": torch.atan,
    "Clip": _clip,
    "Cos": torch.cos,
    "CumSum": lambda value, axis: torch.cumsum(value, dim=axis.item()),
    "Div": torch.div,
    "Exp": torch.exp,
    "Expand": _expand,
    "FastGelu": _fast_gelu,
    "Floor": torch.floor,
    "Greater": torch.gt,
    "Less": torch.lt,
    "Linear": _linear,
    "MatMul": torch.matmul,
    "Mul": torch.mul,
    "Pad": _reflect,
    "Pow": lambda value, power: torch.pow(value, power.item()),
    "Reshape": lambda value, shape: value.reshape(new_shape(value.shape, shape)),
    "Round": torch.round,
    "ScatterND": _scatter,
    "Sigmoid": torch.sigmoid,
    "Sin": torch.sin,
    "Slice": _slice,
    "Snake": _snake,
    "Sqrt": torch.sqrt,
    "Squeeze": _squeeze,
    "Sub": torch.sub,
    "Tanh": torch.tanh,
    "Unsqueeze": _unsqueeze,
    "Where": torch.where,
}
"""Operations without attributes."""


def _maker(attribute: str, default: Any, function: Callable[..., Tensor]) -> Any:
    """An operation that takes one attribute as its last argument."""

    def maker(node: Node) -> Operation:
        setting = node.attributes.get(attribute, default)
        return lambda value: function(value, setting)

    return maker


def _split(node: Node) -> Operation:
    axis = node.attributes.get("axis", 0)
    return lambda value, sizes: torch.split(value, sizes.tolist(), dim=axis)


def _concat(node: Node) -> Operation:
    axis = node.attributes["axis"]
    return lambda *values: torch.cat(values, dim=axis)


def _cast(node: Node) -> Operation:
    kind = TYPES[node.attributes["to"]]
    return lambda value: value.to(kind)


WITH_ATTRIBUTES: dict[str, Callable[[Node], Operation]] = {
    **LAYERS,
    "Cast": _cast,
    "Concat": _concat,
    "FusedMatMul": _fused_product,
    "Gather": _gather,
    "LeakyRelu": _maker("alpha", 0.01, functional.leaky_relu),
    "ReduceMean": _reduced(torch.mean),
    "ReduceSum": _reduced(torch.sum),
    "Resize": _resize,
    "STFT": _stft,
    "Softmax": _maker("axis", -1, torch.softmax),
    "Split": _split,
    "Transpose": _maker("perm", None, torch.permute),
}


def device_operation(node: Node) -> Operation:
    """The operation in PyTorch.

    Raises ValueError for an operation that is not known.
    """
    if node.kind in SIMPLE:
        return SIMPLE[node.kind]
    if node.kind in WITH_ATTRIBUTES:
        return WITH_ATTRIBUTES[node.kind](node)
    raise ValueError(f"the operation {node.kind} of the graph is not known")
