"""The kernels agree with the reference, on threads of the system and on a graphics processor."""

from __future__ import annotations

import ctypes
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

torch = pytest.importorskip("torch")

from models.training import objective_cuda, objective_reference  # noqa: E402
from models.training.phone_model import Transcript, estimate_phone_model  # noqa: E402
from tests.unit.models.training.objective_cases import (  # noqa: E402
    PHONES,
    graphs_of,
    phone_model,
)

ON_THREADS = Path(__file__).with_name("kernels_on_threads.cpp")
SETTINGS = ("-std=c++20", "-O1", "-shared", "-fPIC", "-pthread", "-Wno-unknown-pragmas")
WARP = 32


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> ctypes.CDLL:
    """The kernels, compiled for threads of the system."""
    compiler = shutil.which("g++")
    if compiler is None:
        pytest.skip("needs g++ to compile the kernels for threads of the system")
    compiled = tmp_path_factory.mktemp("kernels") / "kernels.so"
    defined = (f"-DPHONES={PHONES}", f'-DKERNELS="{objective_cuda.SOURCE}"')
    command = [compiler, *SETTINGS, *defined, str(ON_THREADS), "-o", str(compiled)]
    subprocess.run(command, check=True)
    return ctypes.CDLL(str(compiled))


@pytest.fixture
def kernels(library: ctypes.CDLL, monkeypatch: pytest.MonkeyPatch) -> Callable[..., torch.Tensor]:
    """The objective of the graphics processor, its kernels run on threads of the system."""

    def launch(
        name: str, phones: int, blocks: int, threads: int, *arguments: torch.Tensor | int
    ) -> None:
        assert phones == PHONES
        passed = (
            ctypes.c_void_p(argument.data_ptr()) if isinstance(argument, torch.Tensor) else argument
            for argument in arguments
        )
        getattr(library, f"run_{name}")(blocks, -(-threads // WARP) * WARP, *passed)

    monkeypatch.setattr(objective_cuda, "_launch", launch)
    return objective_cuda.objective


def _with_gradient(
    objective: Callable[..., torch.Tensor],
    logits: torch.Tensor,
    frames: list[int],
    *transcripts: Transcript,
) -> tuple[torch.Tensor, torch.Tensor]:
    logits = logits.clone().requires_grad_()
    graphs, phones = graphs_of(*transcripts), phone_model().to("cpu")
    value = objective(logits, torch.tensor(frames), graphs, phones)
    value.where(value.isfinite(), 0).sum().backward()
    return value.detach().double(), logits.grad.double()


@pytest.mark.parametrize("seed", range(4))
def test_kernels_on_threads_agree_with_the_reference(
    kernels: Callable[..., torch.Tensor], seed: int
) -> None:
    said = ([[(1, 2), (3,)], [(2,), (2, 1), (1,)]], [[(2,)]], [], [[(1, 2, 3)]], [[(1, 2, 3)]])
    frames = [9, 4, 1, 6, 2]  # the last are too few
    made = torch.Generator().manual_seed(seed)
    logits = 4 * torch.randn(len(said), 9, 2 * PHONES * PHONES, generator=made)
    value, gradient = _with_gradient(kernels, logits, frames, *said)
    expected = _with_gradient(objective_reference.objective, logits.double(), frames, *said)
    torch.testing.assert_close(value, expected[0], rtol=1e-4, atol=1e-4)
    torch.testing.assert_close(gradient, expected[1], rtol=1e-3, atol=1e-5)


def test_a_graph_of_several_warps_agrees(kernels: Callable[..., torch.Tensor]) -> None:
    said = [[(1, 2, 3), (2, 1)], [(3, 1), (1, 1, 2)], [(2, 3, 3, 1)], [(1,), (2,), (3,)]] * 2
    made = torch.Generator().manual_seed(5)
    logits = torch.randn(1, 30, 2 * PHONES * PHONES, generator=made)
    assert graphs_of(said).labels.shape[1] > WARP
    value, gradient = _with_gradient(kernels, logits, [30], said)
    expected = _with_gradient(objective_reference.objective, logits.double(), [30], said)
    torch.testing.assert_close(value, expected[0], rtol=1e-4, atol=1e-4)
    torch.testing.assert_close(gradient, expected[1], rtol=1e-3, atol=1e-5)


def test_one_output_far_above_all_others_leaves_numbers(
    kernels: Callable[..., torch.Tensor],
) -> None:
    logits = torch.zeros(1, 4, 2 * PHONES * PHONES)
    logits[:, :, -1] = 500
    value, gradient = _with_gradient(kernels, logits, [4], [[(1,)]])
    assert value.isfinite().all()
    assert gradient.isfinite().all()


def test_phones_that_do_not_make_up_quads_are_refused() -> None:
    model = estimate_phone_model([[[(1,)]]], phones=3)
    with pytest.raises(ValueError, match="must divide by 4"):
        objective_cuda.objective(
            torch.zeros(1, 2, 18), torch.tensor([2]), graphs_of([[(1,)]]), model.to("cpu")
        )


@pytest.mark.parametrize(("phones", "seed"), [(40, 1), (40, 2), (8, 3)])
def test_kernels_on_a_graphics_processor_agree_with_the_reference(phones: int, seed: int) -> None:
    if not torch.cuda.is_available():
        pytest.skip("needs a CUDA graphics processor")
    pytest.importorskip("cupy", reason="needs CuPy to compile the kernels")
    value_error, gradient_error = objective_cuda.disagreement(phones=phones, seed=seed)
    assert value_error < 1e-4
    assert gradient_error < 1e-3
