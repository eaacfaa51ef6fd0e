"""Kaldi's mel cepstra for a batch of utterances, on any device.

The same as `conf/mfcc.conf` says of the model: windows of 25 ms each 10 ms, only whole windows,
40 mel bins from 20 to 7600 Hz, 40 cepstra, no energy, no dither; and Kaldi's defaults: offset
removed per window, pre-emphasis 0.97, "povey" window, lifter 22.
"""

from __future__ import annotations

import math

import torch

RATE = 16_000
WINDOW = 400
"""Samples a window: 25 ms."""
STEP = 160
"""Samples from a window to the next: 10 ms."""
TRANSFORM = 512
BINS = 40
LOWEST_HZ = 20.0
HIGHEST_HZ = 7600.0
PRE_EMPHASIS = 0.97
LIFTER = 22
POVEY_POWER = 0.85
FULL_SCALE = 32_768.0
"""Samples come with full scale 1, Kaldi takes them as 16-bit numbers."""
LEAST_ENERGY = float(torch.finfo(torch.float32).eps)
WARPS = (0.88, 0.91, 0.94, 0.97, 1.0, 1.03, 1.06, 1.09, 1.12)
"""Vocal tract lengths that mel banks are made for: above 1, formants are taken as lying higher."""
UNWARPED = WARPS.index(1.0)
WARP_BENDS_AT_HZ = 4800.0
"""Up to here the warp is a plain factor, above it leads straight to the unwarped highest."""


def frames_of(samples: torch.Tensor) -> torch.Tensor:
    """How many windows fit into that many samples."""
    return torch.div(samples - WINDOW, STEP, rounding_mode="floor").add(1).clamp_min(0)


class MelCepstra:
    """The tables for one device; call it on samples.

    Energies are summed in double precision: they span fourteen powers of ten.
    """

    def __init__(self, device: torch.device) -> None:
        position = torch.arange(WINDOW, dtype=torch.float64)
        window = (0.5 - 0.5 * torch.cos(2 * math.pi * position / (WINDOW - 1))) ** POVEY_POWER
        self._window = window.float().to(device)
        self._banks = torch.stack([mel_bank(warp) for warp in WARPS]).to(device)
        self._cosines = _liftered_cosines().to(device)

    def __call__(
        self,
        samples: torch.Tensor,
        warps: torch.Tensor | None = None,
        hidden: torch.Tensor | None = None,
    ) -> torch.Tensor:
        """(B, S) samples with full scale 1 to (B, T, 40) cepstra.

        `warps` (B,) chooses a mel bank of `WARPS` for each utterance; cells of the spectrogram
        where `hidden` (B, T, 40) is true are set to the utterance's mean before the cepstra are
        taken.
        """
        energies = self._power(samples)
        bank = self._banks[UNWARPED] if warps is None else self._banks[warps]
        levels = torch.log((energies.double() @ bank).clamp_min(LEAST_ENERGY))
        if hidden is not None:
            levels = torch.where(hidden, levels.mean((1, 2), keepdim=True), levels)
        return (levels @ self._cosines).float()

    def _power(self, samples: torch.Tensor) -> torch.Tensor:
        windows = (samples * FULL_SCALE).unfold(1, WINDOW, STEP)
        windows = windows - windows.mean(2, keepdim=True)
        before = torch.cat([windows[:, :, :1], windows[:, :, :-1]], 2)
        windows = torch.sub(windows, before, alpha=PRE_EMPHASIS) * self._window
        spectrum = torch.view_as_real(torch.fft.rfft(windows, TRANSFORM))
        return spectrum.square().sum(3)


def mel_bank(warp: float) -> torch.Tensor:
    """Weights (257, 40) of a spectrum's powers in each mel bin, the centres moved by `warp`."""
    lowest, highest = _mel(LOWEST_HZ), _mel(HIGHEST_HZ)
    edges_mel = [lowest + (highest - lowest) * n / (BINS + 1) for n in range(BINS + 2)]
    edges = [_mel(_warped(_hertz(edge), warp)) for edge in edges_mel]
    bank = torch.zeros(TRANSFORM // 2 + 1, BINS, dtype=torch.float64)
    # Kaldi leaves out the last value, at half the sample rate.
    for line in range(TRANSFORM // 2):
        pitch = _mel(RATE / TRANSFORM * line)
        for number in range(BINS):
            left, centre, right = edges[number : number + 3]
            if left < pitch < right:
                rising = (pitch - left) / (centre - left)
                falling = (right - pitch) / (right - centre)
                bank[line, number] = min(rising, falling)
    return bank


def _warped(hertz: float, warp: float) -> float:
    if hertz <= WARP_BENDS_AT_HZ:
        return hertz * warp
    share = (hertz - WARP_BENDS_AT_HZ) / (HIGHEST_HZ - WARP_BENDS_AT_HZ)
    return WARP_BENDS_AT_HZ * warp * (1 - share) + HIGHEST_HZ * share


def _mel(hertz: float) -> float:
    return 1127.0 * math.log(1.0 + hertz / 700.0)


def _hertz(mel: float) -> float:
    return 700.0 * (math.exp(mel / 1127.0) - 1.0)


def _liftered_cosines() -> torch.Tensor:
    """(mel bin, cepstrum): the cosine transform with Kaldi's lifter in it."""
    number = torch.arange(BINS, dtype=torch.float64)
    cosines = torch.cos(math.pi / BINS * (number[:, None] + 0.5) * number[None])
    cosines *= math.sqrt(2 / BINS)
    cosines[:, 0] = math.sqrt(1 / BINS)
    return cosines * (1 + LIFTER / 2 * torch.sin(math.pi * number / LIFTER))
