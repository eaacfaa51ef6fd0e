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


NOW = "2027-05-03T09:00"
OTHER_WORDS: list[tuple[str, str, Any, str | None]] = [
    (NOW, "eggs from coop b on tuesday", 11, "egg"),
    (NOW, "how many eggs did we pick up on the twenty third", 34, "egg"),
    (NOW, "how many eggs from all three coops on april twenty ninth", 37, "egg"),
    (NOW, "what did coop a lay on april tenth", 21, "egg"),
    (NOW, "how many eggs did the blue flock lay last week", 88, "egg"),
    (NOW, "how many eggs over the weekend", 70, "egg"),
    (NOW, "how many dirty eggs did coop a have last month", 2, "egg"),
    (NOW, "how many eggs did we find outside the boxes in april", 5, "egg"),
    (NOW, "how many buckets of creek water did we haul in april", 10, "bucket"),
    (NOW, "how much starter have the chicks had", 3, "scoop"),
    (NOW, "how many gallons of water did coop b get on april sixth", 4, "gallon"),
    (NOW, "how much did we spend on feed in april", 142.5, "dollar"),
    (NOW, "how much money did we spend last week", 57, "dollar"),
    (NOW, "how much did the hardware cloth cost", 48, "dollar"),
    (NOW, "what were our egg sales in april", 94, "dollar"),
    (NOW, "how many flats of eggs did we sell", 11.2, "flat"),
    (NOW, "how many days did we let them out last week", 6, "day"),
    (NOW, "how far have we moved coop b in april", 50, "foot"),
    (NOW, "what was the last head count", 51, "bird"),
    (NOW, "how cold was it on april eighth", 29, "degree"),
    (NOW, "how many treatments did plum get", 3, "time"),
    (NOW, "how often did we feed oyster shell in april", 2, "time"),
    (NOW, "how does coop a compare with coop b for eggs in april", 135, "egg"),
    (NOW, "how many fewer eggs did coop c lay than coop a last week", -100, "egg"),
    (NOW, "difference in eggs between last week and the week before", 30, "egg"),
    (NOW, "how long has the shade been down", 5, "day"),
    (NOW, "what was the best day for eggs last week", "2027-04-30T00:00:00-05:00", None),
    (NOW, "when did it last rain", "2027-04-17T21:00:00-05:00", None),
    (NOW, "when did plum start the antibiotic", "2027-04-13T08:10:00-05:00", None),
    (NOW, "when will we clear the fence line", "2027-05-03T00:00:00-05:00", None),
    (NOW, "did coop a or coop b lay more last week", ["coop A"], None),
    (NOW, "which coop got the most feed last week", ["coop A"], None),
    (NOW, "which paddock did we move coop a into last", ["orchard paddock"], None),
    (NOW, "which way was the fox heading", ["e"], None),
    (NOW, "what dose of antibiotic does plum get", ["half a milliliter a day"], None),
    (NOW, "what was wrong with the fence on april eighteenth", ["broken clip"], None),
    (NOW, "what did we skip last week", ["move"], None),
    (NOW, "what is overdue", ["repair"], None),
    (NOW, "how did we lose the hen", ["predator"], None),
    (NOW, "can we eat plum's eggs", True, None),
    # The ointment of the twenty seventh came without days from its label.
    (NOW, "can we eat the eggs", None, None),
    ("2027-04-20T12:00", "can we eat plum's eggs", False, None),
    ("2027-04-18T20:00", "where didn't we collect eggs today", ["coop C"], None),
    ("2027-04-12T18:00", "which coops got no water today", ["coop B"], None),
    ("2027-04-19T20:00", "where is the fence going next", ["orchard paddock"], None),
    ("2027-04-20T20:00", "do we need to buy grit", True, None),
    (NOW, "does anyone have mites", True, None),
    (NOW, "is hazel broody", False, None),
    (NOW, "did we forget to move coop b on april twenty sixth", True, None),
    (NOW, "has coop b been cleaned out", None, None),
    (NOW, "how much profit did we make in april", None, None),
]


@pytest.mark.parametrize(
    ("now", "question", "value", "unit"), OTHER_WORDS, ids=[row[1] for row in OTHER_WORDS]
)
def test_the_same_season_in_other_words(
    now: str, question: str, value: Any, unit: str | None, store: Store, farm: Farm
) -> None:
    asked_at = datetime.fromisoformat(now).replace(tzinfo=ZoneInfo(farm.timezone))
    got = answer(question, store, farm, asked_at)
    assert same_value(value, got), got.text
    assert got.unit == unit
