"""Which utterances are trained on together, and what of them is made ready on the CPU."""

from __future__ import annotations

import queue
import threading
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from models.training.features import RATE
from models.training.phone_model import PhoneModel
from models.training.placement import Placement, as_recorded, random_placement
from models.training.sound_store import SoundStore
from models.training.transcript_graph import GraphBatch, TranscriptGraph, collate

SORTED_TOGETHER = 2048
"""Utterances that are sorted by length before they are cut into batches."""
PAUSES = int(0.6 * RATE)
"""Samples that placing adds to an utterance, on average."""
READY = 6
"""Batches made ahead of their use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What the device needs of one batch."""

    placement: Placement
    graphs: GraphBatch


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSize:
    """The limits of a batch."""

    samples: int
    """All rows together, as long as the longest."""
    utterances: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """The utterances that may be trained on, with their graphs."""

    store: SoundStore
    graphs: Mapping[int, TranscriptGraph]
    """By number of the utterance; those without one are left out of training."""
    phone_model: PhoneModel


def one_epoch(
    material: Material,
    repeats: Mapping[str, float],
    size: BatchSize,
    chance: np.random.Generator,
) -> list[list[int]]:
    """Batches of utterance numbers, each source as often as `repeats` says, like lengths together.

    A fraction in `repeats` is the chance of one repeat more.
    """
    utterances = material.store.utterances
    train = [number for number in material.store.of_split("train") if number in material.graphs]
    wanted = np.array([repeats[utterances[number].source] for number in train])
    times = np.floor(wanted + chance.uniform(size=len(train))).astype(int)
    pool = chance.permutation(np.repeat(train, times)).tolist()
    batches: list[list[int]] = []
    for start in range(0, len(pool), SORTED_TOGETHER):
        batches += cut_by_length(material.store, pool[start : start + SORTED_TOGETHER], size)
    return [batches[place] for place in chance.permutation(len(batches))]


def cut_by_length(store: SoundStore, numbers: Sequence[int], size: BatchSize) -> list[list[int]]:
    """The numbers in batches within `size`, shortest first."""
    batches: list[list[int]] = []
    batch: list[int] = []
    for number in sorted(numbers, key=lambda number: store.utterances[number].samples):
        length = store.utterances[number].samples + PAUSES
        full = len(batch) == size.utterances or (len(batch) + 1) * length > size.samples
        if batch and full:
            batches.append(batch)
            batch = []
        batch.append(number)
    return [*batches, batch] if batch else batches


def held_out_batches(
    material: Material, size: BatchSize, most_a_source: int, chance: np.random.Generator | None
) -> dict[str, list[Batch]]:
    """By source: the first utterances of its test split.

    They are placed as they were recorded, or with `chance` as in training.
    """

    def placed(numbers: Sequence[int]) -> Placement:
        if chance is None:
            return as_recorded(material.store, numbers)
        return random_placement(material.store, numbers, chance)

    by_source: dict[str, list[int]] = {}
    for number in material.store.of_split("test"):
        chosen = by_source.setdefault(material.store.utterances[number].source, [])
        if number in material.graphs and len(chosen) < most_a_source:
            chosen.append(number)
    return {
        source: [
            _batch(material, numbers, placed(numbers), pin=False)
            for numbers in cut_by_length(material.store, chosen, size)
        ]
        for source, chosen in sorted(by_source.items())
        if chosen
    }


class BatchSupply:
    """Training batches without end, made by a thread ahead of their use. Use it in `with`."""

    def __init__(
        self,
        material: Material,
        repeats: Mapping[str, float],
        size: BatchSize,
        *,
        seed: int,
        pin: bool,
    ) -> None:
        self._material = material
        self._repeats = repeats
        self._size = size
        self._chance = np.random.default_rng(seed)
        self._pin = pin
        self._ready: queue.Queue[Batch | BaseException] = queue.Queue(READY)
        self._stopping = threading.Event()
        self._thread = threading.Thread(target=self._fill, daemon=True)
        self.epochs = 0
        """Epochs begun."""

    def __enter__(self) -> BatchSupply:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stopping.set()
        self._thread.join()

    def next(self) -> Batch:
        """The next batch; raises what went wrong while one was made."""
        made = self._ready.get()
        if isinstance(made, BaseException):
            raise made
        return made

    def _fill(self) -> None:
        try:
            for batch in self._batches():
                if not self._offer(batch):
                    return
        except BaseException as fault:
            self._offer(fault)

    def _offer(self, made: Batch | BaseException) -> bool:
        while not self._stopping.is_set():
            try:
                self._ready.put(made, timeout=0.2)
            except queue.Full:
                continue
            return True
        return False

    def _batches(self) -> Iterator[Batch]:
        while True:
            self.epochs += 1
            epoch = one_epoch(self._material, self._repeats, self._size, self._chance)
            if not epoch:
                raise ValueError("no utterance of the train split has a weight above 0")
            for numbers in epoch:
                placement = random_placement(self._material.store, numbers, self._chance)
                yield _batch(self._material, numbers, placement, pin=self._pin)


def _batch(material: Material, numbers: Sequence[int], placement: Placement, *, pin: bool) -> Batch:
    graphs = collate([material.graphs[number] for number in numbers], material.phone_model)
    return Batch(placement=placement, graphs=graphs.pin_memory() if pin else graphs)
