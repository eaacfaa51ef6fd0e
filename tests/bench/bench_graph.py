"""What building models costs: python tests/bench/bench_graph.py

Times are by the clock, the best of three; the baseline, in the same run, is loading the carried
model into the recogniser. Every part prints its sizes.
"""

from __future__ import annotations

import itertools
import os
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from voicelog import hearing
from voicelog.hearing.building.cache import FarmModel
from voicelog.hearing.building.farm_words import FarmNames, NamedThing, read_known_words
from voicelog.hearing.building.pronouncing import Pronouncer
from voicelog.hearing.model_folder import carried_model
from voicelog.hearing.vosk_engine import Recogniser

COMMAND_WORDS, COMMANDS = 420, 600
SYLLABLES = ("wor", "fen", "dle", "mar", "quil", "bex", "tam", "or", "lin", "gad")


def best_s(work: Callable[[], object], times: int = 3) -> float:
    """Seconds of the quickest of several runs."""
    took = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        took.append(time.perf_counter() - began)
    return min(took)


def command_set() -> tuple[list[str], list[str]]:
    """Sentences of words that the carried model knows, and those words."""
    known = (word for word in sorted(read_known_words(carried_model())) if word.isalpha())
    words = [word for word in itertools.islice(known, 0, None, 50) if len(word) > 2]
    words = words[:COMMAND_WORDS]
    rows = [words[at::7][:6] for at in range(len(words))]
    sentences = [" ".join(rows[at % len(rows)][at % 3 :]) for at in range(COMMANDS)]
    return sentences, words


def farm_of(count: int) -> FarmNames:
    """A farm with so many names that no dictionary has, a third of them places."""
    names = ["".join(pair) for pair in itertools.product(SYLLABLES, repeat=2)][:count]
    places = tuple(NamedThing(name=f"{name} coop") for name in names[: count // 3])
    return FarmNames(
        places=places, birds=tuple(NamedThing(name=name) for name in names[count // 3 :])
    )


def learned(count: int, farm_file: Path) -> tuple[FarmModel, float]:
    """The model of a farm, and the seconds of building it: the best of three such farms."""
    farms = iter([farm_of(count + 2), farm_of(count + 1), farm_of(count)])
    made: list[FarmModel] = []
    took = best_s(lambda: made.append(hearing.farm_model(next(farms), farm_file, lambda: None)))
    return made[-1], took


def size_mb(folder: Path) -> float:
    """Megabytes (10^6 bytes) of a model's graph."""
    files = (folder / "graph").rglob("*")
    return sum(file.stat().st_size for file in files if file.is_file()) / 1e6


def main() -> None:
    """Measure and print."""
    carried = carried_model()
    baseline = best_s(lambda: Recogniser(carried))

    def line(what: str, took: float, sizes: str) -> None:
        print(f"{what:34} {took:5.2f} s  x{took / baseline:5.2f}  {sizes}")

    line("load the carried model", baseline, f"graph {size_mb(carried):.1f} MB")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = os.environ["LOCALAPPDATA"] = folder
        sentences, words = command_set()
        out = Path(folder) / "commands"
        took = best_s(lambda: hearing.build_model(sentences, words, out))
        sizes = f"{len(sentences)} sentences, {len(words)} words, graph {size_mb(out):.1f} MB"
        line("build a model of commands", took, sizes)
        line("load it", best_s(lambda: Recogniser(out)), "")
        farm_file = Path(folder) / "farm.toml"
        for count in (5, 60):
            made, took = learned(count, farm_file)
            sizes = f"{made.words} words, graph {size_mb(made.folder):.1f} MB"
            line(f"learn a farm's {count} names", took, sizes)
        found = best_s(lambda: hearing.farm_model(farm_of(60), farm_file, lambda: None))
        line("find it again", found, "")
        line("load it", best_s(lambda: Recogniser(made.folder)), "")
    line("read the dictionary, say one word", best_s(lambda: Pronouncer().pronounce("hen")), "")


if __name__ == "__main__":
    main()
