"""Turn folders of recordings with transcripts into what training reads.

    python -m models.training.recordings clean MANIFEST --columns file,speaker,text \
        --source NAME [--heard HEARD.jsonl] [--test-share 0.05] --out NAME.jsonl
    python -m models.training.recordings noise MANIFEST --columns file,class --out noise-NAME.jsonl
    python -m models.training.recordings decode NAME.jsonl FOLDER STORE [--processes 8]

`clean` reads a table (tab-separated) and writes one line of JSON an utterance: id, file, text as
it is spoken (lower case, numbers in words), speaker, source, and split. Speakers, not sentences,
are held out for testing. With HEARD, what another recogniser made of the same files, utterances
whose text is not what was heard are dropped, and a text that is missing is taken from there.
`noise` does the same for sounds without speech, from columns file and class.
`decode` reads the files of FOLDER and writes STORE/NAME.i16 (16 kHz, 16-bit, mono) and
STORE/NAME.jsonl, where each line has the first sample and their number besides.
"""

from __future__ import annotations

import argparse
import json
import re
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from multiprocessing import Pool
from pathlib import Path
from typing import Any

import numpy as np

RATE = 16_000
"""Samples a second."""

MOST_WRONG = 0.35
"""Share of words that another recogniser may have heard otherwise."""

LEAST_SURE = -0.75
"""Mean log probability a token, below which another recogniser's hearing is no transcript."""

CHECKED_FROM = 4
"""Words. Another recogniser's word on shorter utterances is no evidence against their text."""

_WORD = re.compile(r"[a-z]+(?:'[a-z]+)*'?")
_NUMBER = re.compile(r"\d+(?:,\d{3})*(?:\.\d+)?(st|nd|rd|th)?")
_SHORT = {
    "mr": "mister",
    "mrs": "missus",
    "dr": "doctor",
    "&": "and",
    "%": "percent",
    "@": "at",
    "+": "plus",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """One utterance of a table."""

    id: str
    file: str
    text: str
    speaker: str
    source: str
    split: str


def spoken(text: str) -> str:
    """The text in the words that are said; empty where something in it cannot be told.

    >>> spoken("Press 1 for A.M, or 22 for P.M.")
    'press one for a m or twenty two for p m'
    """
    plain = text.lower().replace("’", "'").replace("-", " ").replace("–", " ")
    plain = re.sub(r"\b([a-z])\.(?:([a-z])\b\.?)", r"\1 \2", plain)
    for short, full in _SHORT.items():
        bounded = rf"\b{short}\b\.?" if short.isalpha() else re.escape(short)
        plain = re.sub(bounded, f" {full} ", plain)
    plain = _NUMBER.sub(_number_in_words, plain)
    if re.search(r"\d|[<>\[\]{}*#$£€=/]", plain):
        return ""
    return " ".join(word.rstrip("'") for word in _WORD.findall(plain))


def _number_in_words(found: re.Match[str]) -> str:
    from num2words import num2words

    digits = re.sub(r"[,a-z]", "", found.group())
    ordinal = found.group(1) is not None
    amount = float(digits) if "." in digits else int(digits)
    year = isinstance(amount, int) and 1100 <= amount <= 2099
    if year and not ordinal and "," not in found.group():
        said = num2words(amount, to="year")
    else:
        said = num2words(amount, to="ordinal" if ordinal else "cardinal")
    return f" {said} ".replace("-", " ").replace(",", " ")


def held_out(speaker: str, share: float) -> bool:
    """Whether a speaker is kept for testing: by a hash, so that it stays so."""
    return zlib.crc32(f"held out {speaker}".encode()) % 10_000 < share * 10_000


def words_wrong(text: str, heard: str) -> float:
    """Edits from `text` to `heard` a word of `text` (Levenshtein)."""
    target, given = text.split(), heard.split()
    row = list(range(len(given) + 1))
    for i, word in enumerate(target, 1):
        diagonal, row[0] = row[0], i
        for j, other in enumerate(given, 1):
            diagonal, row[j] = row[j], min(diagonal + (word != other), row[j] + 1, row[j - 1] + 1)
    return row[-1] / max(1, len(target))


def read_table(path: Path, columns: Sequence[str]) -> Iterator[dict[str, str]]:
    """The rows of a tab-separated table by column; a heading line is skipped."""
    for line in path.read_text("utf-8").splitlines():
        cells = line.split("\t")
        if len(cells) < len(columns) or cells[0] == columns[0]:
            continue
        yield dict(zip(columns, cells, strict=False))


def clean(
    rows: Iterable[Mapping[str, str]],
    source: str,
    share: float,
    heard: Mapping[str, Mapping[str, Any]],
    counts: Counter[str],
) -> Iterator[Recorded]:
    """The usable utterances of a table; why the others are not is counted in `counts`."""
    for row in rows:
        hearing = heard.get(row["file"])
        text, problem = _agreed_text(row["text"], hearing)
        counts[problem or "kept"] += 1
        if problem:
            continue
        speaker = row.get("speaker") or source
        # A speaker whose name is not known cannot be held out: his recordings are split instead.
        group = row["file"] if speaker == "unknown" else speaker
        yield Recorded(
            id=f"{source}/{row['file']}",
            file=row["file"],
            text=text,
            speaker=speaker,
            source=source,
            split="test" if held_out(group, share) else "train",
        )


def _agreed_text(text: str, hearing: Mapping[str, Any] | None) -> tuple[str, str]:
    """The words said, and why they cannot be used (empty where they can)."""
    words = spoken(text)
    if hearing is None:
        return words, "" if words else "no text that can be spoken"
    other = spoken(hearing["heard"])
    if not words:
        sure = min(hearing["lp"], default=-9.0) > LEAST_SURE and len(other.split()) >= CHECKED_FROM
        return other, "" if sure else "no text, and not heard surely"
    if not other:
        return words, "another recogniser heard nothing"
    if len(words.split()) >= CHECKED_FROM and words_wrong(words, other) > MOST_WRONG:
        return words, "another recogniser heard something else"
    return words, ""


def decode(lines: Sequence[Mapping[str, Any]], folder: Path, out: Path, processes: int) -> float:
    """Write the samples of all files one after the other; gives the hours.

    A file that cannot be read is left out and named.
    """
    out.parent.mkdir(parents=True, exist_ok=True)
    start = 0
    with (
        Pool(processes) as pool,
        out.with_suffix(".i16").open("wb") as sound,
        out.with_suffix(".jsonl").open("w", encoding="utf-8") as written,
    ):
        paths = [folder / line["file"] for line in lines]
        for line, samples in zip(lines, pool.imap(_samples, paths, chunksize=8), strict=True):
            if samples is None:
                print(f"left out, cannot be read: {line['file']}")
                continue
            sound.write(samples.tobytes())
            place = {"start": start, "samples": len(samples)}
            written.write(json.dumps({**line, **place}) + "\n")
            start += len(samples)
    return start / RATE / 3600


def noises(rows: Iterable[Mapping[str, str]], share: float) -> Iterator[dict[str, str]]:
    """Sounds without speech, each with its class; a share of the files is kept for testing."""
    for row in rows:
        split = "test" if held_out(row["file"], share) else "train"
        yield {"id": row["file"], "file": row["file"], "class": row["class"], "split": split}


def _samples(path: Path) -> np.ndarray | None:
    import soundfile

    try:
        samples, rate = soundfile.read(path, dtype="int16", always_2d=True)
    except (OSError, RuntimeError):
        return None
    if rate != RATE:
        return None
    return np.ascontiguousarray(samples[:, 0])


def _heard(path: Path | None) -> dict[str, dict[str, Any]]:
    if path is None:
        return {}
    lines = map(json.loads, path.read_text("utf-8").splitlines())
    return {Path(line["file"]).name: line for line in lines}


def main() -> None:
    """Read the command line and do one of the two."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    steps = options.add_subparsers(dest="step", required=True)
    for name in ("clean", "noise"):
        step = steps.add_parser(name)
        step.add_argument("manifest", type=Path)
        step.add_argument("--columns", default="file,speaker,text")
        step.add_argument("--source", default="noise")
        step.add_argument("--heard", type=Path)
        step.add_argument("--test-share", type=float, default=0.05)
        step.add_argument("--out", type=Path, required=True)
    decoding = steps.add_parser("decode")
    decoding.add_argument("lines", type=Path)
    decoding.add_argument("folder", type=Path)
    decoding.add_argument("store", type=Path)
    decoding.add_argument("--processes", type=int, default=8)
    chosen = options.parse_args()
    if chosen.step == "decode":
        lines = [json.loads(line) for line in chosen.lines.read_text("utf-8").splitlines()]
        out = chosen.store / chosen.lines.stem
        print(f"{out.name}: {decode(lines, chosen.folder, out, chosen.processes):.2f} h")
        return
    rows = read_table(chosen.manifest, chosen.columns.split(","))
    counts: Counter[str] = Counter()
    if chosen.step == "noise":
        lines = list(noises(rows, chosen.test_share))
        counts["kept"] = len(lines)
    else:
        heard = _heard(chosen.heard)
        kept = clean(rows, chosen.source, chosen.test_share, heard, counts)
        lines = [asdict(item) for item in kept]
    chosen.out.write_text("".join(json.dumps(line) + "\n" for line in lines), "utf-8")
    print(chosen.source, dict(counts))


if __name__ == "__main__":
    main()
