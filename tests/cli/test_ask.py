"""`ask`: the shape of its answers and how it ends."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def test_the_answer_has_the_shape_of_the_contract(run: Run, filled: Path) -> None:
    assert filled.exists()
    ran = run("ask", "--json", "how many eggs today")
    form = json.loads(ran.out)
    assert list(form) == ["question", "answer"]
    assert list(form["answer"]) == ["value", "unit", "text", "from", "to", "evidence"]
    assert form["question"] == "how many eggs today"
    assert form["answer"]["value"] == 13
    evidence = form["answer"]["evidence"]
    assert {item["record"] for item in evidence} == {2, 3}
    assert list(evidence[0]) == ["record", "memo", "text", "when"]
    assert list(evidence[0]["when"]) == ["from", "to", "precision"]


def test_nothing_recorded_is_null_and_said_to_be_no_record(run: Run, filled: Path) -> None:
    assert filled.exists()
    ran = run("ask", "--json", "how many birds did we lose last week")
    answer = json.loads(ran.out)["answer"]
    assert (ran.code, answer["value"]) == (0, None)
    assert "no record" in answer["text"]


def test_the_sentence_comes_with_the_memos_it_rests_on(run: Run, filled: Path) -> None:
    assert filled.exists()
    lines = run("ask", "how many eggs today").out.splitlines()
    assert "13" in lines[0]
    assert any("“nine eggs from coop a" in line for line in lines[1:])


@pytest.mark.parametrize("question", ["colourless green ideas", "\x00\x1b[2J", "12", "七个鸡蛋"])
def test_a_question_that_is_not_understood_ends_with_1(run: Run, question: str) -> None:
    ran = run("ask", "--json", question)
    assert ran.code == 1
    assert json.loads(ran.out)["answer"]["value"] is None
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("question", ["", "  "])
def test_an_empty_question_is_refused(run: Run, question: str) -> None:
    ran = run("ask", question)
    assert (ran.code, ran.out) == (1, "")
