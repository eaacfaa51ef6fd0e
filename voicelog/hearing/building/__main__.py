"""Build a farm's model: the names are read from standard input, the folder is the argument."""

from __future__ import annotations

import sys
from pathlib import Path

from voicelog.errors import VoicelogError
from voicelog.hearing.building.build import write_farm_model
from voicelog.hearing.building.farm_words import FarmNames


def main() -> int:
    """Build; what went wrong is told in the last line of standard error."""
    names = FarmNames.from_json(sys.stdin.read())
    try:
        write_farm_model(names, Path(sys.argv[1]))
    except VoicelogError as problem:
        print(problem.what, file=sys.stderr)
        return 1
    except OSError as problem:
        print(problem.strerror or problem, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
