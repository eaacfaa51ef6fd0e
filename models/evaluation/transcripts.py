"""Keep what the carried model hears in the recorded memos, so that parsing needs no model.

    python -m models.evaluation.transcripts corpora/speech

writes FOLDER/transcripts.jsonl from FOLDER/manifest.jsonl, a line a recording: `file` and the
transcript as the package gives it, with its words and the other readings. Run it again when the
model is another one.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict
from pathlib import Path

from voicelog import hearing


def main() -> None:
    """Read the command line, hear every recording and write the lines."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("folder", type=Path)
    folder: Path = options.parse_args().folder
    lines = []
    for line in map(json.loads, (folder / "manifest.jsonl").read_text("utf-8").splitlines()):
        heard = asdict(hearing.transcribe(folder / line["file"]))
        lines.append(json.dumps({"file": line["file"], **heard}, separators=(",", ":")))
    (folder / "transcripts.jsonl").write_text("\n".join(lines) + "\n", "utf-8")


if __name__ == "__main__":
    main()
