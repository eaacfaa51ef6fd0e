"""Choose what synthetic voices say for training: one text a line.

    python -m models.synthesis.texts --general SENTENCES --words WORDS --count 20000 > texts.txt

Of every hundred texts some fifty are farm memos with names filled in, thirty everyday sentences
(`--general`, one a line, the last column where there are several), and the rest lists of words
(`--words`, one a line), numbers and letters, which teach the sounds where no sentence helps.
"""

from __future__ import annotations

import argparse
import gzip
import random
import string
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from num2words import num2words

from models.language.sentences import NameFiller, spoken_lines, to_learn

LONGEST = 34
"""Words. What is longer is cut, so that utterances stay short enough to learn from."""

SHARES = {"farm": 0.50, "general": 0.29, "words": 0.11, "names": 0.03, "figures": 0.07}


def figures(chance: random.Random) -> str:
    """Numbers, digits, letters and amounts in a row."""
    kind = chance.randrange(5)
    if kind == 0:
        return _said(chance.choices(range(10), k=chance.randint(3, 9)))
    if kind == 1:
        return _said(chance.choices(range(100), k=chance.randint(2, 5)))
    if kind == 2:
        return " ".join(chance.choices(string.ascii_lowercase, k=chance.randint(2, 6)))
    if kind == 3:
        return _said([chance.randrange(20) + chance.randrange(10) / 10, chance.randrange(1000)])
    letter = chance.choice(string.ascii_lowercase[:8])
    return f"coop {letter} {_said([chance.randint(1, 60)])} pen {_said([chance.randint(1, 9)])}"


def _said(numbers: Iterable[float]) -> str:
    words = " ".join(num2words(number) for number in numbers)
    return words.replace("-", " ").replace(",", "").replace(" and ", " ")


def texts(
    general: Sequence[str], words: Sequence[str], count: int, chance: random.Random
) -> list[str]:
    """So many texts; farm memos come round in a shuffled order, with new names each time."""
    filler = NameFiller(chance)
    farm = to_learn(spoken_lines())
    rounds = {"farm": iter(()), "general": iter(())}
    pools = {"farm": farm, "general": list(general)}

    def in_turn(pool: str) -> str:
        line = next(rounds[pool], None)
        if line is None:
            rounds[pool] = iter(chance.sample(pools[pool], len(pools[pool])))
            line = next(rounds[pool])
        return line

    makers: dict[str, Callable[[], str]] = {
        "farm": lambda: filler.fill(in_turn("farm")),
        "general": lambda: in_turn("general"),
        "words": lambda: " ".join(chance.sample(words, chance.randint(3, 8))),
        "names": lambda: " ".join(filler.fill("{bird} {person} {place}").split()),
        "figures": lambda: figures(chance),
    }
    kinds = chance.choices(list(SHARES), list(SHARES.values()), k=count)
    return [" ".join(makers[kind]().split()[:LONGEST]) for kind in kinds]


def read_lines(path: Path) -> list[str]:
    """The last column of each line of a table or text, plain or gzipped."""
    opened = gzip.open if path.suffix == ".gz" else open
    with opened(path, "rt", encoding="utf-8") as lines:
        return [line.rstrip("\n").split("\t")[-1] for line in lines if line.strip()]


def main() -> None:
    """Read the command line and print the texts."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--general", type=Path, required=True)
    options.add_argument("--words", type=Path, required=True)
    options.add_argument("--count", type=int, default=20_000)
    options.add_argument("--seed", type=int, default=1)
    chosen = options.parse_args()
    general, words = read_lines(chosen.general), read_lines(chosen.words)
    for text in texts(general, words, chosen.count, random.Random(chosen.seed)):
        print(text)


if __name__ == "__main__":
    main()
