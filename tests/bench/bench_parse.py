"""How fast memos are understood, against finding the catalogue's phrases alone.

    python tests/bench/bench_parse.py [--rounds N]

Prints memos a second in one process on the demo month, for the whole parse and for the baseline
(tokens and phrase matching, the part that a library does), and their ratio; then the slowest memo.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Callable
from pathlib import Path

from voicelog.catalogue import load_catalogue
from voicelog.clock import at
from voicelog.farm import load_farm
from voicelog.text.tokens import tokenise
from voicelog.understanding import Parser
from voicelog.understanding.lexicon import Lexicon
from voicelog.understanding.matching import PhraseFinder

DEMO = Path(__file__).resolve().parents[2] / "voicelog" / "demo"


def seconds(work: Callable[[], object]) -> float:
    """CPU seconds that a piece of work takes."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def main() -> None:
    """Measure and print."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--rounds", type=int, default=5)
    rounds = arguments.parse_args().rounds
    farm = load_farm(DEMO / "farm.toml")
    rows = [json.loads(line) for line in (DEMO / "memos.jsonl").read_text().splitlines()]
    memos = [(row["text"], at(row["now"], farm.timezone)) for row in rows]
    parser = Parser(farm)
    finder = PhraseFinder(Lexicon(load_catalogue(), farm))

    def parse() -> None:
        for text, now in memos:
            parser.parse(text, now)

    def match() -> None:
        for text, _ in memos:
            finder.find(tokenise(text))

    parse()
    match()
    whole = [seconds(parse) for _ in range(rounds)]
    phrases = [seconds(match) for _ in range(rounds)]
    each = statistics.median(whole) / len(memos)
    print(f"{len(memos)} memos, {rounds} rounds, medians of CPU time, one core")
    print(f"whole parse     {1 / each:8.0f} memos/s  {each * 1000:.2f} ms a memo")
    alone = statistics.median(phrases) / len(memos)
    print(f"phrases alone   {1 / alone:8.0f} memos/s  {alone * 1000:.2f} ms a memo")
    print(f"whole / phrases {each / alone:8.1f}")
    slowest = max(memos, key=lambda memo: seconds(lambda: parser.parse(*memo)))
    took = seconds(lambda: parser.parse(*slowest))
    print(f"slowest memo    {took * 1000:8.1f} ms: {slowest[0]}")


if __name__ == "__main__":
    main()
