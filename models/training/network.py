"""The factored time-delay network (TDNN-F) that Vosk's small models use, in PyTorch.

Weights are kept as Kaldi's matrices: one row an output, the columns of earlier frames first. So
every layer is a matrix product over frames laid side by side, and parameters go to and from
`final.mdl` without being turned around.
"""

from __future__ import annotations

import numpy as np
import torch
from torch import nn
from torch.nn import functional

from models.training.acoustic_model_file import AcousticModelFile, Component

FEATURES = 40
HIDDEN = 768
BOTTLENECK = 64
OUTPUTS = 3200
"""A forward and a self-loop output for each pair of a phone and the one to its left (40 x 40)."""
CONTEXT_FRAMES = 34
"""Frames of 10 ms that an output sees on each side of its own."""
FRAMES_PER_OUTPUT = 3
BYPASS = 0.66
"""How much of a layer's input is added to its output."""
BATCH_NORM_EPSILON = 1e-3
FULL_RATE_STRIDES = (1, 1, 1)
"""Layers 2 to 4 join frames 10 ms apart; layer 5 joins none, and after it frames are 30 ms apart
and layers 6 to 15 join neighbours."""
THINNED_STRIDES = (0, *([1] * 10))
FIRST_FACTORED_LAYER = 2
START_OUTPUT_GAIN = 0.3
"""New outputs begin small, so that the first steps are led by the language, not by chance."""


class FactoredLayer(nn.Module):
    """A weight matrix in two factors, each over one or two frames, with a bypass around both."""

    def __init__(self, stride: int) -> None:
        super().__init__()
        self.stride = stride
        frames = 2 if stride else 1
        self.linear = nn.Linear(frames * HIDDEN, BOTTLENECK, bias=False)
        self.affine = nn.Linear(frames * BOTTLENECK, HIDDEN)
        self.norm = _batch_norm(HIDDEN)

    def forward(self, frames: torch.Tensor, dropout: float) -> torch.Tensor:
        """(B, T, 768) to (B, T - 2 * stride, 768)."""
        narrow = self.linear(_with_next(frames, self.stride))
        wide = functional.relu(self.affine(_with_next(narrow, self.stride)))
        wide = _scaled_by_chance(_normed(self.norm, wide), dropout if self.training else 0.0)
        if self.stride:
            frames = frames[:, self.stride : -self.stride]
        return torch.add(wide, frames, alpha=BYPASS)


class AcousticNetwork(nn.Module):
    """From cepstra to scores of pdfs.

    `dropout` d scales each hidden value by chance between 1 - 2d and 1 + 2d, the same for all
    frames of an utterance (Kaldi's continuous dropout); it adds nothing when not training.
    """

    def __init__(self, outputs: int = OUTPUTS, dropout: float = 0.0) -> None:
        super().__init__()
        self.dropout = dropout
        # A fixed change of basis; the trained layer after it can express any other.
        self.register_buffer("splice_weight", torch.eye(3 * FEATURES))
        self.register_buffer("splice_bias", torch.zeros(3 * FEATURES))
        self.first = nn.Linear(3 * FEATURES, HIDDEN)
        self.first_norm = _batch_norm(HIDDEN)
        self.factored = nn.ModuleList(
            FactoredLayer(stride) for stride in (*FULL_RATE_STRIDES, *THINNED_STRIDES)
        )
        self.last_narrow = nn.Linear(HIDDEN, BOTTLENECK, bias=False)
        self.last_wide = nn.Linear(BOTTLENECK, HIDDEN)
        self.last_wide_norm = _batch_norm(HIDDEN)
        self.last_linear = nn.Linear(HIDDEN, BOTTLENECK, bias=False)
        self.last_linear_norm = _batch_norm(BOTTLENECK)
        self.output = nn.Linear(BOTTLENECK, outputs)

    def forward(self, cepstra: torch.Tensor) -> torch.Tensor:
        """(B, 3 N - 2 + 2 * 34, 40) to float scores (B, N, outputs), one each 30 ms."""
        # Cepstra reach 100 and more, and scores are compared across a whole utterance: the two
        # ends are computed in full, what lies between in the type that autocast says.
        with torch.autocast(cepstra.device.type, enabled=False):
            spliced = torch.cat([cepstra[:, :-2], cepstra[:, 1:-1], cepstra[:, 2:]], dim=2)
            hidden = self.first(functional.linear(spliced, self.splice_weight, self.splice_bias))
        hidden = _normed(self.first_norm, functional.relu(hidden))
        for position, layer in enumerate(self.factored):
            if position == len(FULL_RATE_STRIDES):
                hidden = hidden[:, ::FRAMES_PER_OUTPUT]
            hidden = layer(hidden, self.dropout)
        hidden = functional.relu(self.last_wide(self.last_narrow(hidden)))
        hidden = self.last_linear(_normed(self.last_wide_norm, hidden))
        hidden = _normed(self.last_linear_norm, hidden)
        with torch.autocast(cepstra.device.type, enabled=False):
            return self.output(hidden.float())


def outputs_of(frames: torch.Tensor) -> torch.Tensor:
    """How many outputs stand for that many feature frames."""
    return torch.div(frames + FRAMES_PER_OUTPUT - 1, FRAMES_PER_OUTPUT, rounding_mode="floor")


def with_context(cepstra: torch.Tensor, frames: torch.Tensor) -> torch.Tensor:
    """Repeat each utterance's first and last frame as far as the network looks, as Vosk does.

    `cepstra` (B, T, 40), `frames` (B,) the true length of each; the result has
    3 * ceil(T / 3) - 2 + 2 * 34 frames.
    """
    length = FRAMES_PER_OUTPUT * -(-cepstra.shape[1] // FRAMES_PER_OUTPUT) - 2 + 2 * CONTEXT_FRAMES
    wanted = torch.arange(length, device=cepstra.device)[None] - CONTEXT_FRAMES
    wanted = torch.minimum(wanted.clamp_min(0), frames[:, None] - 1)
    return cepstra.gather(1, wanted[:, :, None].expand(-1, -1, cepstra.shape[2]))


def _batch_norm(width: int) -> nn.BatchNorm1d:
    return nn.BatchNorm1d(width, eps=BATCH_NORM_EPSILON, affine=False)


def _normed(norm: nn.BatchNorm1d, hidden: torch.Tensor) -> torch.Tensor:
    return norm(hidden.flatten(0, 1)).view_as(hidden)


def _with_next(frames: torch.Tensor, stride: int) -> torch.Tensor:
    """Each frame with the one `stride` later beside it."""
    if not stride:
        return frames
    return torch.cat([frames[:, :-stride], frames[:, stride:]], dim=2)


def _scaled_by_chance(hidden: torch.Tensor, dropout: float) -> torch.Tensor:
    if not dropout:
        return hidden
    scale = hidden.new_empty(hidden.shape[0], 1, hidden.shape[2])
    return hidden * scale.uniform_(1 - 2 * dropout, 1 + 2 * dropout)


def layers_by_component(network: AcousticNetwork) -> dict[str, nn.Module]:
    """Every layer with parameters by its component's name in `final.mdl`."""
    layers: dict[str, nn.Module] = {
        "tdnn1.affine": network.first,
        "tdnn1.batchnorm": network.first_norm,
        "prefinal-l": network.last_narrow,
        "prefinal-chain.affine": network.last_wide,
        "prefinal-chain.batchnorm1": network.last_wide_norm,
        "prefinal-chain.linear": network.last_linear,
        "prefinal-chain.batchnorm2": network.last_linear_norm,
        "output.affine": network.output,
    }
    for number, layer in enumerate(network.factored, FIRST_FACTORED_LAYER):
        layers[f"tdnnf{number}.linear"] = layer.linear
        layers[f"tdnnf{number}.affine"] = layer.affine
        layers[f"tdnnf{number}.batchnorm"] = layer.norm
    return layers


def network_from_file(model: AcousticModelFile, dropout: float = 0.0) -> AcousticNetwork:
    """The network of a model file.

    From a model with other outputs, or with a speaker vector beside its features (taken as zero),
    only the trunk is taken and the outputs begin anew.
    """
    network = AcousticNetwork(dropout=dropout)
    same_outputs = len(model.component("output.affine").array("<LinearParams>")) == OUTPUTS
    with torch.no_grad():
        for name, layer in layers_by_component(network).items():
            if name == "tdnn1.affine":
                _take_first(network, model)
            elif name != "output.affine" or same_outputs:
                _take(layer, model.component(name))
        if not same_outputs:
            network.output.weight.mul_(START_OUTPUT_GAIN)
            network.output.bias.zero_()
    return network


def _take_first(network: AcousticNetwork, model: AcousticModelFile) -> None:
    splice, first = model.component("lda"), model.component("tdnn1.affine")
    weight, bias = splice.array("<LinearParams>"), splice.array("<BiasParams>")
    if weight.shape[1] == 3 * FEATURES:
        network.splice_weight.copy_(torch.from_numpy(weight))
        network.splice_bias.copy_(torch.from_numpy(bias))
        _take(network.first, first)
        return
    # With a speaker vector the fixed layer is wider: fold the columns of the features into the
    # first affine, so that the speaker vector counts as zero.
    joined = first.array("<LinearParams>").astype(np.float64)
    network.first.weight.copy_(torch.from_numpy(joined @ weight[:, : 3 * FEATURES]))
    network.first.bias.copy_(torch.from_numpy(joined @ bias + first.array("<BiasParams>")))


def _take(layer: nn.Module, component: Component) -> None:
    if isinstance(layer, nn.BatchNorm1d):
        layer.running_mean.copy_(torch.from_numpy(component.array("<StatsMean>")))
        layer.running_var.copy_(torch.from_numpy(component.array("<StatsVar>")))
        return
    assert isinstance(layer, nn.Linear)
    weight_token = "<Params>" if layer.bias is None and _is_linear(component) else "<LinearParams>"
    layer.weight.copy_(torch.from_numpy(component.array(weight_token)))
    if layer.bias is not None:
        layer.bias.copy_(torch.from_numpy(component.array("<BiasParams>")))


def arrays_of(layer: nn.Module, component: Component) -> dict[str, np.ndarray]:
    """The layer's parameters by the tokens of the component that holds them."""
    if isinstance(layer, nn.BatchNorm1d):
        return {"<StatsMean>": _array(layer.running_mean), "<StatsVar>": _array(layer.running_var)}
    assert isinstance(layer, nn.Linear)
    if layer.bias is None:
        return {"<Params>" if _is_linear(component) else "<LinearParams>": _array(layer.weight)}
    return {"<LinearParams>": _array(layer.weight), "<BiasParams>": _array(layer.bias)}


def _is_linear(component: Component) -> bool:
    return component.type_token == "<LinearComponent>"


def _array(values: torch.Tensor | None) -> np.ndarray:
    assert values is not None
    return values.detach().cpu().float().numpy()
