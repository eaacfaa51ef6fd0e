"""The sums of the objective are those of all ways, and their gradients are posteriors."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

torch = pytest.importorskip("torch")

from models.training.objective import objective  # noqa: E402
from models.training.objective_reference import (  # noqa: E402
    any_phones_log_likelihood,
    transcript_log_likelihood,
)
from models.training.phone_model import Pronunciation, Transcript  # noqa: E402
from tests.unit.models.training.objective_cases import (  # noqa: E402
    PHONES,
    PRONUNCIATIONS,
    TRANSCRIPTS,
    WORDS,
    all_sequences,
    graphs_of,
    log_sum,
    phone_model,
    ways_to_say,
)

OUTPUTS = 2 * PHONES * PHONES
FRAMES = 5


def _logits(batch: int, length: int = FRAMES, seed: int = 0) -> torch.Tensor:
    made = torch.Generator().manual_seed(seed)
    return 2 * torch.randn(batch, length, OUTPUTS, dtype=torch.double, generator=made)


@settings(max_examples=40)
@given(TRANSCRIPTS, st.integers(1, FRAMES), st.integers(0, 99))
def test_a_transcript_sums_all_ways_to_say_it(
    transcript: Transcript, frames: int, seed: int
) -> None:
    logits = _logits(1, seed=seed)
    value = transcript_log_likelihood(logits, torch.tensor([frames]), graphs_of(transcript))
    assert value.item() == pytest.approx(log_sum(logits[0, :frames], ways_to_say(transcript)))


@pytest.mark.parametrize("frames", [1, 2, 4])
def test_any_phones_sum_all_sequences(frames: int) -> None:
    logits = _logits(1)
    value = any_phones_log_likelihood(logits, torch.tensor([frames]), phone_model().to("cpu"))
    assert value.item() == pytest.approx(log_sum(logits[0, :frames], all_sequences(frames)))


@settings(max_examples=30)
@given(WORDS, st.integers(0, 99))
def test_a_word_is_less_likely_than_anything(word: list[Pronunciation], seed: int) -> None:
    # Its ways are among those of any phones, with the same weights, each counted once. Of several
    # words the same phones may be counted again, divided between the words in another way.
    frames = torch.tensor([FRAMES])
    value = objective(_logits(1, seed=seed), frames, graphs_of([word]), phone_model().to("cpu"))
    assert value.item() < 0


@settings(max_examples=30)
@given(st.lists(WORDS, min_size=1, max_size=2), PRONUNCIATIONS, st.integers(0, 99))
def test_one_more_pronunciation_never_makes_it_less_likely(
    transcript: Transcript, pronunciation: Pronunciation, seed: int
) -> None:
    more = [[*transcript[0], pronunciation], *transcript[1:]]
    frames = torch.tensor([FRAMES, FRAMES])
    logits = _logits(1, seed=seed).expand(2, -1, -1)
    fewer_ways, more_ways = transcript_log_likelihood(logits, frames, graphs_of(transcript, more))
    assert more_ways >= fewer_ways - 1e-9


def _with_gradient(
    logits: torch.Tensor, frames: list[int], *transcripts: Transcript
) -> tuple[torch.Tensor, torch.Tensor]:
    logits = logits.clone().requires_grad_()
    phones = phone_model().to("cpu")
    value = objective(logits, torch.tensor(frames), graphs_of(*transcripts), phones)
    value.where(value.isfinite(), 0).sum().backward()
    return value.detach(), logits.grad


def test_gradients_sum_to_nought_in_each_frame_and_end_with_the_utterance() -> None:
    _, gradient = _with_gradient(_logits(2), [5, 3], [[(1, 2), (3,)]], [[(2,)]])
    torch.testing.assert_close(gradient.sum(2), torch.zeros(2, FRAMES, dtype=torch.double))
    assert (gradient[0].abs().sum(1) > 0.01).all()
    assert not gradient[1, 3:].any()


def test_gradients_are_slopes() -> None:
    graphs, phones = graphs_of([[(1, 2), (3,)]], [[(2,)]]), phone_model().to("cpu")
    frames = torch.tensor([3, 2])
    logits = _logits(2, length=3).requires_grad_()
    assert torch.autograd.gradcheck(lambda x: objective(x, frames, graphs, phones), (logits,))


def test_each_utterance_of_a_batch_is_as_if_alone() -> None:
    logits, transcripts = _logits(3), [[[(1, 2, 1)]], [], [[(3,), (1, 1)], [(2,)]]]
    together, _ = _with_gradient(logits, [5, 2, 4], *transcripts)
    alone = [
        _with_gradient(logits[place, None, :frames], [frames], transcripts[place])[0]
        for place, frames in enumerate((5, 2, 4))
    ]
    torch.testing.assert_close(together, torch.cat(alone))


def test_with_too_few_frames_there_is_no_value_and_no_gradient() -> None:
    value, gradient = _with_gradient(_logits(2), [2, 5], [[(1, 2, 3)]], [[(1, 2, 3)]])
    assert value[0] == float("-inf")
    assert value[1].isfinite()
    assert not gradient[0].any()
    assert gradient[1].isfinite().all()


def test_a_step_along_the_gradient_raises_the_objective() -> None:
    logits = _logits(1)
    before, gradient = _with_gradient(logits, [5], [[(1, 2)]])
    after, _ = _with_gradient(logits + 0.1 * gradient, [5], [[(1, 2)]])
    assert after > before
