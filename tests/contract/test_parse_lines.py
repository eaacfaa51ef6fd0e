"""`parse --json`: the object of a memo, and one object for each line of many."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

Call = Callable[..., Any]

MEMO_KEYS = ["memo", "now", "records", "questions", "instructions", "unused"]
COMMON = ["kind", "status", "when", "when_said", "place", "flock", "birds"]
LAST = ["text", "certainty", "doubts"]
ALWAYS = {"kind", "status", "when", "text", "certainty", "doubts"}


def test_the_object_is_that_of_the_contract(run: Call) -> None:
    text = "27 eggs from coop B, two cracked"
    form = run("parse", "--json", text, now="2027-05-04T08:10").object
    now = "2027-05-04T08:10:00-04:00"
    (record,) = form["records"]
    certainty = record.pop("certainty")
    assert 0 <= certainty <= 1
    assert record.pop("text") in text
    assert record == {
        "kind": "eggs",
        "status": "done",
        "when": {"from": now, "to": now, "precision": "minute"},
        "when_said": None,
        "place": "coop B",
        "flock": None,
        "birds": [],
        "count": 27,
        "cracked": 2,
        "doubts": [],
    }
    assert {name: form[name] for name in MEMO_KEYS if name != "records"} == {
        "memo": text,
        "now": now,
        "questions": [],
        "instructions": [],
        "unused": [],
    }


@pytest.mark.parametrize(
    "text",
    [
        "fed coop a two scoops of layer",
        "need to move coop a friday",
        "didn't get to the nest boxes",
        "the wind blew the tarp off the old wagon",
        "juniper is limping, clove is fine",
    ],
)
def test_what_every_record_holds(run: Call, text: str) -> None:
    form = run("parse", "--json", text).object
    assert list(form) == MEMO_KEYS
    assert form["records"]
    for record in form["records"]:
        assert set(record) >= ALWAYS
        assert record["status"] in {"done", "not_done", "planned"}
        assert list(record["when"]) == ["from", "to", "precision"]
        assert isinstance(record["doubts"], list)
        assert isinstance(record["birds"], list)


def test_a_quantity_has_the_unit_as_said_in_the_singular(run: Call) -> None:
    form = run("parse", "--json", "fed coop a two and a half scoops of layer").object
    assert form["records"][0]["amount"] == {"value": 2.5, "unit": "scoop"}


def test_a_question_an_instruction_and_words_left_over(run: Call) -> None:
    told = run("parse", "--json", "scratch that").object
    assert told["instructions"] == ["scratch that"]
    over = run("parse", "--json", "nine eggs from coop a christmas").object
    assert over["unused"] == ["christmas"]
    assert (told["records"], over["instructions"]) == ([], [])
    asked = run("parse", "--json", "how many eggs did we get today?").object
    assert len(asked["questions"]) == 1
    assert asked["records"] == []


def test_the_bulk_needs_no_json_option_and_ends_with_0(run: Call) -> None:
    plain = run("parse", "-", typed=b"nine eggs from coop a\n")
    asked = run("parse", "--json", "-", typed=b"nine eggs from coop a\n")
    assert plain == asked
    assert (plain.code, plain.err) == (0, "")


SEPARATORS = {
    "line separator": "\u2028",
    "paragraph separator": "\u2029",
    "next line": "\x85",
    "form feed": "\x0c",
    "vertical tab": "\x0b",
    "file separator": "\x1c",
    "group separator": "\x1d",
    "record separator": "\x1e",
    "unit separator": "\x1f",
    "carriage return": "\r",
    "null": "\x00",
    "escape": "\x1b[2J",
    "end of text": "\x04\x1a",
    "tab": "\t",
    "no-break space": "\xa0",
    "zero width": "\u200b\u2060\ufeff",
    "right to left": "\u202e",
    "combining": "e\u0301\u0302",
    "outside the plane": "\U0001f414\U0010ffff",
}


def test_only_a_line_feed_ends_a_memo(run: Call) -> None:
    memos = [
        memo
        for mark in SEPARATORS.values()
        for memo in (f"nine eggs{mark} from coop a{mark}{mark}x", f"{mark}two eggs", f"2{mark}eggs")
    ]
    ran = run("parse", "-", typed="\n".join(memos).encode())
    assert [form["memo"] for form in ran.objects] == memos
    assert ran.code == 0


@pytest.mark.parametrize(
    ("typed", "memos"),
    [
        (b"", []),
        (b"\n", [""]),
        (b"\r\n", [""]),
        (b"\n\n", ["", ""]),
        (b"a\nb", ["a", "b"]),
        (b"a\r\nb\r\n", ["a", "b"]),
        (b"a\r\r\nb", ["a\r", "b"]),
        (b"a\n\rb\n", ["a", "\rb"]),
        (b"a\r", ["a\r"]),
        (b"  a  \n\ta\n", ["  a  ", "\ta"]),
        (b"   \n", ["   "]),
        (b"\xef\xbb\xbfa\n", ["\ufeffa"]),
    ],
)
def test_how_lines_are_split(run: Call, typed: bytes, memos: list[str]) -> None:
    assert [form["memo"] for form in run("parse", "-", typed=typed).objects] == memos


def test_a_line_of_nothing_gives_an_object_without_records(run: Call) -> None:
    forms = run("parse", "-", typed=b"\n\r\n   \n\t\x0c\n").objects
    assert len(forms) == 4
    for form in forms:
        assert list(form) == MEMO_KEYS
        assert [form[name] for name in MEMO_KEYS[2:]] == [[], [], [], []]


NO_TEXT = [
    b"\x85 nine eggs from coop a",
    b"nine eggs \xff\xfe from coop a",
    b"\xed\xa0\x80 nine eggs from coop a",
    b"nine eggs from coop a \xc3",
    b"\xf8\x88\x80\x80\x80 nine eggs from coop a",
]


def test_bytes_that_are_no_text_cost_neither_the_line_nor_the_next(run: Call) -> None:
    ran = run("parse", "-", typed=b"\n".join([*NO_TEXT, b"last"]))
    *forms, last = ran.objects
    assert [form["memo"] for form in forms] == [line.decode("utf-8", "replace") for line in NO_TEXT]
    for form in forms:
        assert (form["records"][0]["kind"], form["records"][0]["count"]) == ("eggs", 9)
    assert last["memo"] == "last"
    assert ran.code == 0


@pytest.mark.parametrize(
    "text",
    [
        "nine eggs from coop a and " * 700,
        "x" * 100_000,
        "(" * 15_000,
        "9" * 30_000,
        "friday " * 1_500,
    ],
    ids=["memos", "one word", "brackets", "digits", "days"],
)
def test_a_very_long_line_is_one_memo(run: Call, text: str) -> None:
    ran = run("parse", "-", typed=f"{text}\ntwo eggs\n".encode())
    assert [form["memo"] for form in ran.objects] == [text, "two eggs"]


def test_letters_are_written_as_they_are(run: Call) -> None:
    ran = run("parse", "-", typed='zwölf Eier 🥚 “quoted” \\ "'.encode())
    assert "zwölf Eier 🥚 “quoted”".encode() in ran.out


def test_each_line_is_one_line_of_json(run: Call) -> None:
    ran = run("parse", "-", typed="one\u2028two\n\x0bthree\n".encode())
    lines = ran.out.split(b"\n")
    assert [json.loads(line)["memo"] for line in lines[:-1]] == ["one\u2028two", "\x0bthree"]
    assert lines[-1] == b""


def test_parse_makes_no_store(run: Call, store_file: Any) -> None:
    run("parse", "--json", "nine eggs from coop a")
    run("parse", "-", typed=b"nine eggs from coop a")
    assert not store_file.exists()
