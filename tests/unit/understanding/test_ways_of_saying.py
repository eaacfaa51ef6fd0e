"""One meaning, many phrasings; and notes that mean nothing that could be recorded.

The tables are data: `corpora/plain/ways.jsonl` (a record and the ways it is said) and
`corpora/plain/nothing.jsonl` (sorts of notes without an event).
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from voicelog.catalogue import load_catalogue
from voicelog.types import Draft, Parse, Quantity

PLAIN = Path(__file__).resolve().parents[3] / "corpora" / "plain"


def rows(name: str) -> list[dict[str, Any]]:
    text = (PLAIN / name).read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]


WAYS = rows("ways.jsonl")


def said(draft: Draft) -> dict[str, Any]:
    """Everything that a record says, as the table writes it."""
    slots = {
        name: {"value": value.value, "unit": value.unit} if isinstance(value, Quantity) else value
        for name, value in draft.slots.items()
    }
    common = {
        "kind": draft.kind,
        "place": draft.place,
        "flock": draft.flock,
        "birds": list(draft.birds),
    }
    return {name: value for name, value in (common | slots).items() if value not in (None, [])}


@pytest.mark.parametrize(
    ("text", "record"), [(text, row["record"]) for row in WAYS for text in row["ways"]], ids=str
)
def test_a_way_of_saying_it(
    text: str, record: dict[str, Any], parse: Callable[[str], Parse]
) -> None:
    got = parse(text)
    assert [said(draft) for draft in got.records] == [record]
    (draft,) = got.records
    assert draft.status == "done"
    assert draft.when_said is None
    assert draft.when.from_ == draft.when.to == got.now
    assert draft.text in text
    assert (got.questions, got.instructions, got.unused) == ((), (), ())


def test_every_kind_is_said_in_several_ways() -> None:
    told = {row["record"]["kind"] for row in WAYS}
    assert told == {kind.name for kind in load_catalogue().kinds}
    assert all(len(set(row["ways"])) >= 5 for row in WAYS)


@pytest.mark.parametrize(
    "text", [text for row in rows("nothing.jsonl") for text in row["texts"]], ids=str
)
def test_a_note_without_an_event(text: str, parse: Callable[[str], Parse]) -> None:
    got = parse(text)
    assert {draft.kind for draft in got.records} <= {"remark"}
    assert got.instructions == ()


@pytest.mark.parametrize(
    "text",
    [text for row in rows("nothing.jsonl") if row["sort"] == "question" for text in row["texts"]],
)
def test_a_question_is_asked_and_recorded_nowhere(text: str, parse: Callable[[str], Parse]) -> None:
    got = parse(text)
    assert got.questions == (text,)
    assert got.records == ()
