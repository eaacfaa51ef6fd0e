"""The objective of training: how much likelier the transcript is than anything else.

Lattice-free maximum mutual information without alignments, after H. Hadian, H. Sameti, D. Povey
and S. Khudanpur, "End-to-end speech recognition using lattice-free MMI", Interspeech 2018, with
outputs in the context of one phone to the left.
"""

from __future__ import annotations

import torch

from models.training import objective_reference
from models.training.phone_model import PhoneTensors
from models.training.transcript_graph import GraphBatch


def objective(
    logits: torch.Tensor, frames: torch.Tensor, graphs: GraphBatch, phone_model: PhoneTensors
) -> torch.Tensor:
    """log p(transcript) - log p(any phones) of each utterance, natural logarithm, to be raised.

    `logits` are (B, T, 2 * phones * phones) scores of the network, any floating type: of the pair
    c = left * phones + phone, 2c scores its first frame and 2c + 1 each further one. `frames` (B,)
    integers from 1 to T; what lies beyond them counts for nothing. All on one device.

    The value is -inf, and has no gradient, where an utterance has too few frames for its
    transcript. On a graphics processor the work is done in float32 by kernels, elsewhere by
    `objective_reference`.
    """
    if not logits.is_cuda:
        return objective_reference.objective(logits, frames, graphs, phone_model)
    from models.training.objective_cuda import objective as objective_by_kernels

    return objective_by_kernels(logits, frames, graphs, phone_model)
