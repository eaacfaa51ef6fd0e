"""Make the recordings that a manifest names, beside it.

    python record.py [--weights FOLDER] MANIFEST [FILE ...]

A line with `voice` is spoken, `script` in `voice` at `speed`, with `noise` under it at `snr_db`
where the line has them; a line with `sound` is that sound alone for `seconds`, at `level_db`
below full scale. With FILE only those lines are made.
"""

from __future__ import annotations

import argparse
import json
import zlib
from pathlib import Path
from typing import Any

import numpy as np
from outdoor_sounds import SOUNDS, mixed, to_unit_power
from sound_files import write_sound

RATE = 16_000
"""Samples a second before the file's own coding."""


def chance_for(name: str) -> np.random.Generator:
    """The same chance for the same file on every run, so that noise can be made again."""
    return np.random.default_rng(zlib.crc32(name.encode()))


def sound_alone(line: dict[str, Any]) -> np.ndarray:
    """The samples of a line without speech."""
    count = round(line["seconds"] * RATE)
    sound = SOUNDS[line["sound"]](count, RATE, chance_for(line["file"]))
    if not sound.any():
        return sound
    return to_unit_power(sound) * 10 ** (line["level_db"] / 20)


def with_noise(speech: np.ndarray, line: dict[str, Any]) -> np.ndarray:
    """The speech of a line with the noise that the line asks for."""
    if line["noise"] is None:
        return speech
    noise = SOUNDS[line["noise"]](len(speech), RATE, chance_for(line["file"]))
    sum_of_both = mixed(speech, noise, line["snr_db"])
    return sum_of_both / max(1.0, float(np.abs(sum_of_both).max()) / 0.95)


def main() -> None:
    """Read the command line and make the files."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--weights", type=Path, help="folder made by weights.py")
    options.add_argument("manifest", type=Path)
    options.add_argument("files", nargs="*", help="make only these")
    chosen = options.parse_args()
    lines = [json.loads(line) for line in chosen.manifest.read_text("utf-8").splitlines()]
    if chosen.files:
        lines = [line for line in lines if line["file"] in chosen.files]
    speaker = None
    for line in lines:
        if "sound" in line:
            samples = sound_alone(line)
        else:
            if speaker is None:
                if chosen.weights is None:
                    options.error("this manifest holds speech: give --weights")
                from voices import Speaker

                speaker = Speaker(chosen.weights)
            speech = speaker.speak(line["script"], line["voice"], line["speed"])
            samples = with_noise(speech, line)
        path = chosen.manifest.parent / line["file"]
        write_sound(path, samples, RATE)
        print(f"{path.name}\t{len(samples) / RATE:.2f} s\t{path.stat().st_size} bytes")


if __name__ == "__main__":
    main()
