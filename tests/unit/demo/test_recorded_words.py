"""The words of each recording, taken as typed, give the records that its manifest expects."""

from __future__ import annotations

import json
from datetime import datetime
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from voicelog import parse_memo
from voicelog.farm import Farm, read_farm
from voicelog.types import Draft, Quantity, SlotValue

NOT_YET_READ: dict[str, str] = {}
"""Recordings whose words the parser misreads; the test fails once one is read rightly."""

MANIFEST = Path(__file__).parents[3] / "corpora" / "speech" / "manifest.jsonl"


@cache
def demo_farm() -> Farm:
    return read_farm((files("voicelog.demo") / "farm.toml").read_text("utf-8"))


def plain_slot(value: SlotValue) -> object:
    return {"value": value.value, "unit": value.unit} if isinstance(value, Quantity) else value


def plain(record: Draft) -> dict[str, object]:
    """The record as the manifest writes it."""
    return {
        "kind": record.kind,
        "status": str(record.status),
        "when": {
            "from": record.when.from_.isoformat() if record.when.from_ else None,
            "to": record.when.to.isoformat() if record.when.to else None,
            "precision": str(record.when.precision),
        },
        "when_said": record.when_said,
        "place": record.place,
        "flock": record.flock,
        "birds": list(record.birds),
        **{name: plain_slot(value) for name, value in record.slots.items()},
    }


def recorded() -> list[Any]:
    """Each line of the manifest, the known failures marked."""
    lines = [json.loads(line) for line in MANIFEST.read_text("utf-8").splitlines()]
    return [
        pytest.param(
            line,
            id=line["file"],
            marks=[pytest.mark.xfail(reason=NOT_YET_READ[line["file"]], strict=True)]
            if line["file"] in NOT_YET_READ
            else [],
        )
        for line in lines
    ]


@pytest.mark.parametrize("line", recorded())
def test_the_words_give_the_expected_records(line: dict[str, Any]) -> None:
    farm = demo_farm()
    now = datetime.fromisoformat(line["now"]).replace(tzinfo=ZoneInfo(farm.timezone))
    parsed = parse_memo(line["text"], farm, now)
    assert [plain(record) for record in parsed.records] == line["records"]
