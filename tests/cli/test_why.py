"""`--why`: what it adds, and that nothing else changes by it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
MEMO = "nine eggs in coop a and four in coop b, one cracked"
WORD = ["text", "start", "end", "use", "records", "says", "by"]
REASON = ["field", "value", "source", "of", "words", "by"]
WAY = ["kind", "how", "score", "taken"]
LOOK = ["kinds", "looked_at", "taken_out", "left", "gave"]


def test_parse_adds_one_key_and_changes_nothing_else(run: Run) -> None:
    plain = json.loads(run("parse", "--json", MEMO).out)
    form = json.loads(run("parse", "--json", "--why", MEMO).out)
    why = form.pop("why")
    assert form == plain
    words = [item for item in why if "use" in item]
    assert [list(item) for item in words] == [WORD] * len(words)
    assert all(item["text"] == MEMO[item["start"] : item["end"]] for item in words)
    reasons = [item for item in why if "use" not in item]
    assert {item["record"] for item in reasons} == {1, 2}
    for item in reasons:
        ways = ["ways"] if item["field"] == "kind" else []
        assert list(item) == ["record", *REASON, *ways]
        assert [list(way) for way in item.get("ways", ())] == [WAY] * len(item.get("ways", ()))
    counts = [item for item in reasons if item["field"] == "count"]
    assert [(item["value"], item["words"]) for item in counts] == [(9, "nine"), (4, "four")]


def test_parse_of_lines_explains_each(run: Run) -> None:
    ran = run("parse", "--json", "--why", "-", typed=f"{MEMO}\n\nblah\n")
    forms = [json.loads(line) for line in ran.out.splitlines()]
    assert [form["memo"] for form in forms] == [MEMO, "", "blah"]
    assert [bool(form["why"]) for form in forms] == [True, False, True]


def test_the_screen_begins_with_what_is_shown_without_it(run: Run) -> None:
    plain = run("parse", MEMO).out
    assert run("parse", "--why", MEMO).out.startswith(plain)
    assert run("parse", "--why", "").out == run("parse", "").out


def test_ask_adds_one_key_and_changes_nothing_else(run: Run, filled: Path) -> None:
    assert filled.exists()
    question = "how many eggs from coop b today"
    plain = json.loads(run("ask", "--json", question).out)
    form = json.loads(run("ask", "--json", "--why", question).out)
    why = form.pop("why")
    assert form == plain
    sorts = {tuple(WORD): "text", tuple(REASON): "field", tuple(WAY): "how", tuple(LOOK): "left"}
    assert {tuple(item) for item in why} == set(sorts)
    looks = [item for item in why if "looked_at" in item]
    assert [(item["looked_at"], item["left"]) for item in looks] == [(2, 1)]
    assert looks[0]["taken_out"] == [{"by": "place", "wanted": "coop B", "records": 1}]
    assert "sum of count: 4 in 1 record" in looks[0]["gave"]


@pytest.mark.parametrize("json_given", [[], ["--json"]])
def test_a_question_not_understood_still_ends_with_1(run: Run, json_given: list[str]) -> None:
    ran = run("ask", "--why", *json_given, "blah")
    assert ran.code == 1
    assert "left over" in ran.out
