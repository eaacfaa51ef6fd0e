"""Sounds made on the spot, and the demonstration recordings."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from voicelog import hearing
from voicelog.hearing.vosk_engine import Recogniser

SPEECH = Path(__file__).parents[3] / "corpora" / "speech"


@pytest.fixture(scope="session")
def recogniser() -> Recogniser:
    return hearing.load_recogniser()


@pytest.fixture(scope="session")
def speech() -> Path:
    return SPEECH


@pytest.fixture
def tone() -> NDArray[np.float32]:
    """One second of 440 Hz at 48 kHz, half of full scale."""
    return (0.5 * np.sin(2 * np.pi * 440 * np.arange(48_000) / 48_000)).astype(np.float32)
