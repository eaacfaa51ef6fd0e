"""The questions of the season, answered from the records as they were written by hand."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from voicelog.answering import answer
from voicelog.farm import Farm, load_farm
from voicelog.records import NewChange, Store
from voicelog.types import (
    Answer,
    ChangeKind,
    Draft,
    Interval,
    Parse,
    Precision,
    Quantity,
    Status,
    frozen_slots,
)

CORPORA = Path(__file__).parents[2] / "corpora"
_COMMON = {"kind", "status", "when", "when_said", "place", "flock", "birds", "by"}


def lines(name: str) -> list[dict[str, Any]]:
    """The objects of a season file."""
    text = (CORPORA / "season" / name).read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]


def draft(row: dict[str, Any], text: str) -> Draft:
    """A record as the corpus writes it."""
    when = row["when"]
    return Draft(
        kind=row["kind"],
        status=Status(row["status"]),
        when=Interval(
            from_=when["from"] and datetime.fromisoformat(when["from"]),
            to=when["to"] and datetime.fromisoformat(when["to"]),
            precision=Precision(when["precision"]),
        ),
        when_said=row["when_said"],
        place=row["place"],
        flock=row["flock"],
        birds=tuple(row["birds"]),
        by=row.get("by"),
        slots=frozen_slots(
            {
                name: Quantity(**value) if isinstance(value, dict) else value
                for name, value in row.items()
                if name not in _COMMON
            }
        ),
        text=text,
        certainty=1.0,
    )


def fill(store: Store, farm: Farm, rows: list[dict[str, Any]]) -> None:
    """Keep a season, with what its words to the assistant change."""
    zone = ZoneInfo(farm.timezone)
    kept: list[tuple[int, ...]] = []
    for row in rows:
        now = datetime.fromisoformat(row["now"]).replace(tzinfo=zone)
        memo = store.keep_memo(said_at=now, text=row["text"], source="typed")
        drafts = tuple(draft(record, row["text"]) for record in row["records"])
        parse = Parse(memo=row["text"], now=now, records=drafts)
        changes = _changes(row["text"], kept, now, memo.id) if not drafts else ()
        records = store.keep_parse(memo.id, parse, parser="by hand", changes=changes)
        if records:
            kept.append(tuple(record.id for record in records))


def _changes(
    text: str, kept: list[tuple[int, ...]], now: datetime, memo: int
) -> Iterator[NewChange] | tuple[NewChange, ...]:
    def change(record: int, kind: ChangeKind, field: str | None, new: Any) -> NewChange:
        return NewChange(record_id=record, kind=kind, at=now, field=field, new=new, memo_id=memo)

    if text == "scratch that":
        return tuple(change(r, ChangeKind.WITHDRAW, None, None) for r in kept[-1])
    if text == "make that six":
        return (change(kept[-1][-1], ChangeKind.CORRECT, "count", 6),)
    if text == "that was coop b":
        return (change(kept[-1][-1], ChangeKind.CORRECT, "place", "coop B"),)
    raise AssertionError(f"a memo without records: {text}")


@pytest.fixture(scope="module")
def farm() -> Farm:
    return load_farm(CORPORA / "farms" / "larkrise.toml")


@pytest.fixture(scope="module")
def store(farm: Farm, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    with Store.open(str(tmp_path_factory.mktemp("season") / "season.db")) as store:
        fill(store, farm, lines("larkrise_records.jsonl"))
        yield store


def same_value(expected: Any, got: Answer) -> bool:
    """Whether an answer's value is the one expected."""
    value = got.value
    if isinstance(expected, bool) or expected is None:
        return value is expected
    if isinstance(expected, list) and expected and isinstance(expected[0], dict):
        return value == tuple(Quantity(**one) for one in expected)
    if isinstance(expected, list):
        return isinstance(value, tuple) and {str(v).casefold() for v in value} == {
            v.casefold() for v in expected
        }
    if isinstance(expected, str):
        return isinstance(value, datetime) and value == datetime.fromisoformat(expected)
    return (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and abs(value - expected) < 1e-6
    )


def faults(row: dict[str, Any], got: Answer) -> list[str]:
    """Everything that is wrong with an answer."""
    expected = row["answer"]
    wrong = []
    if not same_value(expected["value"], got):
        wrong.append(f"value {got.value!r}, not {expected['value']!r}")
    if got.unit != expected["unit"]:
        wrong.append(f"unit {got.unit!r}, not {expected['unit']!r}")
    if "from" in expected and got.from_ != datetime.fromisoformat(expected["from"]):
        wrong.append(f"from {got.from_}")
    if (
        expected["value"] is None
        and row["sort"] != "not_understood"
        and ("no record" not in got.text.lower())
    ):
        wrong.append(f"no record is not said: {got.text}")
    if got.understood is (row["sort"] == "not_understood"):
        wrong.append(f"understood is {got.understood}")
    texts = {one.text for one in got.evidence}
    if row["evidence_texts"] and not texts & set(row["evidence_texts"]):
        wrong.append(f"evidence {texts}")
    return wrong


@pytest.mark.parametrize("row", lines("larkrise_questions.jsonl"), ids=lambda row: row["id"])
def test_a_question_of_the_season(row: dict[str, Any], store: Store, farm: Farm) -> None:
    now = datetime.fromisoformat(row["now"]).replace(tzinfo=ZoneInfo(farm.timezone))
    got = answer(row["question"], store, farm, now)
    assert not faults(row, got), f"{row['question']}: {faults(row, got)}: {got.text}"
