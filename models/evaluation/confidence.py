"""Whether a word's confidence is the share of such words that are right; fit it and check it.

    python -m models.evaluation.confidence hear STORE NOISE_STORE --farm-model FOLDER --out LISTS
    python -m models.evaluation.confidence fit LISTS
    python -m models.evaluation.confidence report LISTS

`hear` hears the sound that is kept out of training and stores all readings (see
`confidence_lists`). `fit` prints the constants of `voicelog/hearing/confidence.py`, fitted on one
half of the sentences; clean memos, memos in noise of two levels and real people weigh the same.
`report` compares that confidence on the other half with Vosk's own and with the share of readings
alone, the rule before: a table by tenths, the expected calibration error (ECE), the area under the
curve of right against wrong (AUC), and how many of the words marked 0.9 and more are right. Then it
counts what the limits of `voicelog/hearing/readings.py` keep and lose, over all sound.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import jiwer
import numpy as np

from models.evaluation import confidence_lists
from models.evaluation.confidence_lists import Listened
from voicelog.hearing.confidence import evidence
from voicelog.hearing.readings import LISTED, Reading, judge

HIGH = 0.9
"""A confidence that promises nine right words of ten."""

GROUPS = {
    "memos, clean": (("test-memos", "demo"), ("clean",)),
    "memos, 10 dB": (("test-memos", "demo"), ("10 dB",)),
    "memos, 5 dB": (("test-memos", "demo"), ("5 dB",)),
    "real people": (("nonnative", "native", "an4"), ("clean",)),
}
"""Sets and conditions told of together."""

BEFORE_TEMPERATURE, BEFORE_REACH = 1.5, 2.0
"""Of the rule before: nats."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Words with a confidence, and which of them are right."""

    confidence: np.ndarray
    right: np.ndarray

    @property
    def calibration_error(self) -> float:
        """Mean distance of confidence and share of right words over tenths, by their words."""
        tenths = tenths_of(self.confidence)
        parts = [
            (tenths == tenth).sum()
            * abs(self.confidence[tenths == tenth].mean() - self.right[tenths == tenth].mean())
            for tenth in set(tenths)
        ]
        return float(sum(parts) / len(tenths))

    @property
    def area(self) -> float:
        """How often a right word has more than a wrong one."""
        from sklearn.metrics import roc_auc_score

        return float(roc_auc_score(self.right, self.confidence))


def tenths_of(confidence: np.ndarray) -> np.ndarray:
    """0 for below 0.1, 9 for 0.9 and more."""
    return np.minimum((confidence * 10).astype(int), 9)


def right_words(said: str, heard: Sequence[str]) -> list[bool]:
    """Which words heard are those said, by the alignment with the fewest errors."""
    right = [False] * len(heard)
    if said and heard:
        for part in jiwer.process_words(said, " ".join(heard)).alignments[0]:
            if part.type == "equal":
                for place in range(part.hyp_start_idx, part.hyp_end_idx):
                    right[place] = True
    return right


def evidence_of(listened: Iterable[Listened]) -> tuple[np.ndarray, np.ndarray]:
    """A row of evidence for each word heard, and whether it is right."""
    rows, right = [], []
    for one in listened:
        heard = []
        for stretch in one.stretches:
            ordered = sorted(stretch, key=lambda reading: -reading.score)
            full = len(stretch) >= LISTED
            for told in evidence(stretch[0], ordered, full=full):
                rows.append((told.agreement, told.lead, told.stretch_lead))
            heard += [word.text for word in stretch[0].words]
        right += right_words(one.text, heard)
    return np.array(rows), np.array(right)


def fit(listened: Sequence[Listened]) -> None:
    """Print the constants of the logistic sum."""
    from sklearn.linear_model import LogisticRegression

    half = [one for one in listened if one.text and one.first_half]
    groups = [evidence_of(group) for name, group in _groups(half).items() if name != "all"]
    rows = np.concatenate([rows for rows, _ in groups])
    right = np.concatenate([right for _, right in groups])
    weights = np.concatenate([np.full(len(right), 1 / len(right)) for _, right in groups])
    weights *= len(right) / weights.sum()
    fitted = LogisticRegression(C=1e3, max_iter=1000).fit(rows, right, weights)
    names = ("AGREEMENT_WEIGHT", "LEAD_WEIGHT", "STRETCH_WEIGHT")
    print(f"# on {len(right)} words, {right.mean():.3f} of them right")
    print(f"BASE = {fitted.intercept_[0]:.2f}")
    for name, weight in zip(names, fitted.coef_[0], strict=True):
        print(f"{name} = {weight:.2f}")


def by_judgement(listened: Iterable[Listened]) -> Judged:
    """The words as the package gives them; a stretch that it takes for noise has none."""
    confidence: list[float] = []
    right: list[bool] = []
    for one in listened:
        stretches = [judge(stretch) for stretch in one.stretches]
        words = [word for stretch in stretches if stretch for word in stretch.words]
        confidence += [word.confidence for word in words]
        right += right_words(one.text, [word.text for word in words])
    return Judged(confidence=np.array(confidence), right=np.array(right))


def by_engine(listened: Iterable[Listened]) -> Judged:
    """The words of Vosk's single best reading with its own confidence."""
    confidence: list[float] = []
    right: list[bool] = []
    for one in listened:
        confidence += [sure for _, sure in one.own]
        right += right_words(one.text, [word for word, _ in one.own])
    return Judged(confidence=np.array(confidence), right=np.array(right))


def by_share(listened: Iterable[Listened]) -> Judged:
    """The share of the readings' weight that has a word, less where a full list hardly varies."""
    confidence: list[float] = []
    right: list[bool] = []
    for one in listened:
        heard = []
        for stretch in one.stretches:
            heard += [word.text for word in stretch[0].words]
            confidence += _shares(stretch)
        right += right_words(one.text, heard)
    return Judged(confidence=np.array(confidence), right=np.array(right))


def _shares(stretch: Sequence[Reading]) -> list[float]:
    ordered = sorted(stretch, key=lambda reading: -reading.score)
    top, last = ordered[0].score, ordered[-1].score
    weights = [math.exp((reading.score - top) / BEFORE_TEMPERATURE) for reading in ordered]
    reach = 1.0 - math.exp((last - top) / BEFORE_REACH) if len(stretch) >= LISTED else 1.0
    return [
        reach
        * sum(
            weight
            for weight, reading in zip(weights, ordered, strict=True)
            if any(
                other.text == word.text and other.from_s < word.to_s and other.to_s > word.from_s
                for other in reading.words
            )
        )
        / sum(weights)
        for word in stretch[0].words
    ]


RULES = {"voicelog": by_judgement, "share": by_share, "vosk": by_engine}


def report(listened: Sequence[Listened]) -> None:
    """Print the tables, all on the half that nothing was fitted on."""
    kept = [one for one in listened if one.text and not one.first_half]
    seconds = sum(one.seconds for one in kept)
    print(f"{len(kept)} recordings of speech, {seconds:.0f} s\n")
    print("rule\tsounds\twords\tright\tECE\tAUC\t0.9 and more: of words\tright")
    for rule, judged_by in RULES.items():
        for name, sounds in _groups(kept).items():
            judged = judged_by(sounds)
            high = judged.confidence >= HIGH
            figures = (
                f"{len(judged.right)}\t{judged.right.mean():.3f}\t{judged.calibration_error:.3f}"
                f"\t{judged.area:.3f}\t{high.mean():.3f}\t{judged.right[high].mean():.3f}"
            )
            print(f"{rule}\t{name}\t{figures}")
    print("\nby tenths of confidence: words, mean confidence, share right")
    for rule, judged_by in RULES.items():
        judged = judged_by(kept)
        for tenth in range(10):
            here = tenths_of(judged.confidence) == tenth
            if here.any():
                mean, right = judged.confidence[here].mean(), judged.right[here].mean()
                print(f"{rule}\t0.{tenth}\t{here.sum()}\t{mean:.3f}\t{right:.3f}")


def tell_kept(listened: Sequence[Listened]) -> None:
    """Print in how many recordings words are left, of those in which some were heard at all."""
    print("\nsounds\trecordings\tseconds\tsome words heard\tkept")
    groups = _groups([one for one in listened if one.text])
    for name in ("noise", "nothing", "foreign"):
        groups[name] = [one for one in listened if one.source == name]
    for name, sounds in groups.items():
        heard = [one for one in sounds if any(stretch[0].words for stretch in one.stretches)]
        kept = [one for one in heard if any(judge(stretch) for stretch in one.stretches)]
        seconds = sum(one.seconds for one in sounds)
        print(f"{name}\t{len(sounds)}\t{seconds:.0f}\t{len(heard)}\t{len(kept)}")


def _groups(listened: Sequence[Listened]) -> dict[str, list[Listened]]:
    groups = {"all": list(listened)}
    for name, (sources, conditions) in GROUPS.items():
        groups[name] = [
            one for one in listened if one.source in sources and one.condition in conditions
        ]
    return groups


def main() -> None:
    """Read the command line and do one of the three."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    steps = options.add_subparsers(dest="step", required=True)
    hearing = steps.add_parser("hear")
    hearing.add_argument("store", type=Path)
    hearing.add_argument("noise_store", type=Path)
    hearing.add_argument("--model", type=Path, default=Path("models/english-small"))
    hearing.add_argument("--farm-model", type=Path, required=True)
    hearing.add_argument("--foreign", type=Path, help="recordings of other languages")
    hearing.add_argument("--nothing", type=Path, default=Path("corpora/speech/nothing"))
    hearing.add_argument("--processes", type=int, default=2)
    hearing.add_argument("--out", type=Path, required=True)
    for name in ("fit", "report"):
        steps.add_parser(name).add_argument("lists", type=Path)
    chosen = options.parse_args()
    if chosen.step == "hear":
        sounds = [
            *confidence_lists.speech(chosen.store, chosen.noise_store),
            *confidence_lists.noise(chosen.noise_store),
            *confidence_lists.files(chosen.nothing, "nothing"),
            *(confidence_lists.files(chosen.foreign, "foreign") if chosen.foreign else ()),
        ]
        models = (chosen.model, chosen.farm_model)
        number = confidence_lists.hear_all(sounds, *models, chosen.out, chosen.processes)
        print(f"{number} sounds heard")
        return
    listened = confidence_lists.load(chosen.lists)
    if chosen.step == "fit":
        fit(listened)
    else:
        report(listened)
        tell_kept(listened)


if __name__ == "__main__":
    main()
