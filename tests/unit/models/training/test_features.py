"""Cepstra of a batch are those that the recogniser will compute."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch")
kaldi = pytest.importorskip("kaldi_native_fbank")

from models.training.features import (  # noqa: E402
    RATE,
    UNWARPED,
    WARPS,
    MelCepstra,
    frames_of,
    mel_bank,
)


def _by_kaldi(samples: np.ndarray) -> np.ndarray:
    options = kaldi.MfccOptions()
    options.frame_opts.dither = 0.0
    options.frame_opts.samp_freq = RATE
    options.frame_opts.snip_edges = True
    options.mel_opts.num_bins = 40
    options.mel_opts.low_freq = 20
    options.mel_opts.high_freq = 7600
    options.num_ceps = 40
    options.use_energy = False
    stream = kaldi.OnlineMfcc(options)
    stream.accept_waveform(RATE, (samples * 32768.0).tolist())
    stream.input_finished()
    return np.stack([stream.get_frame(number) for number in range(stream.num_frames_ready)])


def _sounds() -> np.ndarray:
    chance = np.random.default_rng(3)
    time = np.arange(24_017) / RATE
    hum = 0.4 * np.sin(2 * np.pi * 130 * time) * np.sin(2 * np.pi * 2 * time) ** 2
    noise = 0.2 * chance.standard_normal(len(time))
    quiet = 1e-4 * noise
    voice = hum + 10 * quiet
    gated = np.where((time * 4).astype(int) % 2 == 0, voice, 0.0)
    sounds = np.stack([voice, noise, quiet, gated])
    return (np.round(sounds * 32_768) / 32_768).astype(np.float32)


def test_cepstra_are_those_of_kaldi() -> None:
    sounds = _sounds()
    ours = MelCepstra(torch.device("cpu"))(torch.from_numpy(sounds)).numpy()
    for sound, cepstra in zip(sounds, ours, strict=True):
        theirs = _by_kaldi(sound)
        assert cepstra.shape == theirs.shape
        assert np.abs(cepstra - theirs).max() < 0.01


def test_frames_are_counted_as_they_come_out() -> None:
    for length in (399, 400, 559, 560, 24_017):
        frames = MelCepstra(torch.device("cpu"))(torch.zeros(1, max(length, 400))).shape[1]
        counted = int(frames_of(torch.tensor(length)))
        assert counted == (frames if length >= 400 else 0)


def test_a_warp_moves_a_tone_between_bins_and_the_bank_at_one_is_plain() -> None:
    assert torch.equal(mel_bank(WARPS[UNWARPED]), mel_bank(1.0))
    line = round(1000 / RATE * 512)
    bins = [int(mel_bank(warp)[line].argmax()) for warp in (WARPS[0], 1.0, WARPS[-1])]
    assert bins[0] > bins[1] > bins[2]


def test_each_utterance_has_its_own_warp_and_mask() -> None:
    cepstra = MelCepstra(torch.device("cpu"))
    sounds = torch.from_numpy(_sounds())
    plain = cepstra(sounds)
    warped = cepstra(sounds, warps=torch.tensor([UNWARPED, 0, UNWARPED, UNWARPED]))
    changed = (plain - warped).abs().amax((1, 2))
    assert changed[1] > 1
    assert changed[[0, 2, 3]].max() < 1e-3
    hidden = torch.zeros_like(plain, dtype=torch.bool)
    hidden[2] = True
    masked = cepstra(sounds, hidden=hidden)
    assert masked[2, :, 1:].abs().max() < 1e-3
    assert torch.equal(masked[[0, 1, 3]], plain[[0, 1, 3]])
