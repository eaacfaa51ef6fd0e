"""`export`, `import`, `backup`, `restore`, `demo` and `doctor`."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def test_export_import_export_is_the_same_byte_for_byte(
    run: Run, call: Run, filled: Path, tmp_path: Path
) -> None:
    exported = run("export").out
    other = str(tmp_path / "other.db")
    ran = call("import", "--store", other, "--json", "-", typed=exported)
    assert json.loads(ran.out) == {"memos": 3, "records": 4, "already_there": 0}
    assert call("export", "--store", other).out == exported
    again = call("import", "--store", other, "--json", "-", typed=exported)
    assert json.loads(again.out) == {"memos": 0, "records": 0, "already_there": 3}
    assert filled.exists()


def test_export_to_a_file_never_writes_over_one(run: Run, filled: Path, tmp_path: Path) -> None:
    assert filled.exists()
    file = tmp_path / "farm.jsonl"
    assert run("export", "--output", str(file)).code == 0
    before = file.read_bytes()
    ran = run("export", "--output", str(file))
    assert ran.code == 1
    assert file.read_bytes() == before


@pytest.mark.parametrize("content", [b"", b"dear diary\n", b'{"row": "memo"}\n', b"\xff\xfe\x00"])
def test_what_is_no_export_is_refused_whole(run: Run, tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "in.jsonl"
    file.write_bytes(content)
    ran = run("import", str(file))
    assert (ran.code, ran.out) == (1, "")
    assert "Traceback" not in ran.err


def test_importing_a_file_that_is_not_there_is_told(run: Run) -> None:
    ran = run("import", "nowhere.jsonl")
    assert ran.code == 1
    assert "nowhere.jsonl" in ran.err


def test_a_backup_comes_back_and_what_was_there_is_set_aside(
    run: Run, filled: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "copy.db"
    exported = run("export").out
    assert run("backup", str(copy)).code == 0
    assert run("backup", str(copy)).code == 1
    assert run("note", "one more egg").code == 0
    assert run("export").out != exported
    restored = json.loads(run("restore", "--json", str(copy)).out)
    assert run("export").out == exported
    assert Path(restored["set_aside"]).exists()
    assert filled.exists()


def test_doctor_finds_everything_well(run: Run, filled: Path) -> None:
    assert filled.exists()
    ran = run("doctor", "--json")
    parts = {part["part"]: part["health"] for part in json.loads(ran.out)["parts"]}
    assert ran.code == 0
    assert (parts["catalogue"], parts["farm file"], parts["store"]) == ("ok", "ok", "ok")
    assert "microphone" in parts


def test_doctor_names_what_is_broken_and_looks_at_the_rest(
    run: Run, filled: Path, farm_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with sqlite3.connect(filled) as connection:
        connection.execute("UPDATE standing SET kind = 'weather' WHERE record_id = 2")
    farm_file.write_text("not toml")
    monkeypatch.setenv("VOICELOG_MODEL", str(tmp_path / "no_model"))
    ran = run("doctor")
    broken = [line for line in ran.out.splitlines() if line.startswith("broken")]
    assert ran.code == 1
    assert [line.split(":")[0].split(maxsplit=1)[1] for line in broken] == [
        "farm file",
        "store",
        "speech model",
    ]
    assert "record 2" in broken[1]


def test_the_demonstration_fills_a_new_store_and_leaves_a_filled_one(
    call: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    filled = json.loads(call("demo", "--json", "tryout").out)
    assert filled["memos"] > 200
    left = json.loads(
        call("left", "--json", "--store", filled["store"], "--now", "2027-05-31T10:30").out
    )
    assert left["done"]
    assert left["left"]
    again = call("demo", "tryout")
    assert again.code == 1
    assert "holds memos already" in again.err


def test_doctor_does_not_send_to_itself(run: Run, filled: Path) -> None:
    contents = bytearray(filled.read_bytes())
    contents[100:] = b"\xff" * (len(contents) - 100)
    filled.write_bytes(contents)
    ran = run("doctor")
    told = next(line for line in ran.out.splitlines() if line.startswith("broken"))
    assert "damaged" in told
    assert "voicelog doctor" not in told
    assert "Restore the last backup" in told


def test_a_backup_that_is_not_there_is_told(run: Run, filled: Path, tmp_path: Path) -> None:
    before = filled.read_bytes()
    ran = run("restore", str(tmp_path / "nowhere.db"))
    assert ran.code == 1
    assert "There is no backup at" in ran.err
    assert "Nothing was restored" in ran.err
    assert filled.read_bytes() == before


@pytest.mark.usefixtures("filled")
@pytest.mark.parametrize("spoilt", [b'{"no": "export"}\n', None])
def test_a_failed_import_makes_no_store(
    run: Run, call: Run, tmp_path: Path, spoilt: bytes | None
) -> None:
    other = tmp_path / "other.db"
    lines = run("export").out.encode()
    typed = lines[: len(lines) - 20] if spoilt is None else spoilt
    ran = call("import", "--store", str(other), "-", typed=typed)
    assert ran.code == 1
    assert "Line" in ran.err
    assert not other.exists()
