"""Make the language model that is carried: `ngrams.npz`, `names.json` in the folder `language`.

    python -m models.language.train --general SENTENCES --core WORDS --out FOLDER

Three trigram models are mixed so that the invented sentences kept out of training become
likeliest: of the invented sentences, of sentences drawn from the catalogue, and of everyday
English (`--general`). The vocabulary is what those say, and the most frequent words of `--core`
(one a line). Names stand in it as `{place}`, `{bird}` and `{person}`, for which a farm's own are
put when its graph is built, with some invented ones beside them: `names.json`.
"""

from __future__ import annotations

import argparse
import json
import re
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from models.language.catalogue_sentences import catalogue_sentences
from models.language.sentences import names, spoken_lines, to_learn, to_measure
from models.language.vocabulary import own_words
from models.synthesis.texts import read_lines
from voicelog.hearing.building.farm_words import DEFAULT_NAMES_FILE, PLACEHOLDERS
from voicelog.hearing.building.language_file import LANGUAGE_FILE, write_language
from voicelog.hearing.building.names import POSSESSIVE
from voicelog.hearing.building.ngram import Trigrams, best_weights, mix, perplexity, prune, train
from voicelog.hearing.building.pronouncing import Pronouncer

_WORD = re.compile(r"[a-z]+(?:['-][a-z]+)*'?")

DRAWN = 60_000
"""Sentences drawn from the catalogue."""

MOST_NAMES = 40
"""Invented names of a kind; all stand wherever one may be said, which makes graphs large."""


def vocabulary(farm: Sequence[str], general: Sequence[str], core: Sequence[str]) -> list[str]:
    """The words of the model, in alphabetical order, those that cannot be said left out."""
    often = Counter(word for line in general for word in line.split())
    others = {word for word, count in often.items() if count >= 2} | set(core)
    spoken = {word for line in farm for word in line.split()}
    pronouncer = Pronouncer()

    def is_known(word: str) -> bool:
        return bool(_WORD.fullmatch(word)) and pronouncer.knows(word)

    def is_whole(word: str) -> bool:
        """The catalogue's notation makes stems as "injur" too, which nobody says."""
        return not is_known(f"{word.removesuffix('s')}e")

    kept = spoken | {word for word in own_words() if is_known(word) or is_whole(word)}
    words = kept | set(filter(is_known, others))
    return sorted(word for word in words if _WORD.fullmatch(word))


def components(
    farm: Sequence[str], general: Sequence[str], words: Sequence[str], seed: int
) -> dict[str, Trigrams]:
    """The models to be mixed, by what they learned from."""
    listed = [*PLACEHOLDERS, *(f"{name}{POSSESSIVE}" for name in PLACEHOLDERS), *words]
    return {
        "invented sentences": train(farm, listed),
        "the catalogue": train(catalogue_sentences(DRAWN, seed), listed),
        "everyday English": train(general, listed),
    }


def default_names(most: int = MOST_NAMES) -> dict[str, dict[str, float]]:
    """Invented names for each placeholder, taken evenly from the alphabet, all as likely."""
    return {
        placeholder: dict.fromkeys(_evenly(names(placeholder.strip("{}")), most), 1.0)
        for placeholder in PLACEHOLDERS
    }


def _evenly(rows: Sequence[str], most: int) -> list[str]:
    step = max(1.0, len(rows) / most)
    return [rows[int(at * step)] for at in range(min(most, len(rows)))]


def main() -> None:
    """Read the command line, train, mix, prune, write and report."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--general", type=Path, required=True)
    options.add_argument("--core", type=Path, required=True)
    options.add_argument("--core-size", type=int, default=20_000)
    options.add_argument("--least", type=float, default=1e-7, help="pruning, nats a word")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--out", type=Path, required=True)
    chosen = options.parse_args()
    lines = spoken_lines()
    farm, measured = to_learn(lines), to_measure(lines)
    general = read_lines(chosen.general)
    words = vocabulary(farm, general, read_lines(chosen.core)[: chosen.core_size])
    models = components(farm, general, words, chosen.seed)
    for name, model in models.items():
        size, unknown = perplexity(model, measured)
        print(f"{name}: perplexity {size:.1f}, unknown {unknown:.2%}, {len(measured)} lines")
    weights = best_weights(list(models.values()), measured)
    print("weights:", ", ".join(f"{name} {w:.3f}" for name, w in zip(models, weights, strict=True)))
    mixed = mix(list(models.values()), weights)
    print(f"mixed: perplexity {perplexity(mixed, measured)[0]:.1f}")
    pruned = prune(mixed, chosen.least)
    print(
        f"pruned: perplexity {perplexity(pruned, measured)[0]:.1f}, {len(pruned.words)} words, "
        f"{len(pruned.pairs)} pairs, {len(pruned.triples)} triples"
    )
    chosen.out.mkdir(parents=True, exist_ok=True)
    write_language(pruned, chosen.out / LANGUAGE_FILE)
    listed = json.dumps(default_names(), indent=1)
    (chosen.out / DEFAULT_NAMES_FILE).write_text(listed + "\n", "utf-8")


if __name__ == "__main__":
    main()
