"""Makes the dictionary and the spelling model: `nice python -m models.pronunciation.train`.

Aligns the letters of CMUdict's words with their phones, counts n-grams of the pairs, prunes them,
writes both files into the carried model and prints how the test words come out. The same input
gives the same bytes. Takes less than a minute on one core.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from models.pronunciation.alignment import Alignment
from models.pronunciation.dictionary import (
    Entry,
    is_held_out,
    is_spelled_by_rule,
    read_dictionary,
)
from models.pronunciation.evaluate import compare, letter_by_letter, report
from models.pronunciation.ngrams import Order, estimate, prune
from voicelog.hearing.building.phones import ARPABET, Pronunciation
from voicelog.hearing.building.pronouncing import SPELLING_FILE
from voicelog.hearing.building.pronouncing_lexicon import LEXICON_FILE, OWN_FILE, pack_lexicon
from voicelog.hearing.building.spelling_to_sound import RISE, STEP
from voicelog.hearing.model_folder import carried_model

ROUNDS = 8
"""Of expectation-maximisation; the likelihood changes by less than a thousandth after it."""

LEAST_RUN = 8
"""A letter's run of phones expected fewer times in the whole dictionary is forgotten."""

LONGEST = 8
"""Tokens of the longest n-grams."""

LEAST_GAIN = 0.55
"""Nats that an n-gram must be worth in all; chosen for a file below 1.5 MB."""

Runs = list[tuple[str, list[Pronunciation]]]


def align(entries: Sequence[Entry]) -> Runs:
    """Each word with what each of its letters makes, once for each pronunciation."""
    numbers = {phone: number for number, phone in enumerate(ARPABET, start=1)}
    pairs = [
        (entry.word, [numbers[phone] for phone in sound])
        for entry in entries
        for sound in entry.sounds
    ]
    alignment = Alignment(len(ARPABET))
    likelihood = alignment.learn(pairs, ROUNDS)
    alignment.drop_rare(pairs, LEAST_RUN)
    aligned: Runs = []
    for (word, _), runs in zip(pairs, alignment.best(pairs), strict=True):
        if runs is not None:
            aligned.append((word, [tuple(ARPABET[n - 1] for n in run) for run in runs]))
    print(
        f"aligned {len(aligned)} of {len(pairs)} pronunciations, mean likelihood {likelihood:.3f}"
    )
    return aligned


def pack_model(runs: Runs, path: Path) -> None:
    """Estimate the n-grams of the aligned words, prune them and write the model file."""
    tokens = sorted({pair for word, made in runs for pair in zip(word, made, strict=True)})
    ids = {pair: token for token, pair in enumerate(tokens, start=1)}
    sequences = [bytes(ids[pair] for pair in zip(word, made, strict=True)) for word, made in runs]
    orders = prune(estimate(sequences, LONGEST, len(tokens) + 1), LEAST_GAIN)
    sounds = "\n".join(" ".join(run) for _, run in tokens)
    arrays: dict[str, NDArray[np.uint8]] = {
        "letters": _bytes("".join(letter for letter, _ in tokens)),
        "sounds": _bytes(sounds),
    }
    for size, order in enumerate(orders, start=1):
        longer = orders[size].keys if size < len(orders) else np.zeros(0, np.uint64)
        parent = np.searchsorted(order.keys, longer >> np.uint64(8))
        arrays[f"tokens_{size}"] = (order.keys & np.uint64(255)).astype(np.uint8)
        arrays[f"children_{size}"] = _small(np.bincount(parent, minlength=len(order.keys)))
        arrays[f"chance_{size}"] = _small(np.minimum(np.round(-order.chance / STEP), 255))
        arrays[f"backoff_{size}"] = _backoffs(order)
    np.savez_compressed(path, allow_pickle=False, **arrays)
    print(f"{len(tokens)} tokens, {sum(len(order.keys) for order in orders)} n-grams kept")


def main() -> None:
    """Write the dictionary and the spelling model, and print the figures."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("--out", type=Path, default=carried_model() / "language")
    out: Path = parser.parse_args().out
    out.mkdir(parents=True, exist_ok=True)
    (out / OWN_FILE).touch()  # written by hand; a fresh folder begins with none
    entries = read_dictionary()
    pack_lexicon([(entry.word, entry.sounds) for entry in entries], out / LEXICON_FILE)
    readable = [entry for entry in entries if is_spelled_by_rule(entry)]
    learned = [entry for entry in readable if not is_held_out(entry.word)]
    tested = [entry for entry in readable if is_held_out(entry.word)]
    print(
        f"{len(entries)} words; {len(entries) - len(readable)} left out (abbreviations, single "
        f"letters, signs); {len(learned)} to learn from, {len(tested)} to test on"
    )
    runs = align(learned)
    pack_model(runs, out / SPELLING_FILE)
    for name in (LEXICON_FILE, SPELLING_FILE):
        print(f"{name}: {(out / name).stat().st_size} bytes")
    usual = letter_by_letter(runs)
    baseline = compare(tested, [(usual(entry.word),) for entry in tested])
    print(baseline.line("each letter by itself"))
    print(report(out, tested))


def _bytes(text: str) -> NDArray[np.uint8]:
    return np.frombuffer(text.encode("ascii"), dtype=np.uint8)


def _small(values: NDArray[np.generic]) -> NDArray[np.uint8]:
    """Whole numbers as bytes.

    Raises:
        ValueError: one is above 255.
    """
    numbers = np.asarray(values)
    if numbers.size and numbers.max() > 255:
        raise ValueError("a number does not fit a byte")
    return numbers.astype(np.uint8)


def _backoffs(order: Order) -> NDArray[np.uint8]:
    return _small(np.clip(np.round(RISE - order.backoff / STEP), 0, 255))


if __name__ == "__main__":
    main()
