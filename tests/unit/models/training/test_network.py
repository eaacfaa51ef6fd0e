"""The network takes its weights from model files and sees what the recogniser sees."""

from __future__ import annotations

from pathlib import Path

import pytest

torch = pytest.importorskip("torch")

from models.training.acoustic_model_reading import read_model  # noqa: E402
from models.training.network import (  # noqa: E402
    CONTEXT_FRAMES,
    AcousticNetwork,
    network_from_file,
    outputs_of,
    with_context,
)

CARRIED = Path(__file__).parents[4] / "models" / "english-small" / "am" / "final.mdl"


@pytest.fixture(scope="module")
def network() -> AcousticNetwork:
    return network_from_file(read_model(CARRIED)).eval()


def _cepstra(rows: int, frames: int) -> torch.Tensor:
    return 10 * torch.randn(rows, frames, 40, generator=torch.Generator().manual_seed(5))


def test_an_output_each_three_frames_begun(network: AcousticNetwork) -> None:
    for frames in (1, 3, 4, 30, 31):
        seen = with_context(_cepstra(1, frames), torch.tensor([frames]))
        assert network(seen).shape == (1, -(-frames // 3), 3200)
        assert int(outputs_of(torch.tensor(frames))) == -(-frames // 3)


def test_what_lies_beside_a_short_utterance_in_its_batch_does_not_matter(
    network: AcousticNetwork,
) -> None:
    cepstra = _cepstra(2, 50)
    frames = torch.tensor([50, 20])
    together = network(with_context(cepstra, frames))
    alone = network(with_context(cepstra[1:, :20], frames[1:]))
    assert torch.allclose(together[1, :7], alone[0], atol=1e-3)


def test_an_output_sees_its_context_and_no_more(network: AcousticNetwork) -> None:
    cepstra = _cepstra(1, 30 + 2 * CONTEXT_FRAMES - 2)
    plain = network(cepstra)
    for output in (0, 4, 9):
        middle = 3 * output + CONTEXT_FRAMES
        for moved, seen in ((-34, True), (-35, False), (34, True), (35, False)):
            frame = middle + moved
            if not 0 <= frame < cepstra.shape[1]:
                continue
            changed = cepstra.clone()
            changed[0, frame] += 50
            differs = bool((network(changed)[0, output] - plain[0, output]).abs().max() > 0)
            assert differs is seen, (output, moved)


def test_dropout_changes_training_and_not_hearing() -> None:
    network = AcousticNetwork(dropout=0.1)
    cepstra = _cepstra(2, 70)
    network.train()
    assert not torch.equal(network(cepstra), network(cepstra))
    network.eval()
    assert torch.equal(network(cepstra), network(cepstra))
