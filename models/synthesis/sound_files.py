"""Write samples to a sound file; the ending of its name says which kind."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from scipy.signal import resample_poly

RIGHT_GAIN = 0.6
"""The right channel of a stereo file is a little softer: the speaker stands to the left."""


class Coding:
    """How one kind of file is coded."""

    __slots__ = ("bit_rate", "channels", "codec", "rate", "sample_format")

    def __init__(
        self, codec: str, sample_format: str, rate: int, channels: int = 1, bit_rate: int = 0
    ) -> None:
        self.codec = codec
        self.sample_format = sample_format
        self.rate = rate
        """Samples a second in the file."""
        self.channels = channels
        self.bit_rate = bit_rate
        """Bits a second; 0 for coding without loss."""


CODINGS = {
    ".ogg": Coding("libopus", "flt", 16_000, bit_rate=24_000),
    ".wav": Coding("pcm_s16le", "s16", 44_100, channels=2),
    ".flac": Coding("flac", "s16", 16_000),
    ".mp3": Coding("libmp3lame", "fltp", 22_050, bit_rate=48_000),
    ".m4a": Coding("aac", "fltp", 48_000, bit_rate=48_000),
}


def write_sound(path: Path, samples: np.ndarray, rate: int) -> None:
    """Write mono samples (full scale 1) at `rate` a second, overwriting the file.

    Raises KeyError for an ending that is not in `CODINGS`.
    """
    coding = CODINGS[path.suffix]
    if coding.rate != rate:
        ratio = Fraction(coding.rate, rate)
        samples = resample_poly(samples, ratio.numerator, ratio.denominator)
    samples = np.clip(samples, -1, 1)
    gains = [1.0, RIGHT_GAIN][: coding.channels]
    _encode(path, np.stack([gain * samples for gain in gains]), coding)


def _encode(path: Path, channels: np.ndarray, coding: Coding) -> None:
    layout = "stereo" if coding.channels == 2 else "mono"
    # "bitexact" leaves out random serial numbers: the same samples give the same file.
    with av.open(str(path), "w", options={"fflags": "+bitexact"}) as container:
        stream = container.add_stream(coding.codec, rate=coding.rate)
        stream.layout = layout
        stream.format = coding.sample_format
        if coding.bit_rate:
            stream.bit_rate = coding.bit_rate
        frame = av.AudioFrame.from_ndarray(
            _laid_out(channels, coding.sample_format), format=coding.sample_format, layout=layout
        )
        frame.sample_rate = coding.rate
        frame.pts = 0
        # The encoder wants frames of its own size; the resampler's queue cuts them.
        cutter = av.AudioResampler(
            coding.sample_format, layout, coding.rate, frame_size=stream.frame_size or None
        )
        for piece in [*cutter.resample(frame), *cutter.resample(None)]:
            container.mux(stream.encode(piece))
        container.mux(stream.encode(None))


def _laid_out(channels: np.ndarray, sample_format: str) -> np.ndarray:
    """Samples in the order and type that the format wants: planes (p) or interleaved."""
    if sample_format.startswith("s16"):
        channels = np.round(channels * 32767).astype(np.int16)
    else:
        channels = channels.astype(np.float32)
    if sample_format.endswith("p"):
        return np.ascontiguousarray(channels)
    return np.ascontiguousarray(channels.T.reshape(1, -1))
