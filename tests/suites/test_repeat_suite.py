"""Spoken repetitions on a public test set.

The set lies outside the repository; without it the test skips. What a recurrence rule cannot
hold (a beginning, exceptions) is not compared. The floor is what is reached now.
"""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from voicelog.text.repeats import find_repeats

SUITE = Path(__file__).resolve().parents[3] / "shared" / "suites" / "repeats_recurrent"
pytestmark = pytest.mark.skipif(
    not SUITE.is_dir(), reason="the public suites are not beside this checkout"
)

LEAST_RIGHT = 0.99
PARTS = (
    "freq", "interval", "byday", "bymonthday", "byyearday", "byweekno", "bymonth", "bysetpos",
    "byhour", "byminute", "count", "until",
)  # fmt: skip


def parts_of(rule: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    """The parts of a rule with their values in order; an interval that is not said is 1."""
    parts = {
        name: tuple(sorted(str(rule[name]).lower().split(",")))
        for name in PARTS
        if rule.get(name) not in (None, "")
    }
    return {"interval": ("1",)} | parts


def is_right(row: dict[str, Any]) -> bool:
    now = datetime.fromisoformat(row["ref"]).replace(tzinfo=ZoneInfo("UTC"))
    found = find_repeats(row["text"], now)
    expected = row["expected"]
    if not isinstance(expected, dict):
        return found == ()
    if len(found) != 1:
        return False
    said = dict(part.lower().split("=") for part in found[0].rrule.split(";"))
    return parts_of(said) == parts_of(expected)


def test_repetitions_are_right(capsys: pytest.CaptureFixture[str]) -> None:
    lines = (SUITE / "repeats.jsonl").read_text(encoding="utf-8").split("\n")
    rows = [json.loads(line) for line in lines if line.strip()]
    assert len(rows) > 150
    wrong = [row["id"] for row in rows if not is_right(row)]
    with capsys.disabled():
        print(f"\nrepetitions right: {len(rows) - len(wrong)} of {len(rows)}")
    assert 1 - len(wrong) / len(rows) >= LEAST_RIGHT, wrong
