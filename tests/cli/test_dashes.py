"""Words that begin with a dash, and options that are misspelt."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]


@pytest.mark.parametrize("memo", ["-3 eggs", "- nine eggs", "-- nine eggs", "-h is a letter"])
@pytest.mark.parametrize("command", ["note", "parse"])
def test_a_memo_may_begin_with_a_dash(run: Run, command: str, memo: str) -> None:
    for arguments in ([memo, "--json"], ["--json", memo], ["--json", "--", memo]):
        ran = run(command, *arguments)
        assert ran.code == 0, ran.err
        assert json.loads(ran.out)["memo"] == memo


def test_words_keep_their_order_around_options(run: Run) -> None:
    ran = run("parse", "nine", "eggs", "--json", "-", "-3", "cracked")
    assert json.loads(ran.out)["memo"] == "nine eggs - -3 cracked"


def test_a_question_may_begin_with_a_dash(run: Run) -> None:
    ran = run("ask", "- how many eggs today", "--json")
    assert json.loads(ran.out)["question"] == "- how many eggs today"


@pytest.mark.parametrize("command", ["note", "parse", "ask"])
@pytest.mark.parametrize("wrong", ["--jsno", "-x", "--jsno=1"])
def test_a_misspelt_option_is_refused(run: Run, command: str, wrong: str) -> None:
    for arguments in ([wrong, "nine eggs"], ["-3 eggs", wrong]):
        ran = run(command, *arguments)
        assert (ran.code, ran.out) == (2, "")
        assert "No such option" in ran.err


def test_the_value_of_an_option_stays_with_it(run: Run) -> None:
    ran = run("parse", "-3 eggs", "--now", "2027-05-02T09:00", "--json", "--store=a b.db")
    assert json.loads(ran.out)["now"].startswith("2027-05-02T09:00")


def test_help_is_still_shown(run: Run) -> None:
    assert "Examples:" in run("note", "-3 eggs", "--help").out
