"""Make the recordings that a manifest names, beside it.

    python record.py [--weights FOLDER | --speech FOLDER] MANIFEST [FILE ...]

A line with `voice` is spoken, `script` in `voice` at `speed`, with `noise` under it at `snr_db`
where the line has them; a line with `sound` is that sound alone for `seconds`, at `level_db`
below full scale. With FILE only those lines are made, with `--missing` only those whose file is
not there.

The speech is made here with the model of `--weights`, or taken from `--speech`, the folder in which
`speak_many.py` has left the jobs of `recording_jobs.py`. A line whose speech is not in that folder
is named and left out, and the call ends with 1.
"""

from __future__ import annotations

import argparse
import json
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from outdoor_sounds import SOUNDS, mixed, to_unit_power
from sound_files import write_sound
from spoken_already import SpokenAlready

Speech = Callable[[dict[str, Any]], np.ndarray]
"""Gives the samples of a line at `RATE`; raises LookupError where there are none."""

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


def speech_source(weights: Path | None, spoken: Path | None) -> Speech:
    """What gives the speech of a line."""
    if spoken is not None:
        already = SpokenAlready(spoken)
        return lambda line: already.samples(line["file"])
    if weights is None:
        raise SystemExit("this manifest holds speech: give --weights or --speech")
    from voices import Speaker

    speaker = Speaker(weights)
    return lambda line: speaker.speak(line["script"], line["voice"], line["speed"])


def chosen_lines(manifest: Path, names: list[str], missing: bool) -> list[dict[str, Any]]:
    """The lines that are to be made."""
    lines = [json.loads(line) for line in manifest.read_text("utf-8").splitlines()]
    if names:
        lines = [line for line in lines if line["file"] in names]
    if missing:
        lines = [line for line in lines if not (manifest.parent / line["file"]).exists()]
    return lines


def main() -> None:
    """Read the command line and make the files."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    source = options.add_mutually_exclusive_group()
    source.add_argument("--weights", type=Path, help="folder made by weights.py")
    source.add_argument("--speech", type=Path, help="folder made by speak_many.py")
    options.add_argument("--missing", action="store_true", help="make only what is not there")
    options.add_argument("manifest", type=Path)
    options.add_argument("files", nargs="*", help="make only these")
    chosen = options.parse_args()
    speech: Speech | None = None
    left_out = []
    for line in chosen_lines(chosen.manifest, chosen.files, chosen.missing):
        if "sound" in line:
            samples = sound_alone(line)
        else:
            speech = speech or speech_source(chosen.weights, chosen.speech)
            try:
                samples = with_noise(speech(line), line)
            except LookupError:
                left_out.append(line["file"])
                continue
        path = chosen.manifest.parent / line["file"]
        write_sound(path, samples, RATE)
        print(f"{path.name}\t{len(samples) / RATE:.2f} s\t{path.stat().st_size} bytes")
    if left_out:
        raise SystemExit(f"no speech for {', '.join(left_out)}: the other files are made")


if __name__ == "__main__":
    main()
