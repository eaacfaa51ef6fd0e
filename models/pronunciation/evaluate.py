"""How well unknown words are pronounced: `python -m models.pronunciation.evaluate`.

Reads the words of CMUdict that learning never saw with the carried model and counts errors
against whichever of the dictionary's pronunciations is nearest, without stress.
"""

from __future__ import annotations

import argparse
import shutil
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from models.pronunciation.dictionary import (
    Entry,
    is_held_out,
    is_spelled_by_rule,
)
from voicelog.hearing.building.phones import Pronunciation
from voicelog.hearing.building.pronouncing import SPELLING_FILE, Pronouncer
from voicelog.hearing.building.pronouncing_lexicon import (
    LEXICON_FILE,
    OWN_FILE,
    Lexicon,
    pack_lexicon,
)
from voicelog.hearing.building.pronouncing_rules import take_apart
from voicelog.hearing.building.spelling_to_sound import load_spelling_model
from voicelog.hearing.model_folder import carried_model

Ways = Sequence[Pronunciation]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What a reader of words got wrong."""

    words: int
    wrong_words: int
    """Words whose first way is none of the dictionary's."""
    wrong_twice: int
    """Words of which neither of the first two ways is one of the dictionary's."""
    phones: int
    """Phones of the nearest pronunciations of the dictionary."""
    wrong_phones: int
    """Phones too many, missing or other than there."""

    def line(self, name: str) -> str:
        """One line of the table."""
        return (
            f"{name:<27} word error {self.wrong_words / self.words:6.2%}   "
            f"phone error {self.wrong_phones / self.phones:6.2%}   "
            f"in neither of the first two {self.wrong_twice / self.words:6.2%}"
        )


def compare(entries: Sequence[Entry], said: Sequence[Ways]) -> Figures:
    """Errors of the ways `said` for the words of `entries`, best way first."""
    wrong = twice = phones = wrong_phones = 0
    for entry, ways in zip(entries, said, strict=True):
        nearest = min((distance(ways[0], true), len(true)) for true in entry.sounds)
        wrong_phones += nearest[0]
        phones += nearest[1]
        wrong += nearest[0] > 0
        twice += not any(way in entry.sounds for way in ways[:2])
    return Figures(
        words=len(entries),
        wrong_words=wrong,
        wrong_twice=twice,
        phones=phones,
        wrong_phones=wrong_phones,
    )


def distance(one: Sequence[str], other: Sequence[str]) -> int:
    """The least number of phones to put in, take out or change to make one the other."""
    row = list(range(len(other) + 1))
    for place, phone in enumerate(one, start=1):
        before, row[0] = row[0], place
        for column, wanted in enumerate(other, start=1):
            before, row[column] = (
                row[column],
                min(row[column] + 1, row[column - 1] + 1, before + (phone != wanted)),
            )
    return row[-1]


def letter_by_letter(
    runs: Sequence[tuple[str, Sequence[Pronunciation]]],
) -> Callable[[str], Pronunciation]:
    """The baseline: each letter makes what it makes most often in the words learned from."""
    counts: dict[str, Counter[Pronunciation]] = {}
    for word, made in runs:
        for letter, run in zip(word, made, strict=True):
            counts.setdefault(letter, Counter())[run] += 1
    usual = {letter: min(seen, key=lambda r: (-seen[r], r)) for letter, seen in counts.items()}
    return lambda word: tuple(phone for letter in word for phone in usual[letter])


def held_out(folder: Path | None = None) -> tuple[Entry, ...]:
    """The test words, from the dictionary in a `language` folder or the carried one."""
    lexicon = Lexicon(folder or carried_model() / "language")
    entries = (Entry(word=word, sounds=sounds) for word, sounds in lexicon.listed())
    return tuple(e for e in entries if is_spelled_by_rule(e) and is_held_out(e.word))


def say_in_use(folder: Path, entries: Sequence[Entry]) -> list[Ways]:
    """What a dictionary without the test words, the endings and the model together say of them."""
    tested = {entry.word for entry in entries}
    with TemporaryDirectory() as name:
        rest = Path(name)
        rows = [row for row in Lexicon(folder).listed() if row[0] not in tested]
        pack_lexicon(rows, rest / LEXICON_FILE)
        (rest / OWN_FILE).touch()
        shutil.copy(folder / SPELLING_FILE, rest)
        return list(Pronouncer(folder=rest).pronounce_all([entry.word for entry in entries]))


def report(folder: Path, entries: Sequence[Entry]) -> str:
    """The figures of the files in a `language` folder and their speed, as lines of text."""
    model = load_spelling_model(folder / SPELLING_FILE)
    words = [entry.word for entry in entries]
    start = time.perf_counter()
    said = model.say(words)
    together = len(words) / (time.perf_counter() - start)
    start = time.perf_counter()
    for word in words[:200]:
        model.say([word])
    singly = 200 / (time.perf_counter() - start)
    read = [[way.phones for way in ways] for ways in said]
    in_use = say_in_use(folder, entries)
    known = {word for word, _ in Lexicon(folder).listed()} - set(words)
    forms = [at for at, word in enumerate(words) if _is_form(word, known)]
    part = [entries[at] for at in forms]
    return "\n".join(
        (
            compare(entries, read).line("spelling model"),
            compare(entries, in_use).line("with endings by rule"),
            compare(part, [read[at] for at in forms]).line(f"{len(part)} forms: spelling model"),
            compare(part, [in_use[at] for at in forms]).line(f"{len(part)} forms: by rule"),
            f"{sum(map(len, in_use)) / len(words):.2f} ways a word in use",
            f"{len(words)} words; {together:.0f} a second together, {singly:.0f} one by one",
        )
    )


def _is_form(word: str, known: set[str]) -> bool:
    """Whether a word looks like the plural or past form of another."""
    return any(parts.sure and set(parts.known) <= known for parts in take_apart(word))


def main() -> None:
    """Print the figures of the carried files, or of those in another folder."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("--folder", type=Path, default=carried_model() / "language")
    folder: Path = parser.parse_args().folder
    print(report(folder, held_out(folder)))


if __name__ == "__main__":
    main()
