"""How long a whole command takes, from start to end, against an empty Python process.

    python tests/bench/bench_processes.py [--runs N]

Fills a demo store once, then runs each command in turn with the baseline and prints medians of wall
time and their ratios.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

NOW = "2027-05-31T10:30"
COMMANDS = {
    "--help": ["--help"],
    "left": ["left", "--now", NOW],
    "ask": ["ask", "--now", NOW, "how many eggs did we get last week"],
    "note": ["note", "--now", NOW, "two scoops of layer for the red coop"],
}


def wall(command: list[str]) -> float:
    """Seconds from start to end of a process; it must succeed."""
    begun = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - begun


def main() -> None:
    """Measure and print."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--runs", type=int, default=9)
    runs = arguments.parse_args().runs
    voicelog = [sys.executable, "-m", "voicelog"]
    with tempfile.TemporaryDirectory() as folder:
        store = ["--store", str(Path(folder) / "demo.db")]
        wall([*voicelog, "demo", *store])
        empty = [sys.executable, "-c", "pass"]
        for name, words in COMMANDS.items():
            took, base = [], []
            for _ in range(runs):
                took.append(wall([*voicelog, *words, *store]))
                base.append(wall(empty))
            median, alone = statistics.median(took), statistics.median(base)
            print(
                f"{name:8} {median:6.2f} s   empty process {alone:6.3f} s   "
                f"ratio {median / alone:5.1f}   ({runs} runs)"
            )


if __name__ == "__main__":
    main()
