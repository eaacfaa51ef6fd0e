"""Three thousand lines of any sort through `parse --json -`, in a process of its own."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from voicelog.catalogue import load_catalogue
from voicelog.types import Precision, Status

ROOT = Path(__file__).resolve().parents[2]
MEMOS = ROOT / "corpora" / "memos"
LINES = 3_000
SEED = 20270504
START_S = 30
"""Far more than starting the program takes."""
LEAST_LINES_A_SECOND = 300
SLOW_MACHINE = 3
"""How often more time than the contract gives is let pass on a machine that others share."""

KEYS = ["memo", "now", "records", "questions", "instructions", "unused"]
ALWAYS = {"kind", "status", "when", "text", "certainty", "doubts", "place", "flock", "birds"}
RANGES = [(0x20, 0x7E), (0xA0, 0x24F), (0x300, 0x36F), (0x400, 0x4FF), (0x600, 0x6FF),
          (0x2000, 0x206F), (0x4E00, 0x4FFF), (0xE000, 0xE0FF), (0x1F300, 0x1F6FF),
          (0x0, 0x9), (0xB, 0xC), (0xE, 0x1F), (0x7F, 0x9F)]  # fmt: skip
STEERING = ["no", "not", "sorry", "make that", "scratch that", "that was", "same for", "and",
            "then", "tomorrow", "friday", "at seven", "last night", "how many", "when did", "?",
            ".", ",", "it", "them", "each", "didn't", "need to", "from", "to", "until", "half",
            "a dozen", "twenty two", "3.5", "$4", "#", "...", "coop a", "coop b"]  # fmt: skip


def _corpus() -> list[str]:
    files = sorted(MEMOS.glob("*.jsonl"))
    return [json.loads(line)["text"] for file in files for line in file.open(encoding="utf-8")]


def _salad(dice: random.Random, words: list[str]) -> str:
    return " ".join(dice.choices(words, k=dice.randint(1, 25)))


def _letters(dice: random.Random) -> str:
    drawn = (chr(dice.randint(*dice.choice(RANGES))) for _ in range(dice.randint(0, 60)))
    return "".join(drawn)


def _cut(dice: random.Random, memos: list[str]) -> str:
    memo = dice.choice(memos)
    first, last = sorted(dice.randint(0, len(memo)) for _ in range(2))
    return memo[first:last]


def _shuffled(dice: random.Random, memos: list[str]) -> str:
    words = " ".join(dice.sample(memos, 2)).split()
    dice.shuffle(words)
    return " ".join(words[:40])


def _figures(dice: random.Random) -> str:
    written = (dice.choice([str, hex, "{:,}".format, "{:.3e}".format, "{}th".format, "{}:30".format,
                            "${}".format, "-{}".format, "{}/5".format])(dice.randint(0, 10**12))
               for _ in range(dice.randint(1, 8)))  # fmt: skip
    return " ".join(written)


def _sorts(dice: random.Random) -> Iterator[Callable[[], str]]:
    memos = _corpus()
    words = sorted({word for memo in memos for word in memo.split()}) + STEERING * 20
    yield lambda: _salad(dice, words)
    yield lambda: _salad(dice, STEERING)
    yield lambda: _letters(dice)
    yield lambda: _cut(dice, memos)
    yield lambda: _shuffled(dice, memos)
    yield lambda: _figures(dice)
    yield lambda: f"{_cut(dice, memos)} {_letters(dice)} {_cut(dice, memos)}"


def lines_of_any_sort(seed: int, count: int) -> list[str]:
    """Lines that hold no line feed and do not end in a carriage return; the same for a seed."""
    dice = random.Random(seed)
    sorts = list(_sorts(dice))
    return [dice.choice(sorts)().replace("\n", " ") for _ in range(count)]


@pytest.fixture(scope="module")
def lines() -> list[str]:
    return lines_of_any_sort(SEED, LINES)


@pytest.fixture(scope="module")
def printed(lines: list[str], farm_file: Path) -> tuple[list[dict[str, Any]], float]:
    """The objects of all lines, and the seconds that the whole process took."""
    command = [sys.executable, "-m", "voicelog", "parse", "--json", "--farm", str(farm_file)]
    began = time.monotonic()
    ran = subprocess.run(
        [*command, "--now", "2027-05-04T08:10", "-"],
        input="".join(f"{line}\n" for line in lines).encode(),
        capture_output=True,
        check=False,
        env=os.environ | {"PYTHONUTF8": "0", "LC_ALL": "C", "PYTHONIOENCODING": ""},
        cwd=farm_file.parent,
    )
    took = time.monotonic() - began
    assert (ran.returncode, ran.stderr) == (0, b"")
    return [json.loads(line) for line in ran.stdout.decode().split("\n")[:-1]], took


def test_every_line_gives_one_object_with_its_memo_unchanged(
    lines: list[str], printed: tuple[list[dict[str, Any]], float]
) -> None:
    forms, _ = printed
    assert [form["memo"] for form in forms] == lines


def test_every_object_is_whole(printed: tuple[list[dict[str, Any]], float]) -> None:
    forms, _ = printed
    catalogue = load_catalogue()
    kinds = {kind.name: {slot.name for slot in kind.slots} for kind in catalogue.kinds}
    for form in forms:
        assert list(form) == KEYS
        assert all(isinstance(text, str) for key in KEYS[3:] for text in form[key])
        for record in form["records"]:
            _check_record(record, kinds)


def _check_record(record: dict[str, Any], kinds: dict[str, set[str]]) -> None:
    assert set(record) >= ALWAYS, record
    assert set(record) - ALWAYS - {"when_said", "by"} <= kinds[record["kind"]], record
    assert record["status"] in set(Status)
    assert isinstance(record["text"], str)
    assert isinstance(record["certainty"], float | int)
    assert 0 <= record["certainty"] <= 1
    when = record["when"]
    assert when["precision"] in set(Precision)
    sides = [datetime.fromisoformat(when[side]) for side in ("from", "to") if when[side]]
    assert all(moment.utcoffset() is not None for moment in sides)
    assert sides == sorted(sides), record
    now = datetime.fromisoformat("2027-05-04T08:10-04:00")
    if record["status"] == "done" and when["to"]:
        assert sides[-1] <= now, record
    for value in record.values():
        if isinstance(value, dict) and value is not when:
            assert list(value) == ["value", "unit"], record
            assert isinstance(value["value"], int | float)
            assert isinstance(value["unit"], str)


def test_the_words_of_a_record_are_the_memos_own(
    printed: tuple[list[dict[str, Any]], float],
) -> None:
    forms, _ = printed
    for form in forms:
        for record in form["records"]:
            assert all(part in form["memo"] for part in record["text"].split(" … "))
        for words in (*form["questions"], *form["instructions"], *form["unused"]):
            assert words in form["memo"]


def test_some_of_it_says_something(printed: tuple[list[dict[str, Any]], float]) -> None:
    # Were all of it noise, the tests above would hold for a parser that reads nothing.
    forms, _ = printed
    found = {record["kind"] for form in forms for record in form["records"]}
    assert len(found) > 12
    assert sum(bool(form["records"]) for form in forms) > LINES / 3


def test_it_is_done_in_time(printed: tuple[list[dict[str, Any]], float]) -> None:
    _, took = printed
    assert took < START_S + SLOW_MACHINE * LINES / LEAST_LINES_A_SECOND


def test_the_same_lines_are_understood_the_same_again(
    lines: list[str], printed: tuple[list[dict[str, Any]], float], run: Callable[..., Any]
) -> None:
    forms, _ = printed
    few = slice(0, LINES, 30)
    typed = "".join(f"{line}\n" for line in lines[few]).encode()
    assert run("parse", "-", typed=typed, now="2027-05-04T08:10").objects == forms[few]
