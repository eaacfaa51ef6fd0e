"""Speak a text in one of Kokoro's voices."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import onnxruntime
from kokoro_onnx import Kokoro
from scipy.signal import resample_poly

RATE = 16_000
"""Samples a second of everything these scripts make."""

KEPT_OUT = ("af_sarah", "am_fenrir", "bf_lily", "bm_daniel")
"""Voices that no training may use."""

LANGUAGES = {
    "a": "en-us",
    "b": "en-gb",
    "e": "es",
    "f": "fr-fr",
    "h": "hi",
    "i": "it",
    "p": "pt-br",
}
"""The phonemizer's language by the first letter of a voice's name."""

PEAK = 0.5
"""Loudest sample of a spoken text, of a full scale of 1."""

MARGIN_S = 0.25
"""Near silence kept before and after the speech, as a recorder would."""


class Speaker:
    """The model, loaded once."""

    def __init__(self, weights: Path) -> None:
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = 1  # a slow job that must leave the machine usable
        options.inter_op_num_threads = 1
        session = onnxruntime.InferenceSession(
            str(weights / "kokoro.onnx"), options, providers=["CPUExecutionProvider"]
        )
        self._model = Kokoro.from_session(session, str(weights / "voices.bin"))

    def speak(self, text: str, voice: str, speed: float) -> np.ndarray:
        """The text as samples at `RATE`.

        `speed` is relative to the voice's own pace, 0.5 to 2. The text is read in the voice's
        language. Raises KeyError for a voice of a language that is not in `LANGUAGES`.
        """
        language = LANGUAGES[voice[0]]
        samples, rate = self._model.create(text, voice=voice, speed=speed, lang=language)
        speech = resample_poly(samples.astype(np.float64), RATE, rate)
        margin = np.zeros(round(MARGIN_S * RATE))
        return np.concatenate([margin, speech * PEAK / np.abs(speech).max(), margin])
