"""Training on a store made by code: the objective rises, and its files can be used."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

torch = pytest.importorskip("torch")

from models.training.acoustic_model_reading import read_model  # noqa: E402
from models.training.batches import BatchSize, cut_by_length, one_epoch  # noqa: E402
from models.training.export import load_network  # noqa: E402
from models.training.network import network_from_file  # noqa: E402
from models.training.schedule import Schedule  # noqa: E402
from models.training.sound_store import load_store  # noqa: E402
from models.training.train import Run, prepare, read_options  # noqa: E402
from tests.unit.models.training.sounding_store import write_store  # noqa: E402

CPU = torch.device("cpu")
STEPS = 20


@pytest.fixture(autouse=True)
def _one_thread() -> Iterator[None]:
    """Such small tensors are slower on several, all the more on a busy machine."""
    before = torch.get_num_threads()
    torch.set_num_threads(1)
    yield
    torch.set_num_threads(before)


def _trained(tmp_path: Path, *arguments: str) -> list[dict[str, object]]:
    """Run training in this process; the lines of its log."""
    options = read_options(
        [
            *(str(tmp_path / "store"), "--out", str(tmp_path / "out"), "--device", "cpu"),
            *("--state-dir", str(tmp_path / "state"), "--seconds", "300", "--workers", "1"),
            *("--batch-seconds", "6", "--peak", "1e-3", "--warm-up", "2"),
            *("--averaged-over", "0.5", "--end-batches", "4", *arguments),
        ]
    )
    Run(options).train()
    lines = (tmp_path / "out" / "log.jsonl").read_text("utf-8").splitlines()
    return [json.loads(line) for line in lines]


def test_twenty_steps_raise_the_objective_and_leave_usable_files(tmp_path: Path) -> None:
    write_store(tmp_path / "store", utterances=24)
    log = _trained(tmp_path, "--most-steps", str(STEPS))
    before = next(line["held_out"] for line in log if "held_out" in line)
    after = next(line["averaged_held_out"] for line in log if "averaged_held_out" in line)
    assert before.keys() == after.keys() == {"near", "far"}
    assert sum(after.values()) > sum(before.values()) + 0.2
    network = load_network(tmp_path / "out" / "network.pt")
    written = network_from_file(read_model(tmp_path / "out" / "final.mdl")).eval()
    cepstra = torch.randn(1, 70, 40)
    assert torch.equal(network(cepstra), written(cepstra))
    for name in ("network.pt", "final.mdl"):
        assert (tmp_path / "out" / name).stat().st_size < 16 * 2**20

    resumed = _trained(tmp_path, "--most-steps", "1", "--resume")
    line = next(line for line in resumed if "resumed_at_step" in line)
    assert line["resumed_at_step"] == STEPS
    assert line["trained_seconds"] > 0


def test_the_learning_rate_rises_to_its_peak_and_falls_to_almost_nothing() -> None:
    schedule = Schedule(peak=2e-3, warm_up_steps=100, seconds=800)
    assert schedule.rate(1, 0) == pytest.approx(2e-5)
    assert schedule.rate(100, 0) == pytest.approx(2e-3)
    assert schedule.rate(5000, 400) == pytest.approx(1e-3, rel=0.01)
    assert schedule.rate(9000, 800) == schedule.rate(9001, 900) == pytest.approx(6e-6)


def test_an_epoch_holds_every_source_as_often_as_asked(tmp_path: Path) -> None:
    import numpy as np

    store = load_store(write_store(tmp_path, utterances=80), CPU)
    material = prepare(store, workers=1)
    size = BatchSize(samples=16_000 * 20, utterances=6)
    epoch = one_epoch(material, {"near": 2.5, "far": 0.0}, size, np.random.default_rng(1))
    numbers = [number for batch in epoch for number in batch]
    assert {store.utterances[number].source for number in numbers} == {"near"}
    assert {store.utterances[number].split for number in numbers} == {"train"}
    trained = [one for one in store.utterances if (one.source, one.split) == ("near", "train")]
    assert 2 * len(trained) < len(numbers) < 3 * len(trained)
    assert max(map(len, epoch)) == 6


def test_batches_keep_within_their_samples_and_hold_everything_once(tmp_path: Path) -> None:
    store = load_store(write_store(tmp_path, utterances=40), CPU)
    numbers = list(range(len(store.utterances)))
    longest = max(one.samples for one in store.utterances) + 9600
    batches = cut_by_length(store, numbers, BatchSize(samples=3 * longest, utterances=100))
    assert sorted(number for batch in batches for number in batch) == numbers
    for batch in batches:
        padded = max(store.utterances[number].samples for number in batch) + 9600
        assert padded * len(batch) <= 3 * longest
