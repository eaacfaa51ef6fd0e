"""The objective on a graphics processor: one kernel a sum, gradients made along with the values.

    python -m models.training.objective_cuda

compares values and gradients with `objective_reference` and measures the time of a batch.
"""

from __future__ import annotations

import random
import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import torch

from models.training import objective_reference
from models.training.phone_model import (
    NEVER,
    PHONES,
    PhoneTensors,
    Transcript,
    estimate_phone_model,
)
from models.training.transcript_graph import GraphBatch, collate, transcript_graph
from voicelog.hearing.building.phones import SILENCE

if TYPE_CHECKING:
    import cupy

SOURCE = Path(__file__).with_name("objective_kernels.cu")

WARP = 32
"""Threads that a graphics processor runs in step; blocks are made of whole warps."""

PHONES_IN_A_QUAD = 4
"""A thread reads four transition probabilities at once, so the phones must divide by four."""


def objective(
    logits: torch.Tensor, frames: torch.Tensor, graphs: GraphBatch, phone_model: PhoneTensors
) -> torch.Tensor:
    """(B,) log p(transcript) - log p(any phones), float32; see `models.training.objective`."""
    phones = len(phone_model.start)
    if phones % PHONES_IN_A_QUAD or logits.shape[2] != 2 * phones * phones:
        raise ValueError(
            f"{phones} phones and {logits.shape[2]} outputs were given; the phones must divide by "
            f"{PHONES_IN_A_QUAD} and there must be {2 * phones * phones} outputs. Nothing was done."
        )
    return _Objective.apply(logits.float().contiguous(), frames, graphs, phone_model)


class _Objective(torch.autograd.Function):
    """The difference of both sums; the gradient is the difference of the posteriors."""

    @staticmethod
    def forward(
        context: Any,
        logits: torch.Tensor,
        frames: torch.Tensor,
        graphs: GraphBatch,
        phone_model: PhoneTensors,
    ) -> torch.Tensor:
        best = logits.amax(2)
        frames = frames.to(torch.int32)
        any_phones, gradient = _any_phones(logits, best, frames, phone_model)
        transcript = _add_transcript(logits, best, frames, graphs, gradient)
        fits = transcript > NEVER / 2
        context.save_for_backward(gradient, fits)
        return (transcript - any_phones).where(fits, float("-inf"))

    @staticmethod
    def backward(context: Any, *slopes: torch.Tensor) -> tuple[torch.Tensor | None, ...]:
        gradient, fits = context.saved_tensors
        slope = slopes[0].where(fits, 0.0)
        return gradient * slope[:, None, None], None, None, None


def _any_phones(
    logits: torch.Tensor, best: torch.Tensor, frames: torch.Tensor, phone_model: PhoneTensors
) -> tuple[torch.Tensor, torch.Tensor]:
    """The log-likelihood of any phones relative to the best outputs, and minus its gradient."""
    batch, length, _ = logits.shape
    phones = len(phone_model.start)
    scale = torch.ones_like(best)
    total = torch.empty_like(best[:, 0])
    gradient = torch.empty_like(logits)
    _launch(
        "any_phones",
        phones,
        batch,
        phones * phones // PHONES_IN_A_QUAD,
        logits,
        best,
        frames,
        phone_model.follow,
        phone_model.follow_by_next,
        phone_model.start,
        phone_model.final,
        scale,
        total,
        gradient,
        length,
    )
    return scale.log().sum(1) + total.log(), gradient


def _add_transcript(
    logits: torch.Tensor,
    best: torch.Tensor,
    frames: torch.Tensor,
    graphs: GraphBatch,
    gradient: torch.Tensor,
) -> torch.Tensor:
    """The log-likelihood of the transcripts, likewise; its gradient is added to `gradient`."""
    batch, length, outputs = logits.shape
    most_states = graphs.labels.shape[1]
    halves = logits.new_empty(batch, length, most_states, 2)
    total = torch.empty_like(best[:, 0])
    _launch(
        "transcript",
        round((outputs // 2) ** 0.5),
        batch,
        most_states,
        logits,
        best,
        frames,
        graphs.labels,
        graphs.states,
        graphs.before,
        graphs.before_weights,
        graphs.after,
        graphs.after_weights,
        graphs.start,
        graphs.final,
        halves,
        gradient,
        total,
        length,
        most_states,
        graphs.before.shape[1],
        graphs.after.shape[1],
    )
    return total


@cache
def _kernels(phones: int, device: int) -> cupy.RawModule:
    """The kernels for a number of phones, compiled once a device."""
    import cupy

    with cupy.cuda.Device(device):
        return cupy.RawModule(
            code=SOURCE.read_text("utf-8"), options=("-std=c++17", f"-DPHONES={phones}")
        )


def _launch(
    name: str, phones: int, blocks: int, threads: int, *arguments: torch.Tensor | int
) -> None:
    """Start a kernel after what PyTorch has started, with as many whole warps as are needed."""
    import cupy

    tensors = [argument for argument in arguments if isinstance(argument, torch.Tensor)]
    device = tensors[0].device
    if not all(tensor.is_contiguous() and tensor.device == device for tensor in tensors):
        raise ValueError(
            f"The tensors for {name} do not all lie densely on {device}. Nothing was done. "
            "Move the graphs and the phone model to the device of the logits first."
        )
    passed = [
        argument.data_ptr() if isinstance(argument, torch.Tensor) else np.int32(argument)
        for argument in arguments
    ]
    kernel = _kernels(phones, device.index).get_function(name)
    stream = torch.cuda.current_stream(device).cuda_stream
    with cupy.cuda.Device(device.index), cupy.cuda.ExternalStream(stream):
        kernel((blocks,), (-(-threads // WARP) * WARP,), tuple(passed))


def invented_transcripts(
    count: int, words: tuple[int, int], *, phones: int = PHONES, seed: int = 1
) -> list[Transcript]:
    """Random words, from so many to so many; every third has a second pronunciation."""
    chance = random.Random(seed)

    def pronunciation() -> tuple[int, ...]:
        return tuple(chance.randrange(SILENCE + 1, phones) for _ in range(chance.randint(1, 5)))

    return [
        [
            [pronunciation() for _ in range(chance.choice((1, 1, 2)))]
            for _ in range(chance.randint(*words))
        ]
        for _ in range(count)
    ]


def disagreement(*, phones: int = PHONES, length: int = 60, seed: int = 1) -> tuple[float, float]:
    """How far the kernels lie from the reference in float64 for a few random utterances.

    The greatest difference in value, relative to the greatest value, and the norm of the
    difference in gradient, relative to that of the gradient.
    """
    transcripts = invented_transcripts(4, (1, 6), phones=phones, seed=seed)
    model = estimate_phone_model(transcripts, phones=phones)
    graphs = collate([transcript_graph(said, phones=phones) for said in transcripts], model)
    graphs, tensors = graphs.to("cuda"), model.to("cuda")
    frames = torch.tensor([length, length - 7, length - 20, length // 2 + 3], device="cuda")
    torch.manual_seed(seed)
    logits = 2 * torch.randn(4, length, 2 * phones * phones, device="cuda")
    values, gradients = [], []
    for of, given in ((objective, logits), (objective_reference.objective, logits.double())):
        given = given.clone().requires_grad_()
        value = of(given, frames, graphs, tensors)
        (value / frames).sum().backward()
        values.append(value.detach().double())
        gradients.append(given.grad.double())
    value_error = (values[0] - values[1]).abs().max() / values[1].abs().max()
    gradient_error = (gradients[0] - gradients[1]).norm() / gradients[1].norm()
    return value_error.item(), gradient_error.item()


def milliseconds_a_batch(*, batch: int = 96, length: int = 100, repeats: int = 20) -> float:
    """Time of value and gradient for utterances of some 40 phones, half of them half as long."""
    transcripts = invented_transcripts(batch, (10, 14))
    model = estimate_phone_model(transcripts)
    graphs = collate([transcript_graph(said) for said in transcripts], model).to("cuda")
    tensors = model.to("cuda")
    frames = torch.full((batch,), length, device="cuda")
    frames[::2] = length // 2 + 10
    logits = torch.randn(batch, length, 2 * PHONES * PHONES, device="cuda", requires_grad=True)
    before, after = (torch.cuda.Event(enable_timing=True) for _ in range(2))
    for repeat in range(repeats + 3):
        if repeat == 3:  # the first ones compile the kernels and find memory
            before.record()
        logits.grad = None
        objective(logits, frames, graphs, tensors).sum().backward()
    after.record()
    after.synchronize()
    return before.elapsed_time(after) / repeats


def main() -> None:
    """Print how far the kernels lie from the reference, and their time."""
    agrees = True
    for phones, seed in ((PHONES, 1), (PHONES, 2), (8, 3)):
        value_error, gradient_error = disagreement(phones=phones, seed=seed)
        print(f"{phones} phones: relative error {value_error:.1e} value, {gradient_error:.1e} grad")
        agrees = agrees and value_error < 1e-4 and gradient_error < 1e-3
    print(f"96 utterances of 60 to 100 frames: {milliseconds_a_batch():.2f} ms")
    if not agrees:
        sys.exit("The kernels and the reference disagree.")


if __name__ == "__main__":
    main()
