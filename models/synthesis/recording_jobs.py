"""Turn the spoken lines of manifests into jobs for `speak_many.py`, so that a graphics card can
speak them; `record.py --speech` then makes the files.

    python recording_jobs.py --voices VOICES [--all] MANIFEST [MANIFEST ...] OUT

A job's id is the name of the line's file. Lines whose file is there already are left out, but for
`--all`. OUT and the style vectors beside it are as `speech_jobs.py` writes them, but a line is
spoken in the one voice and at the pace that it names, whether or not training may use the voice.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
from speech_jobs import Job, opened, phonemes


def spoken_lines(manifest: Path, every: bool) -> list[dict[str, Any]]:
    """The lines with a voice; of those that have a file already only where `every` says so."""
    lines = [json.loads(line) for line in manifest.read_text("utf-8").splitlines()]
    return [
        line
        for line in lines
        if "voice" in line and (every or not (manifest.parent / line["file"]).exists())
    ]


def jobs(lines: list[dict[str, Any]]) -> list[Job]:
    """A job for each line, in the order of the lines.

    Raises ValueError where two lines name one file, KeyError for a voice of an unknown language.
    """
    from kokoro_onnx.tokenizer import Tokenizer
    from voices import LANGUAGES

    names = [line["file"] for line in lines]
    if len(set(names)) < len(names):
        raise ValueError("two lines name one file, and a job is known by the name of its file")
    tokenizer = Tokenizer()
    codes = [LANGUAGES[line["voice"][0]] for line in lines]
    spoken: dict[str, str] = {}
    for code in sorted(set(codes)):
        of_code = [line for line, own in zip(lines, codes, strict=True) if own == code]
        heard = phonemes([line["script"] for line in of_code], code)
        spoken |= zip((line["file"] for line in of_code), heard, strict=True)
    return [
        Job(
            id=line["file"],
            text=line["text"],
            tokens=tokenizer.tokenize(spoken[line["file"]], limit=None),
            voices=[(line["voice"], 1.0)],
            speed=line["speed"],
        )
        for line in lines
    ]


def main() -> None:
    """Read the command line and write the jobs."""
    options = argparse.ArgumentParser(description=" ".join(__doc__.split("\n\n")[0].split()))
    options.add_argument("manifests", type=Path, nargs="+", metavar="MANIFEST")
    options.add_argument("out", type=Path)
    options.add_argument("--voices", type=Path, required=True, help="voices.bin")
    options.add_argument("--all", action="store_true", help="also what has a file already")
    chosen = options.parse_args()
    made = jobs([line for path in chosen.manifests for line in spoken_lines(path, chosen.all)])
    with opened(chosen.out, "w") as file:
        for job in made:
            file.write(json.dumps(asdict(job), separators=(",", ":")) + "\n")
    styles = np.load(chosen.voices)
    longest = max((len(job.tokens) for job in made), default=0)
    names = sorted({name for job in made for name, _ in job.voices})
    # A style vector for every count of tokens: row n - 1 is for n of them.
    needed = {name: styles[name][:longest, 0].astype(np.float16) for name in names}
    np.savez_compressed(f"{chosen.out}.voices.npz", **needed)
    print(f"{len(made)} jobs of at most {longest} tokens in {len(names)} voices")


if __name__ == "__main__":
    main()
