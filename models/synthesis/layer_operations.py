"""The operations that hold a layer's weights: convolutions, norms and LSTMs, in PyTorch."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import torch
from float_graph import Node
from host_operations import Operation
from torch import Tensor
from torch.nn import functional

GATES = (0, 2, 3, 1)
"""Where PyTorch's input, forget, cell and output gate lie in ONNX's order."""


def _conv(node: Node) -> Operation:
    stride, pad, dilation, groups = _sliding(node)

    def run(value: Tensor, weight: Tensor, bias: Tensor | None = None) -> Tensor:
        return torch.conv1d(value, weight, bias, stride, pad, dilation, groups)

    return run


def _transposed_conv(node: Node) -> Operation:
    stride, pad, dilation, groups = _sliding(node)
    extra = node.attributes.get("output_padding", [0])[0]
    if (stride, pad, dilation, extra) == (2, 1, 1, 1) and groups > 1:
        return doubled

    def run(value: Tensor, weight: Tensor, bias: Tensor | None = None) -> Tensor:
        return torch.conv_transpose1d(value, weight, bias, stride, pad, extra, groups, dilation)

    return run


def doubled(value: Tensor, weight: Tensor, bias: Tensor) -> Tensor:
    """A transposed convolution, channel by channel, by three weights to twice the length.

    The libraries of the graphics card are slow at this one, which is three products.
    """
    before, middle, after = weight.transpose(0, 1).unbind(-1)
    following = functional.pad(value[..., 1:], (0, 1))
    odd = torch.addcmul(value * after.unsqueeze(-1), following, before.unsqueeze(-1))
    both = torch.stack([value * middle.unsqueeze(-1), odd], dim=-1)
    return both.view(*value.shape[:-1], -1) + bias.unsqueeze(-1)


def _sliding(node: Node) -> tuple[int, int, int, int]:
    """Stride, padding, dilation and groups of a convolution over time."""
    read = node.attributes.get
    pads = read("pads", [0, 0])
    if len(pads) != 2 or pads[0] != pads[1]:
        raise ValueError(f"a convolution padded by {pads} is not supported")
    return read("strides", [1])[0], pads[0], read("dilations", [1])[0], read("group", 1)


def _instance_norm(node: Node) -> Operation:
    epsilon = node.attributes["epsilon"]

    def run(value: Tensor, scale: Tensor | None = None, shift: Tensor | None = None) -> Tensor:
        if scale is not None and shift is not None:
            scale, shift = scale.reshape(-1), shift.reshape(-1)
        return torch.group_norm(value, value.shape[1], scale, shift, epsilon)

    return run


def _layer_norm(node: Node) -> Operation:
    epsilon = node.attributes.get("epsilon", 1e-5)
    return lambda value, scale, shift: functional.layer_norm(
        value, scale.shape, scale, shift, epsilon
    )


def _skip_layer_norm(node: Node) -> Operation:
    epsilon = node.attributes.get("epsilon", 1e-12)

    def run(value: Tensor, skip: Tensor, scale: Tensor, shift: Tensor) -> Tensor:
        return functional.layer_norm(value + skip, scale.shape, scale, shift, epsilon)

    return run


def _lstm(node: Node) -> Operation:
    """An LSTM whose states begin at zero; the weights are set when it first runs."""
    hidden = node.attributes["hidden_size"]
    made: list[torch.nn.LSTM] = []

    def run(value: Tensor, weights: np.ndarray, recurrent: np.ndarray, bias: np.ndarray) -> Tensor:
        if not made:
            made.append(torch_lstm(weights, recurrent, bias, hidden).to(value.device))
        outputs, _ = made[0](value)
        return outputs.view(*value.shape[:2], len(weights), hidden).transpose(1, 2)

    return run


def torch_lstm(
    weights: np.ndarray, recurrent: np.ndarray, bias: np.ndarray, hidden: int
) -> torch.nn.LSTM:
    """PyTorch's LSTM with the weights of ONNX's: one or two directions, gates in another order."""
    lstm = torch.nn.LSTM(weights.shape[2], hidden, bidirectional=len(weights) == 2)

    def ordered(gates: np.ndarray) -> Tensor:
        parts = np.split(gates, 4)
        return torch.from_numpy(np.concatenate([parts[at] for at in GATES]))

    for way, suffix in enumerate(["", "_reverse"][: len(weights)]):
        inner, outer = np.split(bias[way], 2)
        for name, gates in (
            ("weight_ih", weights[way]),
            ("weight_hh", recurrent[way]),
            ("bias_ih", inner),
            ("bias_hh", outer),
        ):
            getattr(lstm, f"{name}_l0{suffix}").data.copy_(ordered(gates))
    return lstm.requires_grad_(False).eval()


LAYERS: dict[str, Callable[[Node], Operation]] = {
    "Conv": _conv,
    "ConvTranspose": _transposed_conv,
    "InstanceNorm": _instance_norm,
    "LSTM": _lstm,
    "LayerNormalization": _layer_norm,
    "SkipLayerNormalization": _skip_layer_norm,
}
"""Makers of the operations by their names."""
