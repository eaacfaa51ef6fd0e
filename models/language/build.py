"""Make the graph that is carried: `graph/` of the model folder, from its `language/`.

    python -m models.language.build --model models/english-small

It is used where a farm has no names, or where a graph with its names cannot be made.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from voicelog.hearing.building.build import write_base_graph


def main() -> None:
    """Read the command line and build."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--model", type=Path, required=True)
    chosen = options.parse_args()
    write_base_graph(chosen.model)
    for file in sorted((chosen.model / "graph").glob("*")):
        print(f"{file.name}: {file.stat().st_size} bytes")


if __name__ == "__main__":
    main()
