"""What is due besides the chores and what is warned of, as the commands show it."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

Run = Callable[..., Any]
SET = "set eight eggs under Juniper in coop A"
LOW = "tested the fence at 1.9 kilovolts"


def test_left_shows_what_is_due_under_a_heading_of_its_own(run: Run) -> None:
    run("note", SET, now="2027-05-01T08:00")
    shown = run("left", now="2027-05-09T08:00").out
    lists, due = shown.split("Due besides the chores:\n")
    assert "candle" not in lists
    assert "candle the eggs" in due
    assert "1 day overdue" in due
    assert "8 eggs set Sat 1 May, day 8 today" in due


def test_left_without_chores_shows_it_too(run: Run, tmp_path: Any) -> None:
    bare = tmp_path / "bare.toml"
    bare.write_text('name = "Bare"\ntimezone = "America/New_York"\n', encoding="utf-8")
    run("note", "set eight eggs", "--farm", str(bare), now="2027-05-01T08:00")
    shown = run("left", "--farm", str(bare), now="2027-05-09T08:00").out
    assert "names no chores" in shown
    assert "candle the eggs" in shown


def test_left_as_json_holds_the_lists_as_ever_and_what_is_due_besides(run: Run) -> None:
    before = json.loads(run("left", "--json", now="2027-05-01T07:00").out)
    assert list(before) == ["date", "left", "done", "skipped", "not_due"]
    run("note", SET, now="2027-05-01T08:00")
    form = json.loads(run("left", "--json", now="2027-05-08T07:00").out)
    assert list(form) == [*before, "due"]
    assert form["left"] == [
        {**task, "due": task["due"].replace("05-01", "05-08")} for task in before["left"]
    ]
    (due,) = form["due"]
    assert list(due) == [
        "what", "chore", "place", "birds", "on", "overdue_days", "because", "caution", "evidence",
    ]  # fmt: skip
    assert (due["what"], due["place"], due["birds"]) == ("candle", "coop A", ["Juniper"])
    assert (due["on"], due["overdue_days"], due["evidence"]) == ("2027-05-08", 0, [1])


def test_what_was_candled_is_gone(run: Run) -> None:
    run("note", SET, now="2027-05-01T08:00")
    run("note", "candled the eggs under Juniper, seven are growing", now="2027-05-08T08:00")
    assert "Due besides" not in run("left", now="2027-05-08T09:00").out


def test_a_note_warns_in_one_line(run: Run) -> None:
    told = run("note", LOW).out.splitlines()
    warned = [line for line in told if line.startswith("Warning: ")]
    assert len(warned) == 1
    assert "the fence is down" in warned[0]
    assert sum(line.startswith("Caution: ") for line in told) == 1


def test_a_note_as_json_lists_what_it_warns_of(run: Run) -> None:
    form = json.loads(run("note", "--json", LOW).out)
    (warning,) = form["warnings"]
    assert list(warning) == ["what", "text", "caution", "evidence"]
    assert warning["what"] == "down"
    assert warning["evidence"] == [form["records"][0]["id"]]
    assert json.loads(run("note", "--json", "nine eggs from coop a").out)["warnings"] == []


def test_a_correction_is_warned_of(run: Run) -> None:
    run("note", "tested the fence at 6.1 kilovolts")
    told = run("note", "scratch that").out
    assert "Warning" not in told
    run("note", "tested the fence at 6.1 kilovolts")
    assert "Warning: 1.5 kV" in run("note", "make that 1.5 kilovolts").out


def test_chat_warns_and_tells_what_is_due(run: Run) -> None:
    run("note", SET, now="2027-05-01T08:00")
    shown = run("chat", typed=f"{LOW}\nwhat's left\n", now="2027-05-09T08:00").out
    assert "Warning: 1.9 kV" in shown
    assert "Also due: candle the eggs" in shown
    first, second = run(
        "chat", "--json", typed=f"{LOW}\nwhat's left\n", now="2027-05-09T08:00"
    ).out.splitlines()
    assert json.loads(first)["warnings"][0]["what"] == "down"
    assert json.loads(second)["due"][0]["what"] == "candle"


def test_review_shows_the_warning_beside_the_record(run: Run) -> None:
    run("note", LOW)
    shown = run("review", typed="").out
    assert shown.count("Warning: 1.9 kV") == 1
    assert "is withdrawn" in run("review", typed="scratch the first\n").out
    assert "Warning" not in run("review", typed="").out
