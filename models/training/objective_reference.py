"""The two sums of the objective in plain PyTorch: slow, for any device, and easy to check.

Both sums run over all ways to lay phones along the frames. A phone takes one frame or more: its
first frame is scored by the forward output of its pair, each later one by the self-loop output.
Gradients come from PyTorch.
"""

from __future__ import annotations

import torch

from models.training.phone_model import NEVER, PhoneTensors
from models.training.transcript_graph import GraphBatch


def transcript_log_likelihood(
    logits: torch.Tensor, frames: torch.Tensor, graphs: GraphBatch
) -> torch.Tensor:
    """(B,) log of the sum over all ways through the graphs; -inf where nothing fits the frames.

    `logits` are (B, T, 2 * pairs); `frames` (B,) says how many of T are the utterance's own.
    """
    batch, most_before, states = graphs.before.shape
    before = graphs.before.clamp_min(0).long().view(batch, -1)
    weights = graphs.before_weights.to(logits.dtype)
    forward_output = 2 * graphs.labels.long()
    heard = graphs.start.to(logits.dtype) + logits[:, 0].gather(1, forward_output)
    for time in range(1, logits.shape[1]):
        reached = heard.gather(1, before).view(batch, most_before, states) + weights
        arrive = reached.logsumexp(1) + logits[:, time].gather(1, forward_output)
        stay = heard + logits[:, time].gather(1, forward_output + 1)
        heard = _while_it_lasts(torch.logaddexp(arrive, stay), heard, time, frames)
    total = (heard + graphs.final.to(logits.dtype)).logsumexp(1)
    return total.where(total > NEVER / 2, float("-inf"))


def any_phones_log_likelihood(
    logits: torch.Tensor, frames: torch.Tensor, phone_model: PhoneTensors
) -> torch.Tensor:
    """(B,) log of the sum over all sequences of phones."""
    pairs = phone_model.start.shape
    start, final, follow = (
        _logarithm(probability.to(logits.dtype))
        for probability in (phone_model.start, phone_model.final, phone_model.follow)
    )
    outputs = logits.unflatten(2, (*pairs, 2))
    heard = start + outputs[:, 0, ..., 0]
    for time in range(1, logits.shape[1]):
        arrive = (heard[..., None] + follow).logsumexp(1) + outputs[:, time, ..., 0]
        stay = heard + outputs[:, time, ..., 1]
        heard = _while_it_lasts(torch.logaddexp(arrive, stay), heard, time, frames)
    return (heard + final).flatten(1).logsumexp(1)


def objective(
    logits: torch.Tensor, frames: torch.Tensor, graphs: GraphBatch, phone_model: PhoneTensors
) -> torch.Tensor:
    """(B,) log p(transcript) - log p(any phones); -inf, without gradient, where nothing fits."""
    transcript = transcript_log_likelihood(logits, frames, graphs)
    difference = transcript - any_phones_log_likelihood(logits, frames, phone_model)
    return difference.where(transcript.isfinite(), float("-inf"))


def _while_it_lasts(
    new: torch.Tensor, old: torch.Tensor, time: int, frames: torch.Tensor
) -> torch.Tensor:
    """The new scores for the utterances that reach `time`, the old for those that have ended."""
    lasts = (time < frames).view(-1, *[1] * (new.dim() - 1))
    return new.where(lasts, old)


def _logarithm(probability: torch.Tensor) -> torch.Tensor:
    possible = probability > 0
    return probability.where(possible, 1).log().where(possible, NEVER)
