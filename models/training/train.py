"""Train the acoustic model for a given time.

    python -m models.training.train STORE --from models/english-small/am/final.mdl --out OUT \
        --seconds 540

reads a store (`models.training.sound_store`) and writes OUT/network.pt, OUT/final.mdl and
OUT/log.jsonl. A schedule longer than one run may take is split: give every run the same
--schedule-seconds and --state-dir, and the later ones --resume.
"""

from __future__ import annotations

import argparse
import json
import math
import os
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import torch

from models.training.acoustic_model_file import write_model
from models.training.acoustic_model_reading import read_model
from models.training.batches import BatchSize, BatchSupply, Material, held_out_batches
from models.training.export import CARRIED_MODEL, load_network, model_of
from models.training.features import RATE
from models.training.learner import HELD_OUT_SEED, Learner, LearningOptions
from models.training.network import AcousticNetwork, network_from_file
from models.training.phone_model import Transcript, estimate_phone_model
from models.training.placement import FASTEST
from models.training.schedule import Budget, Schedule
from models.training.sound_store import (
    SoundStore,
    expected_repeats,
    hours_by_source,
    load_store,
)
from models.training.transcript_graph import transcript_graphs
from voicelog.hearing.building.phones import BASE_PHONES

STATE_FILE = "state.pt"


def transcripts_of(store: SoundStore) -> list[Transcript]:
    """The words of each utterance with their pronunciations as phone numbers."""
    number = {phone: place for place, phone in enumerate(BASE_PHONES)}
    ways = {
        word: [[number[phone] for phone in way] for way in pronunciations]
        for word, pronunciations in store.pronunciations.items()
    }
    return [[ways[word] for word in one.words] for one in store.utterances]


def prepare(store: SoundStore, workers: int) -> Material:
    """Draw the graphs of all utterances and estimate the phone model on those of training."""
    transcripts = transcripts_of(store)
    graphs = transcript_graphs(transcripts, workers=workers)
    trained = [transcripts[number] for number in store.of_split("train")]
    return Material(
        store=store,
        graphs={number: graph for number, graph in enumerate(graphs) if graph is not None},
        phone_model=estimate_phone_model(trained),
    )


def starting_network(path: Path, dropout: float) -> AcousticNetwork:
    """From an acoustic model of Vosk (.mdl) or from parameters that training saved (.pt)."""
    if path.suffix == ".pt":
        network = load_network(path)
        network.dropout = dropout
        return network
    return network_from_file(read_model(path), dropout)


class UnsoundWeightsError(ArithmeticError):
    """Some weights are no numbers any more."""

    def __init__(self, out: Path) -> None:
        super().__init__(
            "The weights are no longer numbers, so training was stopped. A network.pt that lies in "
            f"{out} is from before. Train again from it with a lower --peak."
        )


class Run:
    """One run of the program: trains until its time is up and keeps what was learnt."""

    def __init__(self, options: argparse.Namespace) -> None:
        self.options = options
        self.budget = Budget(options.seconds)
        self.out: Path = options.out
        self.out.mkdir(parents=True, exist_ok=True)
        self._log = (self.out / "log.jsonl").open("a", encoding="utf-8")
        device = torch.device(options.device)
        self.size = BatchSize(
            samples=int(options.batch_seconds * RATE), utterances=options.batch_utterances
        )
        self.material = self._material(device)
        self.learner = Learner(
            starting_network(options.start, options.dropout),
            self.material.store,
            self.material.phone_model,
            options=LearningOptions(averaged_over=options.averaged_over),
            seed=options.seed,
        )
        most = options.held_out_utterances
        self.plain = held_out_batches(self.material, self.size, most, None)
        chance = np.random.default_rng(HELD_OUT_SEED)
        self.augmented = held_out_batches(self.material, self.size, most, chance)
        self.trained_before = self._resumed()
        if options.compile:
            self.learner.compile()

    def _material(self, device: torch.device) -> Material:
        # The graphs are drawn by child processes, which must start before the GPU is in use.
        store = load_store(self.options.store, torch.device("cpu"), fastest=FASTEST)
        self.say(
            utterances_and_hours={
                name: [count, round(hours, 3)]
                for name, (count, hours) in hours_by_source(store.utterances).items()
            },
            dropped=dict(store.dropped),
            noises=len(store.noises),
        )
        material = prepare(store, self.options.workers)
        without = len(store.utterances) - len(material.graphs)
        self.say(graphs=len(material.graphs), without_graph=without)
        return replace(material, store=replace(store, samples=store.samples.to(device)))

    def _resumed(self) -> float:
        """Seconds of training behind this run."""
        if not self.options.resume:
            return float(self.options.schedule_start)
        path = self.options.state_dir / STATE_FILE
        state = torch.load(path, map_location=self.learner.device, weights_only=True)
        self.learner.restore(state["learner"])
        self.say(resumed_at_step=self.learner.step_count, trained_seconds=state["trained_seconds"])
        return float(state["trained_seconds"])

    def train(self) -> None:
        """Steps until the time is up, then the averaged network and its files."""
        options = self.options
        repeats = expected_repeats(
            {one.source for one in self.material.store.utterances}, options.weights
        )
        seed = options.seed + self.learner.step_count
        pin = self.learner.device.type == "cuda"
        self._check("held_out")
        with BatchSupply(self.material, repeats, self.size, seed=seed, pin=pin) as supply:
            trained = self._steps(supply)
            if options.state_dir:
                self._keep_state(trained)
            self.learner.become_average([supply.next() for _ in range(options.end_batches)])
        self._check("averaged_held_out")
        self._write_network(self.learner.network.state_dict())
        self.say(finished_after=round(self.budget.used, 1))

    def _steps(self, supply: BatchSupply) -> float:
        """Train until only the time for the end is left; the seconds trained in all."""
        options, learner = self.options, self.learner
        began = self.budget.used
        until_end = self.budget.left - options.end_seconds
        schedule = Schedule(
            peak=options.peak,
            warm_up_steps=options.warm_up,
            seconds=options.schedule_seconds or self.trained_before + max(1.0, until_end),
        )
        next_line, next_check, next_kept = began + 10, began + options.check_every, began + 120
        first_step = learner.step_count
        rate = schedule.rate(first_step + 1, self.trained_before)
        while True:
            trained = self.trained_before + self.budget.used - began
            steps = learner.step_count - first_step
            a_step = (self.budget.used - began) / max(1, steps)
            if self.budget.left < options.end_seconds + options.end_batches * a_step:
                break
            if trained > schedule.seconds or steps == options.most_steps:
                break
            rate = schedule.rate(learner.step_count + 1, trained)
            learner.step(supply.next(), rate)
            if self.budget.used > next_line:
                next_line = self.budget.used + options.line_every
                self._progress(rate, supply.epochs, a_step)
            if self.budget.used > next_check:
                self._check("held_out")
                next_check = self.budget.used + options.check_every
            if self.budget.used > next_kept:
                self._write_network(learner.averaged())
                next_kept = self.budget.used + 120
        self._progress(rate, supply.epochs, a_step)
        return trained

    def _progress(self, rate: float, epoch: int, a_step: float) -> None:
        mean, unlearnt = self.learner.take_progress()
        if mean is None and not unlearnt:
            return
        if mean is None or math.isnan(mean):
            raise UnsoundWeightsError(self.out)
        self.say(
            step=self.learner.step_count,
            epoch=epoch,
            objective=round(mean, 4),
            unlearnt=unlearnt,
            rate=round(rate, 6),
            milliseconds_a_step=round(1000 * a_step, 1),
            seconds=round(self.budget.used, 1),
        )

    def _check(self, name: str) -> None:
        """Say the objective of what was held out, as recorded and augmented."""
        for form, batches in (("", self.plain), ("_augmented", self.augmented)):
            found = self.learner.held_out(batches, augmented=bool(form))
            rounded = {source: round(value, 4) for source, value in found.items()}
            self.say(**{name + form: rounded, "step": self.learner.step_count})

    def _keep_state(self, trained: float) -> None:
        self.options.state_dir.mkdir(parents=True, exist_ok=True)
        state = {"learner": self.learner.state(), "trained_seconds": trained}
        _save(state, self.options.state_dir / STATE_FILE)

    def _write_network(self, parameters: Mapping[str, torch.Tensor]) -> None:
        on_cpu = {name: value.cpu() for name, value in parameters.items()}
        if not all(bool(value.isfinite().all()) for value in on_cpu.values()):
            raise UnsoundWeightsError(self.out)
        _save(on_cpu, self.out / "network.pt")
        network = AcousticNetwork()
        network.load_state_dict(on_cpu)
        write_model(model_of(network, read_model(CARRIED_MODEL)), self.out / "final.mdl")

    def say(self, **facts: Any) -> None:
        """One line of JSON to the screen and to the log."""
        line = json.dumps(facts)
        print(line, flush=True)
        self._log.write(line + "\n")
        self._log.flush()


def _save(value: object, path: Path) -> None:
    """Written beside the old file and put in its place, so that a stop leaves a whole one."""
    new = path.with_suffix(".new")
    torch.save(value, new)
    new.replace(path)


def read_options(arguments: Sequence[str] | None = None) -> argparse.Namespace:
    """The command line."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    add = parser.add_argument
    add("store", type=Path)
    add("--from", dest="start", type=Path, default=CARRIED_MODEL, help="a .mdl or a network.pt")
    add("--out", type=Path, required=True)
    add("--seconds", type=float, required=True, help="the whole run ends within them")
    add("--schedule-seconds", type=float, help="training time of all runs of the schedule")
    add("--schedule-start", type=float, default=0.0, help="training time before this run")
    add("--state-dir", type=Path, help="where the optimiser's state is kept for --resume")
    add("--resume", action="store_true", help="go on from the state kept by the run before")
    add("--weights", type=json.loads, default={}, help='repeats by source: {"real": 3}')
    add("--peak", type=float, default=2e-3, help="highest learning rate")
    add("--warm-up", type=int, default=200, help="steps up to the peak")
    add("--dropout", type=float, default=0.1)
    add("--averaged-over", type=float, default=0.999)
    add("--batch-seconds", type=float, default=460.0, help="sound in a batch, padding included")
    add("--batch-utterances", type=int, default=256)
    add("--held-out-utterances", type=int, default=300, help="most of a source")
    add("--check-every", type=float, default=100.0, help="seconds between held-out scores")
    add("--line-every", type=float, default=15.0, help="seconds between lines of progress")
    add("--end-seconds", type=float, default=12.0, help="kept for the end, besides its batches")
    add("--end-batches", type=int, default=50, help="for the averaged network's statistics")
    add("--most-steps", type=int, default=-1)
    add("--workers", type=int, default=min(16, os.cpu_count() or 1))
    add("--device", default="cuda" if torch.cuda.is_available() else "cpu")
    add("--compile", action="store_true")
    add("--seed", type=int, default=1)
    options = parser.parse_args(arguments)
    if options.resume and not options.state_dir:
        parser.error("--resume needs --state-dir")
    return options


def main() -> None:
    """Train as the command line says."""
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.allow_tf32 = True
    Run(read_options()).train()


if __name__ == "__main__":
    main()
