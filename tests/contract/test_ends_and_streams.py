"""Exit codes, what goes to which stream, the common options, and the objects of the review."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Call = Callable[..., Any]
Note = Callable[..., list[dict[str, Any]]]


def program(
    *arguments: str, typed: bytes = b"", **surroundings: str
) -> subprocess.CompletedProcess[bytes]:
    """The program in a process of its own, with bare surroundings."""
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    return subprocess.run(
        [sys.executable, "-m", "voicelog", *arguments],
        input=typed,
        capture_output=True,
        check=False,
        env=kept | surroundings,
    )


@pytest.mark.parametrize(
    "arguments",
    [
        ("parse",),
        ("parse", "--nonsense", "nine eggs"),
        ("nonsense",),
        ("parse", "--now", "someday", "nine eggs"),
        ("parse", "--now", "2027-13-45T08:10", "nine eggs"),
        ("ask",),
        ("hear",),
        ("left", "more"),
    ],
)
def test_a_command_line_that_is_wrong_ends_with_2(run: Call, arguments: tuple[str, ...]) -> None:
    ran = run(*arguments)
    assert (ran.code, ran.out) == (2, b"")
    assert ran.err


@pytest.mark.parametrize(
    "arguments",
    [
        ("note", ""),
        ("ask", "--json", "tell me a story"),
        ("hear", "--json", "nowhere.wav"),
        ("left", "--farm", "nowhere.toml"),
    ],
)
def test_a_request_that_cannot_be_met_ends_with_1(run: Call, arguments: tuple[str, ...]) -> None:
    ran = run(*arguments)
    assert ran.code == 1
    assert ran.err or ran.object["answer"]["text"]
    assert "Traceback" not in ran.err


def test_a_file_that_is_no_store_is_left_as_it_was(run: Call, store_file: Path) -> None:
    store_file.write_bytes(b"a list of feed bought, no store\n" * 40)
    before = store_file.read_bytes()
    for arguments in (("note", "nine eggs"), ("ask", "how many eggs today"), ("left",)):
        ran = run(*arguments)
        assert (ran.code, ran.out) == (1, b"")
        assert len(ran.err.strip().split("\n\n")) == 1
    assert store_file.read_bytes() == before


def test_data_goes_to_one_stream_and_talk_to_the_other(farm_file: Path, tmp_path: Path) -> None:
    common = ("--store", str(tmp_path / "s.db"), "--farm", str(farm_file))
    lines = b'{"now": "2027-05-04T08:00", "text": "nine eggs from coop a"}\nno object\n'
    ran = program("note", *common, "--json", "-", typed=lines)
    assert ran.returncode == 1
    (line,) = ran.stdout.splitlines()
    assert json.loads(line)["records"][0]["count"] == 9
    assert b"Line 2" in ran.stderr


def test_the_environment_names_store_and_farm(farm_file: Path, tmp_path: Path) -> None:
    named = {"VOICELOG_STORE": str(tmp_path / "s.db"), "VOICELOG_FARM": str(farm_file)}
    now = ("--now", "2027-05-04T08:10", "--json")
    assert program("note", *now, "nine eggs from bee coop", **named).returncode == 0
    assert (tmp_path / "s.db").exists()
    asked = json.loads(program("ask", *now, "how many eggs from coop b today", **named).stdout)
    assert (asked["answer"]["value"], asked["answer"]["unit"]) == (9, "egg")


@pytest.mark.parametrize(
    ("said", "now"),
    [
        ("2027-05-04T08:10", "2027-05-04T08:10:00-04:00"),
        ("2027-05-04T08:10:30", "2027-05-04T08:10:30-04:00"),
        ("2027-05-04T08:10:00-04:00", "2027-05-04T08:10:00-04:00"),
        ("2027-05-04T12:10:00Z", "2027-05-04T08:10:00-04:00"),
        ("2027-05-04 08:10", "2027-05-04T08:10:00-04:00"),
        ("2027-01-04T08:10", "2027-01-04T08:10:00-05:00"),
    ],
)
def test_now_is_on_the_farms_clock(run: Call, note: Note, said: str, now: str) -> None:
    assert run("parse", "--json", "nine eggs", now=said).object["now"] == now
    (form,) = note((said, "nine eggs"))
    assert form["now"] == now
    assert form["records"][0]["when"] == {"from": now, "to": now, "precision": "minute"}


def test_lines_to_note_end_like_lines_to_parse(run: Call) -> None:
    lines = [
        json.dumps({"now": "2027-05-04T08:00", "text": "two\u2028eggs\x85"}, ensure_ascii=False),
        "",
        json.dumps({"text": "nine eggs\nfrom coop a", "more": [1]}),
    ]
    ran = run("note", "--json", "-", typed="\r\n".join(lines).encode())
    assert [form["memo"] for form in ran.objects] == ["two\u2028eggs\x85", "nine eggs\nfrom coop a"]
    assert (ran.code, ran.err) == (0, "")


@pytest.mark.parametrize("text", ["", "   "])
def test_an_empty_memo_is_understood_as_nothing(run: Call, text: str) -> None:
    ran = run("parse", "--json", text)
    assert (ran.code, ran.object["memo"], ran.object["records"]) == (0, text, [])


def test_the_review_is_one_object_doubts_first(note: Note, run: Call) -> None:
    note(
        ("2027-05-04T08:00", "nine eggs from coop a"),
        ("2027-05-04T09:00", "nine hundred eggs from coop b"),
    )
    form = run("review", "--json", typed=b"").object
    assert form["date"] == "2027-05-04"
    assert [memo["memo_id"] for memo in form["memos"]] == [1, 2]
    records = form["records"]
    assert [record["number"] for record in records] == [1, 2]
    assert [record["in_doubt"] for record in records] == [True, False]
    assert records[0]["doubts"]
    assert {"id", "memo_id", "kind", "status", "when", "text", "certainty"} <= set(records[0])
    assert (form["in_doubt"], form["open"], form["finished"]) == (1, 2, False)


def test_the_review_does_what_its_lines_say(note: Note, run: Call) -> None:
    note(
        ("2027-05-04T08:00", "nine eggs from coop a"),
        ("2027-05-04T09:00", "nine hundred eggs from coop b"),
    )
    ran = run("review", "--json", typed=b"number one: twelve\nthe second one is right\n")
    first, second, log = ran.objects
    assert ran.code == 0
    assert [(c["record"], c["field"], c["new"]) for c in first["changes"]] == [(2, "count", 12)]
    assert [(c["record"], c["change"]) for c in second["changes"]] == [(1, "confirm")]
    assert (log["open"], log["finished"]) == (0, True)
    again = run("review", "--json", "2027-05-03", typed=b"").object
    assert (again["date"], again["records"]) == ("2027-05-03", [])
