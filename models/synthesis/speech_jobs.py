"""Turn sentences into jobs for `speak_many.py`: what to say, in which voice, how fast.

    python speech_jobs.py --voices VOICES TEXTS OUT --count N --seed S

TEXTS holds one sentence a line, words spelled out. OUT gets one job a line (JSON, compressed when
its name ends in .gz) and OUT with `.voices.npz` added the style vectors that the jobs need.
VOICES is `voices.bin` as `weights.py` makes it.
"""

from __future__ import annotations

import argparse
import gzip
import json
import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import IO

import numpy as np

ENGLISH = "ab"
"""First letters of the voices that are English: American and British."""

MOST_TOKENS = 400
BATCH = 2000
"""Sentences given to the phonemizer at once."""

SINGLE_ENGLISH, SINGLE_OTHER = 0.25, 0.15
"""Shares of jobs in one voice as it is; the others are mixtures."""

BEYOND = 0.15
"""Share of mixtures that go a little beyond the voices they are mixed from."""

LOWEST, HIGHEST = -0.2, 1.2
"""Bounds of a voice's weight in such a mixture."""

PAUSE = 0.12
"""Chance of a pause before a word that may follow one."""

PAUSE_BEFORE = frozenset(
    {"and", "but", "so", "then", "because", "or", "while", "when", "with", "after", "before"}
)
QUESTION = frozenset(
    {
        "what",
        "when",
        "where",
        "who",
        "which",
        "why",
        "how",
        "did",
        "do",
        "does",
        "is",
        "are",
        "was",
        "were",
        "has",
        "have",
        "can",
    }
)

Mixture = list[tuple[str, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One sentence to be spoken."""

    id: str
    text: str
    """The words as they were given, which is what a recogniser should hear."""
    tokens: list[int]
    """Kokoro's numbers of the phonemes, without the padding at both ends."""
    voices: Mixture
    """Names with weights that add up to 1."""
    speed: float
    """Relative to the voices' own pace."""


def opened(path: Path, mode: str) -> IO[str]:
    """A text file, compressed or not by its name."""
    if path.suffix == ".gz":
        return gzip.open(path, mode + "t", encoding="utf-8")
    return path.open(mode, encoding="utf-8")


def written(text: str, chance: random.Random) -> str:
    """The sentence as one would write it, so that it is read naturally."""
    words = []
    for place, word in enumerate(text.split()):
        if place > 1 and word in PAUSE_BEFORE and chance.random() < PAUSE:
            words[-1] += ","
        words.append("I" + word[1:] if word == "i" or word.startswith("i'") else word)
    if words[-1] == "a":  # the letter, not the article
        words[-1] = "A"
    words[0] = words[0][:1].upper() + words[0][1:]
    asked = text.split()[0] in QUESTION and chance.random() < 0.8
    return " ".join(words) + ("?" if asked else ".")


def mixture(voices: list[str], chance: random.Random) -> Mixture:
    """One voice or several, by the shares above."""
    kind = chance.random()
    if kind < SINGLE_ENGLISH + SINGLE_OTHER:
        english = kind < SINGLE_ENGLISH
        return [(chance.choice([v for v in voices if (v[0] in ENGLISH) == english]), 1.0)]
    # Half of the voices mixed are English, so that most mixtures have a light accent at most.
    home = [voice for voice in voices if voice[0] in ENGLISH]
    chosen: list[str] = []
    count = chance.choice([2, 2, 3, 3, 4])
    while len(chosen) < count:
        voice = chance.choice(home if chance.random() < 0.5 else voices)
        if voice not in chosen:
            chosen.append(voice)
    parts = [chance.gammavariate(1.0, 1.0) for _ in chosen]
    weights = [part / sum(parts) for part in parts]
    if chance.random() < BEYOND:
        weights = stretched(weights, chance.uniform(1.1, 1.6))
    weights = [round(weight, 3) for weight in weights]
    weights[0] = round(1 - sum(weights[1:]), 3)
    return list(zip(chosen, weights, strict=True))


def stretched(weights: list[float], factor: float) -> list[float]:
    """The weights moved away from their mean, as far as the bounds let them; the sum stays 1."""
    mean = 1 / len(weights)
    for weight in weights:
        away = weight - mean
        if away:
            factor = min(factor, max(1.0, ((HIGHEST if away > 0 else LOWEST) - mean) / away))
    return [mean + factor * (weight - mean) for weight in weights]


def speed(chance: random.Random) -> float:
    """A pace, mostly near the voice's own."""
    return round(min(1.35, max(0.75, chance.gauss(1.03, 0.14))), 3)


def language(voices: Mixture) -> str:
    """The phonemizer's language: British where the strongest voice is."""
    strongest = max(voices, key=lambda voice: voice[1])[0]
    return "en-gb" if strongest.startswith("b") else "en-us"


def phonemes(texts: list[str], code: str) -> list[str]:
    """The pronunciation of each text, all at once.

    `Tokenizer` of kokoro-onnx must have been made before: it tells where the phonemizer's library
    is.
    """
    from phonemizer.backend import EspeakBackend

    backend = EspeakBackend(code, preserve_punctuation=True, with_stress=True)
    return [" ".join(line.split()) for line in backend.phonemize(texts)]


def jobs(texts: list[str], voices: list[str], count: int, seed: int) -> Iterator[Job]:
    """`count` jobs; the texts are gone through again and again, each time in another order."""
    from kokoro_onnx.tokenizer import Tokenizer

    tokenizer = Tokenizer()
    chance = random.Random(seed)
    order: list[str] = []
    for start in range(0, count, BATCH):
        size = min(BATCH, count - start)
        while len(order) < size:
            order.extend(chance.sample(texts, len(texts)))
        batch, order = order[:size], order[size:]
        mixed = [mixture(voices, chance) for _ in batch]
        said = [written(text, chance) for text in batch]
        spoken = [""] * size
        for code in ("en-us", "en-gb"):
            places = [place for place, voice in enumerate(mixed) if language(voice) == code]
            if places:
                heard = phonemes([said[place] for place in places], code)
                for place, line in zip(places, heard, strict=True):
                    spoken[place] = line
        for place, text in enumerate(batch):
            tokens = tokenizer.tokenize(spoken[place], limit=None)
            if 0 < len(tokens) <= MOST_TOKENS:
                yield Job(
                    id=f"{seed}-{start + place:06d}",
                    text=text,
                    tokens=tokens,
                    voices=mixed[place],
                    speed=speed(chance),
                )


def main() -> None:
    """Read the command line and write the jobs."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("texts", type=Path)
    options.add_argument("out", type=Path)
    options.add_argument("--voices", type=Path, required=True, help="voices.bin")
    options.add_argument("--count", type=int, required=True)
    options.add_argument("--seed", type=int, default=1)
    chosen = options.parse_args()
    from voices import KEPT_OUT

    texts = [line.strip() for line in chosen.texts.read_text("utf-8").splitlines() if line.strip()]
    styles = np.load(chosen.voices)
    names = sorted(name for name in styles.files if name not in KEPT_OUT)
    longest, made, kinds = 0, 0, Counter[int]()
    with opened(chosen.out, "w") as file:
        for job in jobs(texts, names, chosen.count, chosen.seed):
            file.write(json.dumps(asdict(job), separators=(",", ":")) + "\n")
            longest = max(longest, len(job.tokens))
            made += 1
            kinds[len(job.voices)] += 1
    # A style vector for every count of tokens: row n - 1 is for n of them.
    needed = {name: styles[name][:longest, 0].astype(np.float16) for name in names}
    np.savez_compressed(f"{chosen.out}.voices.npz", **needed)
    print(f"{made} jobs of at most {longest} tokens, by count of voices: {dict(kinds)}")


if __name__ == "__main__":
    main()
