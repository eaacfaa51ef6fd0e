"""What the screens look like at width 80, letter by letter.

After a wanted change of a screen, delete its file in `screens/`, run the tests once with
VOICELOG_DRAW=1 in the environment, and read the new file before keeping it.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
SCREENS = Path(__file__).with_name("screens")


def drawn(name: str, text: str) -> str:
    """The screen as it was kept; only ever drawn anew where that is asked for."""
    file = SCREENS / f"{name}.txt"
    if os.environ.get("VOICELOG_DRAW") and not file.exists():
        file.write_text(text, encoding="utf-8")
    return file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("name", "command"),
    [
        ("left", ["left"]),
        ("report_day", ["report", "day"]),
        ("report_week", ["report", "week", "--kind", "eggs", "--kind", "supply"]),
        ("review", ["review"]),
        ("review_of_an_empty_day", ["review", "2027-01-01"]),
        (
            "parse_why",
            [
                "parse",
                "--why",
                "um got twenty no nine eggs in coop a and four in bee coop so there",
            ],
        ),
        ("ask_why", ["ask", "--why", "how many eggs from coop b today"]),
    ],
)
def test_screens_of_a_day(run: Run, filled: Path, name: str, command: list[str]) -> None:
    assert filled.exists()
    ran = run(*command, typed="")
    assert ran.code == 0
    assert ran.out == drawn(name, ran.out)
    assert max(len(line) for line in ran.out.splitlines() if "left:" not in line) <= 80


def test_screen_of_a_review_with_lines(run: Run, filled: Path) -> None:
    assert filled.exists()
    lines = ["h", "the first one is right", "number two: ten", "scratch the last", "blue", "q"]
    ran = run("review", typed="\n".join(lines))
    assert ran.out == drawn("review_with_lines", ran.out)
    assert ran.code == 1
    assert "blue" in ran.err


def test_screen_of_the_farm(call: Run, farm_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(farm_file.parent)
    ran = call("farm", "show", "--farm", "farm.toml")
    assert ran.out == drawn("farm_show", ran.out)


@pytest.mark.parametrize(
    "command", ["", "note", "hear", "parse", "ask", "left", "review", "chat", "farm", "doctor"]
)
def test_pages_of_help_fit_the_width_but_for_their_examples(call: Run, command: str) -> None:
    ran = call(*command.split(), "--help")
    shown = [line for line in ran.out.splitlines() if not line.startswith("    ")]
    assert max(len(line) for line in shown) <= 80
