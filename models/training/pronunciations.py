"""Write how the words of a store are said: STORE/pronunciations.json.

    python -m models.training.pronunciations STORE

Every word of every `text` gets what the project's own dictionary and spelling model say.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from models.training.sound_store import NOISE_PREFIX
from voicelog.hearing.building.pronouncing import Pronouncer


def words_of(store: Path) -> list[str]:
    """All words of a store's texts, each once, in alphabetical order."""
    words: set[str] = set()
    for path in sorted(store.glob("*.jsonl")):
        if not path.name.startswith(NOISE_PREFIX):
            for line in path.read_text("utf-8").splitlines():
                words.update(json.loads(line)["text"].split())
    return sorted(words)


def main() -> None:
    """Write the file for the store that the command line names."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("store", type=Path)
    store: Path = parser.parse_args().store
    words = words_of(store)
    ways = dict(zip(words, Pronouncer().pronounce_all(words), strict=True))
    (store / "pronunciations.json").write_text(json.dumps(ways), "utf-8")
    without = sum(not sounds for sounds in ways.values())
    print(f"{len(ways)} words, {without} of them without a pronunciation")


if __name__ == "__main__":
    main()
