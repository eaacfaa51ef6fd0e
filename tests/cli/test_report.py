"""`report` on the command line: its screens, its files, and what it says without the extra."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def test_json_has_the_page_beside_what_it_always_had(run: Run, filled: Path) -> None:
    assert filled.exists()
    found = json.loads(run("report", "season", "--json").out)
    old = {"period", "from", "to", "kinds", "money", "laying", "missing"}
    assert old | {"farm", "title", "sections", "publications"} == set(found)
    laid = next(section for section in found["sections"] if section["name"] == "laid")
    assert next(fact for fact in laid["facts"] if fact["name"] == "laid")["value"] == 13
    assert found["from"] == "2027-03-01"


@pytest.mark.parametrize("period", ["day", "week", "month", "season"])
def test_every_period_fits_a_terminal(run: Run, filled: Path, period: str) -> None:
    assert filled.exists()
    ran = run("report", period)
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 80


def test_files_are_written_and_named(run: Run, filled: Path, tmp_path: Path) -> None:
    pytest.importorskip("matplotlib", reason="pictures need the extra `report`")
    assert filled.exists()
    pdf, html, png = tmp_path / "r.pdf", tmp_path / "r.html", tmp_path / "pictures"
    ran = run("report", "week", "--pdf", str(pdf), "--html", str(html), "--png", str(png))
    assert ran.code == 0
    assert pdf.read_bytes().startswith(b"%PDF")
    assert html.read_text("utf-8").startswith("<!DOCTYPE html>")
    assert png.is_dir()
    assert str(pdf) in ran.out
    assert not list(tmp_path.glob(".*.part"))


@pytest.mark.parametrize("option", ["--pdf", "--html", "--png"])
def test_without_matplotlib_it_says_what_to_install(
    run: Run, filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, option: str
) -> None:
    assert filled.exists()
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    ran = run("report", "week", option, str(tmp_path / "made"))
    assert ran.code == 1
    assert "pip install '.[report]'" in ran.err
    assert not (tmp_path / "made").exists()
    assert run("report", "week").code == 0


def test_a_file_that_cannot_be_written_is_told(run: Run, filled: Path, tmp_path: Path) -> None:
    pytest.importorskip("matplotlib", reason="pictures need the extra `report`")
    assert filled.exists()
    ran = run("report", "day", "--html", str(tmp_path / "nowhere" / "r.html"))
    assert ran.code == 1
    assert "cannot be written" in ran.err


def test_the_text_report_loads_no_matplotlib(filled: Path) -> None:
    program = (
        "import sys; from voicelog.cli import app\n"
        f"try: app(['report', 'month', '--store', {str(filled)!r}, '--now', '2027-05-04T18:00'])\n"
        "except SystemExit: pass\n"
        "assert not {'matplotlib', 'spacy', 'vosk'} & set(sys.modules), 'loaded'"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
