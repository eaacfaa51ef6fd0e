"""The network while it learns: steps, the running average of its weights, held-out scores."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import torch
from torch import nn

from models.training.augmentation import augment, hidden_cells, random_warps
from models.training.batches import Batch
from models.training.dice import Dice
from models.training.features import MelCepstra, frames_of
from models.training.network import AcousticNetwork, outputs_of, with_context
from models.training.objective import objective
from models.training.phone_model import PhoneModel
from models.training.placement import PlacedSpeech, place
from models.training.recorded_noise import RecordedNoise
from models.training.sound_store import SoundStore

Parameters = dict[str, torch.Tensor]
HELD_OUT_SEED = 11


def noises_of(store: SoundStore, split: str) -> RecordedNoise | None:
    """The noises of a split; None without any."""
    return RecordedNoise(store, split) if any(c.split == split for c in store.noises) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class LearningOptions:
    """What steers the steps besides the learning rate."""

    weight_decay: float = 1e-3
    output_penalty: float = 3e-4
    """Times the mean square of the scores."""
    longest_gradient: float = 3.0
    averaged_over: float = 0.999
    """Share of the running average that each step keeps."""
    worst_objective: float = -8.0
    """A frame. Utterances below it do not fit their text, or not yet, and are not learnt from."""


class Learner:
    """Trains a network on batches; all state that a later run needs is in `state`."""

    def __init__(
        self,
        network: AcousticNetwork,
        store: SoundStore,
        phone_model: PhoneModel,
        *,
        options: LearningOptions,
        seed: int,
    ) -> None:
        self.device = store.samples.device
        self.network = network.to(self.device)
        self.step_count = 0
        self._store = store
        self._options = options
        self._phone_model = phone_model.to(self.device)
        self._cepstra = MelCepstra(self.device)
        self._dice = Dice(seed, self.device)
        self._noises = noises_of(store, "train")
        self._held_out_noises = noises_of(store, "test")
        self._forward: Callable[[torch.Tensor], torch.Tensor] = self.network
        self._optimizer = torch.optim.AdamW(
            self.network.parameters(),
            weight_decay=options.weight_decay,
            fused=self.device.type == "cuda",
        )
        self._average = [weight.detach().clone() for weight in self.network.parameters()]
        self._objective_sum = torch.zeros((), device=self.device)
        self._frame_sum = torch.zeros((), device=self.device)
        self._unlearnt = torch.zeros((), device=self.device)

    def compile(self) -> None:
        """Let PyTorch fuse the network's operations; the first steps take longer."""
        self._forward = torch.compile(self.network, dynamic=True)

    def step(self, batch: Batch, rate: float) -> None:
        """Learn from one batch."""
        for group in self._optimizer.param_groups:
            group["lr"] = rate
        cepstra, frames = self._heard_in_training(place(self._store, batch.placement))
        scores = self._scores(cepstra, self._forward)
        values = objective(scores, frames, batch.graphs.to(self.device), self._phone_model)
        fitting = values.isfinite() & (values > self._options.worst_objective * frames)
        learnt = torch.where(fitting, values, 0.0)
        penalty = self._options.output_penalty * scores.square().mean()
        loss = penalty - learnt.sum() / frames.sum()
        self._optimizer.zero_grad(set_to_none=True)
        loss.backward()
        nn.utils.clip_grad_norm_(self.network.parameters(), self._options.longest_gradient)
        self._optimizer.step()
        self.step_count += 1
        self._note_average()
        self._objective_sum += learnt.detach().sum()
        self._frame_sum += torch.where(fitting, frames, 0).sum()
        self._unlearnt += (~fitting).sum()

    def take_progress(self) -> tuple[float | None, int]:
        """Mean objective a frame since the last call, and utterances that were not learnt from.

        The mean is None when nothing was learnt from, and not a number when the weights are none.
        """
        frames = float(self._frame_sum)
        mean = float(self._objective_sum) / frames if frames else None
        unlearnt = int(self._unlearnt)
        for total in (self._objective_sum, self._frame_sum, self._unlearnt):
            total.zero_()
        return mean, unlearnt

    @torch.no_grad()
    def held_out(
        self, batches: Mapping[str, Sequence[Batch]], *, augmented: bool = False
    ) -> dict[str, float]:
        """Objective a frame of each source, by the network as it is now.

        Augmented, every call makes the same changes to them, with noises kept out of training.
        """
        self.network.eval()
        dice = Dice(HELD_OUT_SEED, self.device)
        means: dict[str, float] = {}
        for source, own in batches.items():
            total = torch.zeros((), device=self.device)
            count = torch.zeros((), device=self.device)
            for batch in own:
                placed = place(self._store, batch.placement)
                if augmented:
                    placed = replace(placed, sound=augment(placed, self._held_out_noises, dice))
                cepstra, frames = self._heard_plainly(placed)
                graphs = batch.graphs.to(self.device)
                scores = self._scores(cepstra, self.network)
                values = objective(scores, frames, graphs, self._phone_model)
                fitting = values.isfinite()
                total += torch.where(fitting, values, 0.0).sum()
                count += torch.where(fitting, frames, 0).sum()
            means[source] = float(total / count.clamp_min(1))
        self.network.train()
        return means

    def averaged(self) -> Parameters:
        """The running average of the weights, with the statistics of the network as it is."""
        parameters = {name: value.clone() for name, value in self.network.state_dict().items()}
        for (name, _), weight in zip(self.network.named_parameters(), self._average, strict=True):
            parameters[name] = weight.clone()
        return parameters

    @torch.no_grad()
    def become_average(self, batches: Sequence[Batch]) -> None:
        """Take on the averaged weights, and normalise by what they do on these batches."""
        self.network.load_state_dict(self.averaged())
        norms = [layer for layer in self.network.modules() if isinstance(layer, nn.BatchNorm1d)]
        before = [norm.momentum for norm in norms]
        for norm in norms:
            norm.reset_running_stats()
            norm.momentum = None  # the plain mean over all batches
        dropout, self.network.dropout = self.network.dropout, 0.0
        self.network.train()
        for batch in batches:
            cepstra, _ = self._heard_in_training(place(self._store, batch.placement))
            self._scores(cepstra, self.network)
        self.network.dropout = dropout
        for norm, momentum in zip(norms, before, strict=True):
            norm.momentum = momentum

    def state(self) -> dict[str, Any]:
        """All that another run needs to go on from here."""
        return {
            "network": copy.deepcopy(self.network.state_dict()),
            "average": [weight.clone() for weight in self._average],
            "optimizer": copy.deepcopy(self._optimizer.state_dict()),
            "step_count": self.step_count,
        }

    def restore(self, state: Mapping[str, Any]) -> None:
        """Go on from a state that another run kept."""
        self.network.load_state_dict(state["network"])
        for weight, kept in zip(self._average, state["average"], strict=True):
            weight.copy_(kept)
        self._optimizer.load_state_dict(state["optimizer"])
        self.step_count = state["step_count"]

    def _note_average(self) -> None:
        # While few steps have been made, the average is one over those few.
        kept = min(self._options.averaged_over, self.step_count / (self.step_count + 10))
        weights = [weight.detach() for weight in self.network.parameters()]
        torch._foreach_lerp_(self._average, weights, 1 - kept)

    def _heard_plainly(self, placed: PlacedSpeech) -> tuple[torch.Tensor, torch.Tensor]:
        """Cepstra with their context, and how many outputs each row has."""
        frames = frames_of(placed.totals)
        return with_context(self._cepstra(placed.sound), frames), outputs_of(frames).int()

    def _heard_in_training(self, placed: PlacedSpeech) -> tuple[torch.Tensor, torch.Tensor]:
        """The same of augmented sound, with other vocal tracts and parts of it hidden."""
        sound = augment(placed, self._noises, self._dice)
        frames = frames_of(placed.totals)
        hidden = hidden_cells(len(sound), int(frames_of(torch.tensor(sound.shape[1]))), self._dice)
        hidden &= ~placed.unprocessed[:, None, None]
        warps = random_warps(placed.unprocessed, self._dice)
        cepstra = self._cepstra(sound, warps, hidden)
        return with_context(cepstra, frames), outputs_of(frames).int()

    def _scores(
        self, cepstra: torch.Tensor, forward: Callable[[torch.Tensor], torch.Tensor]
    ) -> torch.Tensor:
        on_gpu = self.device.type == "cuda"
        with torch.autocast(self.device.type, torch.bfloat16, enabled=on_gpu):
            return forward(cepstra)
