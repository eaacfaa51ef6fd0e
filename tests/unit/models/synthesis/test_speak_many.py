"""What is done to the sound of the model before it is written."""

import numpy as np
import pytest
from speak_many import MARGIN_S, PEAK, RATE, resampling_table, style, trimmed, whole_frames


def test_the_last_token_takes_the_frames_that_round_the_sum_up():
    assert whole_frames(np.array([3, 4, 2]), 8).tolist() == [3, 4, 9]
    assert whole_frames(np.array([3, 4, 1]), 8).tolist() == [3, 4, 1]
    assert whole_frames(np.array([3, 4, 2]), 1).tolist() == [3, 4, 2]


@pytest.mark.parametrize(("pitch", "gain"), [(200, 1), (3000, 1), (6500, 1), (9000, 0), (11000, 0)])
def test_two_samples_of_every_three_keep_what_16_khz_can_hold(pitch, gain):
    torch = pytest.importorskip("torch")
    from speak_many import resampled

    sound = np.sin(2 * np.pi * pitch * np.arange(24_000) / 24_000)
    got = resampled(torch.from_numpy(sound), torch.from_numpy(resampling_table())).numpy()
    assert len(got) == 16_000
    expected = gain * np.sin(2 * np.pi * pitch * np.arange(16_000) / 16_000)
    middle = slice(200, -200)
    assert np.abs(got[middle] - expected[middle]).max() < 0.01


def test_silence_is_cut_to_a_margin_and_the_peak_is_set():
    sound = np.zeros(3 * RATE)
    sound[RATE : 2 * RATE] = 0.05 * np.sin(np.arange(RATE) / 3)
    got = trimmed(sound)
    assert len(got) == pytest.approx(RATE + 2 * MARGIN_S * RATE, abs=20)
    assert np.abs(got).max() == pytest.approx(PEAK * 32767, abs=1)


@pytest.mark.parametrize("bad", [np.zeros(100), np.full(100, np.nan), np.zeros(0)])
def test_what_is_no_sound_is_refused(bad):
    with pytest.raises(ValueError, match="peak"):
        trimmed(bad)


def test_a_style_is_the_weighted_sum_for_the_count_of_tokens():
    styles = {name: np.full((9, 256), value, np.float16) for name, value in (("a", 1), ("b", 3))}
    styles["a"][4] = 2
    job = {"tokens": [1, 2, 3, 4, 5], "voices": [["a", 0.75], ["b", 0.25]]}
    got = style(job, styles)
    assert got.shape == (1, 256)
    assert got.dtype == np.float32
    assert np.allclose(got, 2.25)
