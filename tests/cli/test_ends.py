"""How commands end: exit codes, one paragraph of error, what is loaded, pipes."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
EVERY = [
    "note", "hear", "listen", "parse", "ask", "left", "review", "chat", "report", "export",
    "import", "backup", "restore", "doctor", "demo",
]  # fmt: skip


@pytest.mark.parametrize("command", EVERY)
def test_every_command_has_a_page_with_examples_and_the_common_options(
    call: Run, command: str
) -> None:
    ran = call(command, "--help")
    assert ran.code == 0
    for part in ("Examples:", "voicelog " + command, "--store", "--farm", "--now", "--json"):
        assert part in ran.out


@pytest.mark.parametrize("part", ["show", "check", "new", "add place", "add bird", "add chore"])
def test_the_farm_commands_have_pages(call: Run, part: str) -> None:
    ran = call("farm", *part.split(), "--help")
    assert ran.code == 0
    assert "--farm" in ran.out


def test_without_a_command_the_program_shows_its_page(call: Run) -> None:
    ran = call()
    assert ran.code == 0
    assert "Examples:" in ran.out


@pytest.mark.parametrize(
    "arguments",
    [
        ["nonsense"],
        ["note"],
        ["left", "--nonsense"],
        ["report", "decade"],
        ["left", "--now", "teatime"],
        ["parse", "--now", "9999-12-31T23:59", "one egg"],
        ["farm", "add", "chore", "eggs", "--match", "nothing"],
    ],
)
def test_a_wrong_command_line_ends_with_2(call: Run, farm_file: Path, arguments: list[str]) -> None:
    if arguments[0] == "farm":
        arguments = [*arguments, "--farm", str(farm_file)]
    ran = call(*arguments)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err


def test_common_options_may_stand_before_the_command(call: Run, store_file: Path) -> None:
    ran = call("--store", str(store_file), "--now", "2027-05-04T08:00", "--json", "left")
    assert json.loads(ran.out)["date"] == "2027-05-04"
    assert len(json.loads(ran.out)["left"]) == 3


def test_the_environment_names_store_and_farm(
    call: Run, store_file: Path, farm_file: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    farm_file.rename(elsewhere / "mine.toml")
    monkeypatch.setenv("VOICELOG_STORE", str(store_file))
    monkeypatch.setenv("VOICELOG_FARM", str(elsewhere / "mine.toml"))
    assert len(json.loads(call("left", "--json").out)["left"]) == 3


def test_the_default_store_is_made_in_the_users_folder(call: Run, tmp_path: Path) -> None:
    ran = call("note", "nine eggs")
    assert ran.code == 0
    assert (tmp_path / "home" / "voicelog" / "voicelog.db").exists()
    assert "farm new" in ran.err


@pytest.mark.parametrize("command", [["left"], ["report"], ["review"], ["ask", "how many eggs"]])
def test_reading_where_there_is_no_store_makes_none(
    run: Run, store_file: Path, command: list[str]
) -> None:
    ran = run(*command, typed="")
    assert "no store" in ran.err
    assert not store_file.exists()
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("command", [["export"], ["backup", "copy.db"]])
def test_what_needs_a_store_says_that_there_is_none(run: Run, command: list[str]) -> None:
    ran = run(*command)
    assert (ran.code, ran.out) == (1, "")
    assert "no store" in ran.err


def not_a_database(path: Path) -> None:
    path.write_text("dear diary", encoding="utf-8")


def anothers_database(path: Path) -> None:
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE recipes (name)")


def a_folder(path: Path) -> None:
    path.mkdir()


@pytest.mark.parametrize("spoil", [not_a_database, anothers_database, a_folder])
@pytest.mark.parametrize("command", [["note", "nine eggs"], ["left"], ["doctor"]])
def test_a_file_that_is_no_store_is_told_and_left_as_it_was(
    run: Run, store_file: Path, spoil: Callable[[Path], None], command: list[str]
) -> None:
    spoil(store_file)
    before = store_file.read_bytes() if store_file.is_file() else None
    ran = run(*command)
    told = ran.err if command[0] != "doctor" else ran.out
    assert ran.code == 1
    assert str(store_file) in told
    assert "Traceback" not in ran.err
    assert (store_file.read_bytes() if store_file.is_file() else None) == before


def test_a_store_of_a_newer_program_is_refused(run: Run, filled: Path) -> None:
    with sqlite3.connect(filled) as connection:
        tables = connection.execute("SELECT name FROM sqlite_master WHERE name LIKE '%version%'")
        (table,) = tables.fetchone()
        connection.execute(f"UPDATE {table} SET version_num = '9999'")
    ran = run("note", "nine eggs")
    assert ran.code == 1
    assert "newer version" in ran.err


def test_a_locked_store_is_told_after_a_wait(run: Run, filled: Path) -> None:
    other = sqlite3.connect(filled, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    try:
        ran = run("note", "nine eggs")
    finally:
        other.close()
    assert ran.code == 1
    assert "locked" in ran.err


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere"
)
def test_a_store_that_may_not_be_written_is_told(run: Run, filled: Path) -> None:
    filled.chmod(0o400)
    ran = run("note", "nine eggs")
    assert ran.code == 1
    assert "read-only" in ran.err


def test_a_farm_file_with_faults_tells_all_of_them(run: Run, call: Run, farm_file: Path) -> None:
    farm_file.write_text('name = 5\ntimezone = "Nowhere/Land"\n[[chore]]\nrecord = "x"\n')
    runs = [run("left"), run("note", "nine eggs"), call("farm", "check", "--farm", str(farm_file))]
    for ran in runs:
        assert (ran.code, ran.out) == (1, "")
        for key in ("name", "timezone", "chore[1].record"):
            assert key in ran.err


def test_a_farm_file_that_was_named_and_is_not_there_is_an_error(run: Run, tmp_path: Path) -> None:
    ran = run("left", "--farm", str(tmp_path / "nowhere.toml"))
    assert ran.code == 1
    assert "nowhere.toml" in ran.err


@pytest.mark.parametrize("command", [["--help"], ["left", "--json"], ["left"]])
def test_light_commands_load_no_heavy_library(filled: Path, command: list[str]) -> None:
    code = (
        "import sys\n"
        "from voicelog.cli import main\n"
        f"sys.argv = ['voicelog', *{command!r}]\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code, end.code\n"
        "heavy = {'spacy', 'vosk', 'alembic', 'numpy', 'av', 'dateparser', 'torch', 'pydantic'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        check=False,
        env=os.environ | {"VOICELOG_STORE": str(filled)},
        timeout=60,
    )
    assert ran.returncode == 0, ran.stderr.decode()


def test_the_package_itself_loads_no_library() -> None:
    code = (
        "import sys, voicelog, voicelog.types\n"
        "heavy = {'spacy', 'vosk', 'sqlalchemy', 'typer', 'rich', 'numpy', 'av', 'dateparser'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr.decode()


def test_a_reader_that_goes_away_is_no_fault(store_file: Path) -> None:
    lines = "\n".join(["nine eggs from coop a"] * 3000)
    child = subprocess.Popen(
        [sys.executable, "-m", "voicelog", "parse", "--store", str(store_file), "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert child.stdin is not None
    assert child.stdout is not None
    assert child.stderr is not None
    child.stdout.close()
    try:
        child.stdin.write(lines.encode())
        child.stdin.close()
    except BrokenPipeError:
        pass
    told = child.stderr.read().decode()
    assert child.wait(60) == 1
    assert told == ""


def test_ctrl_c_ends_without_a_trace(store_file: Path) -> None:
    import signal

    child = subprocess.Popen(
        [sys.executable, "-m", "voicelog", "note", "--store", str(store_file), "-"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert child.stdin is not None
    assert child.stdout is not None
    assert child.stderr is not None
    child.stdin.write(b"nine eggs from coop a\n" * 2000)
    child.stdin.flush()
    assert child.stdout.readline().startswith(b"Kept as memo 1")
    child.send_signal(signal.SIGINT)
    child.stdin.close()
    told = child.stderr.read().decode()
    child.stdout.read()
    assert child.wait(60) == 1
    assert told.strip() == "Stopped."


def test_bulk_parsing_is_quick(run: Run) -> None:
    lines = "\n".join(["two scoops of layer for coop b and nine eggs from coop a"] * 1000)
    run("parse", "nine eggs")
    began = time.perf_counter()
    ran = run("parse", "-", typed=lines)
    took = time.perf_counter() - began
    assert len(ran.out.splitlines()) == 1000
    assert took < 20, f"{1000 / took:.0f} memos a second"
