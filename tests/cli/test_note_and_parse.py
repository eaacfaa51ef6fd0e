"""`note` and `parse`: what goes in, what is kept, what is printed."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from voicelog.records import Store

Run = Callable[..., Any]

COMMON = ["kind", "status", "when", "when_said", "place", "flock", "birds"]
LAST = ["text", "certainty", "doubts"]


def objects(text: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in text.split("\n") if line]


def test_parse_prints_the_object_of_the_contract(run: Run) -> None:
    ran = run("parse", "--json", "twenty seven eggs from coop b, two cracked")
    (form,) = objects(ran.out)
    assert ran.code == 0
    assert list(form) == ["memo", "now", "records", "questions", "instructions", "unused"]
    assert form["now"] == "2027-05-04T18:00:00-04:00"
    (record,) = form["records"]
    slots = [key for key in record if key not in COMMON + LAST]
    assert list(record) == COMMON + slots + LAST
    assert (record["kind"], record["place"]) == ("eggs", "coop B")
    assert {slot: record[slot] for slot in slots} == {"count": 27, "cracked": 2}
    instant = {"from": form["now"], "to": form["now"], "precision": "minute"}
    assert record["when"] == instant


def test_parse_stores_nothing(run: Run, store_file: Path) -> None:
    assert run("parse", "nine eggs from coop a").code == 0
    assert not store_file.exists()


WEIRD = [
    "",
    "nine eggs from coop a",
    "\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029",
    "\x00\x07\x1b[31mred\x1b[0m",
    "cr\rinside",
    "семь яиц из курятника",
    "七个鸡蛋",
    "دجاجة",
    "🐔🥚" * 10,
    "   ",
    "12",
    '"quoted" {"json": 1} \\ backslash',
]


def test_parse_of_many_lines_keeps_each_memo_unchanged(run: Run) -> None:
    text = "\n".join(WEIRD) + "\nlast\r\n\n"
    ran = run("parse", "--json", "-", typed=text.encode())
    forms = objects(ran.out)
    assert [form["memo"] for form in forms] == [*WEIRD, "last", ""]
    assert forms[0]["records"] == []
    assert ran.code == 0


def test_parse_of_a_line_without_line_feed_at_the_end_is_a_memo_too(run: Run) -> None:
    forms = objects(run("parse", "-", typed=b"one\ntwo\r").out)
    assert [form["memo"] for form in forms] == ["one", "two\r"]


def test_note_prints_ids_and_keeps_what_it_prints(run: Run, store_file: Path) -> None:
    (form,) = objects(run("note", "--json", "nine eggs from coop a, four from coop b").out)
    with Store.open(str(store_file), create=False) as store:
        records = store.records_of(form["memo_id"])
        assert [record.id for record in records] == [item["id"] for item in form["records"]]
        assert [record.draft.slots["count"] for record in records] == [9, 4]
        assert store.memo(form["memo_id"]).text == form["memo"]
    assert form["changes"] == []


def test_an_instruction_changes_the_memo_before_and_tells_it(run: Run, store_file: Path) -> None:
    (first,) = objects(run("note", "--json", "nine eggs from coop a").out)
    (second,) = objects(run("note", "--json", "make that twelve").out)
    record = first["records"][0]["id"]
    assert second["changes"] == [
        {"record": record, "change": "correct", "field": "count", "old": 9, "new": 12}
    ]
    (third,) = objects(run("note", "--json", "scratch that").out)
    assert [(c["record"], c["change"]) for c in third["changes"]] == [(record, "withdraw")]
    with Store.open(str(store_file), create=False) as store:
        assert store.record(record).withdrawn
        assert store.original(record).draft.slots["count"] == 9


def test_an_instruction_with_nothing_before_it_says_so(run: Run) -> None:
    ran = run("note", "--json", "scratch that")
    (form,) = objects(ran.out)
    assert ran.code == 0
    assert form["changes"] == []
    assert "no record before it" in form["problems"][0]


def test_note_in_bulk_takes_each_line_with_its_own_time(run: Run) -> None:
    lines = [
        {"now": "2027-05-01T08:00", "text": "nine eggs from coop a"},
        {"now": "2027-05-02T08:00", "text": "make that ten"},
        {"text": "four eggs from coop b"},
    ]
    ran = run("note", "--json", "-", typed="\n".join(json.dumps(line) for line in lines))
    forms = objects(ran.out)
    assert [form["now"][:16] for form in forms] == [
        "2027-05-01T08:00",
        "2027-05-02T08:00",
        "2027-05-04T18:00",
    ]
    assert forms[1]["changes"][0]["new"] == 10
    assert ran.code == 0


@pytest.mark.parametrize(
    "bad",
    [
        "no json",
        "[1, 2]",
        '{"now": "2027-05-01T08:00"}',
        '{"text": 12}',
        '{"text": ""}',
        '{"text": "nine eggs", "now": "someday"}',
        '{"text": "nine eggs", "now": 5}',
        '{"text": "nine eggs", "now": "0001-01-01T00:00"}',
        '{"text": "half a pair \\ud800"}',
        "[" * 100_000,
    ],
)
def test_a_bad_line_is_told_with_its_number_and_the_others_go_on(run: Run, bad: str) -> None:
    ran = run("note", "--json", "-", typed=f'{{"text": "one egg"}}\n{bad}\n{{"text": "two eggs"}}')
    assert [form["memo"] for form in objects(ran.out)] == ["one egg", "two eggs"]
    assert "Line 2" in ran.err
    assert "Traceback" not in ran.err
    assert ran.code == 1


@pytest.mark.parametrize(
    "text",
    [
        "12",
        "seven",
        "\x00\x1b[2J\x07 nine eggs",
        "siete huevos del gallinero",
        "七个鸡蛋",
        "?",
        "nine eggs from coop a. " + "the quick brown fox jumps over " * 3300,
    ],
    ids=["number", "word", "control", "spanish", "chinese", "mark", "100 kB"],
)
def test_any_text_is_kept_and_none_of_it_commands_the_terminal(
    run: Run, store_file: Path, text: str
) -> None:
    ran = run("note", text)
    assert ran.code == 0
    assert not set(ran.out) & set("\x00\x1b\x07")
    with Store.open(str(store_file), create=False) as store:
        memo = store.last_memo()
        assert memo is not None
        assert memo.text == text


@pytest.mark.parametrize("text", ["", "   ", "\n\t"])
def test_an_empty_memo_is_refused_and_makes_no_store(run: Run, store_file: Path, text: str) -> None:
    ran = run("note", text)
    assert (ran.code, ran.out) == (1, "")
    assert "empty" in ran.err
    assert not store_file.exists()


def test_note_shows_what_was_understood_in_lines(run: Run) -> None:
    ran = run("note", "nine eggs from coop a")
    lines = ran.out.splitlines()
    assert lines[0] == "Kept as memo 1."
    assert lines[1] == "  1. eggs gathered, coop A: eggs 9 (today 18:00)"
    assert not any(line.startswith("Caution: ") for line in lines)


def test_note_shows_the_caution_that_goes_with_a_record_once(run: Run) -> None:
    ran = run("note", "tested the fence and it reads six kilovolts, found two dead hens")
    cautions = [line for line in ran.out.splitlines() if line.startswith("Caution: ")]
    assert len(cautions) == len(set(cautions)) == 2


def test_a_memo_left_without_records_by_a_crash_is_taken_up_by_the_next(
    run: Run, store_file: Path
) -> None:
    with Store.open(str(store_file)) as store:
        said_at = datetime(2027, 5, 4, 8, tzinfo=UTC)
        memo = store.keep_memo(said_at=said_at, text="nine eggs from coop a", source="typed")
    ran = run("note", "four eggs from coop b")
    assert f"Memo {memo.id}" in ran.err
    with Store.open(str(store_file), create=False) as store:
        assert store.unparsed() == ()
        (record,) = store.records_of(memo.id)
        assert record.draft.slots["count"] == 9


def test_a_fault_in_the_parser_says_where_the_memo_is(
    run: Run, store_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from voicelog.understanding import Parser

    def broken(*_: object) -> None:
        raise ZeroDivisionError("by design")

    monkeypatch.setattr(Parser, "parse", broken)
    ran = run("note", "nine eggs from coop a")
    assert ran.code == 1
    assert f"kept in {store_file} as number 1" in ran.err
    assert "Traceback" not in ran.err
    monkeypatch.undo()
    with Store.open(str(store_file), create=False) as store:
        assert [memo.text for memo in store.unparsed()] == ["nine eggs from coop a"]


def test_a_fault_in_the_parser_keeps_no_later_line_from_being_noted(
    run: Run, store_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from voicelog.understanding import Parser

    whole = Parser.parse

    def broken(self: Parser, memo: Any, now: datetime) -> Any:
        if memo == "bad":
            raise ZeroDivisionError("by design")
        return whole(self, memo, now)

    monkeypatch.setattr(Parser, "parse", broken)
    ran = run("note", "--json", "-", typed='{"text": "bad"}\n{"text": "nine eggs from coop a"}\n')
    assert ran.code == 1
    assert "Line 1" in ran.err
    assert f"kept in {store_file} as number 1" in ran.err
    assert [form["memo"] for form in objects(ran.out)] == ["nine eggs from coop a"]
