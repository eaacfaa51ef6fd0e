"""`hear --json`: one object a memo, in the order of the files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Call = Callable[..., Any]

RECORDINGS = Path(__file__).resolve().parents[2] / "corpora" / "speech"
LIMPING, REMARK = RECORDINGS / "limping.ogg", RECORDINGS / "remark.ogg"


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    path = tmp_path / "broken.wav"
    path.write_bytes(b"no sound")
    return path


def test_one_object_a_memo_in_the_order_of_the_files(run: Call, broken: Path) -> None:
    nowhere = str(broken.with_name("nowhere.ogg"))
    files = [str(REMARK), nowhere, str(LIMPING), str(broken), str(REMARK)]
    ran = run("hear", "--json", *files)
    assert ran.code == 1
    assert [form["file"] for form in ran.objects] == [str(REMARK), str(LIMPING), str(REMARK)]
    assert "broken.wav" in ran.err
    assert "nowhere.ogg" in ran.err
    assert "Traceback" not in ran.err
    # A recording heard before is its first memo, and is not kept again.
    assert [form["memo_id"] for form in ran.objects] == [1, 2, 1]
    assert "heard already as memo 1" in ran.err


def test_the_object_of_a_heard_memo(run: Call) -> None:
    ran = run("hear", "--json", str(LIMPING))
    form = ran.object
    assert ran.code == 0
    assert form["from_s"] == 0
    transcript = form["transcript"]
    assert list(transcript) == ["text", "words", "engine"]
    assert transcript["engine"]
    assert transcript["words"]
    for word in transcript["words"]:
        assert list(word) == ["text", "from_s", "to_s", "confidence"]
        assert 0 <= word["from_s"] <= word["to_s"]
        assert 0 <= word["confidence"] <= 1
    assert " ".join(word["text"] for word in transcript["words"]) == transcript["text"]
    assert form["memo"] == transcript["text"]
    noted = {"memo", "now", "records", "questions", "instructions", "unused", "changes"}
    assert noted <= set(form)
    assert form["now"] == "2027-05-04T18:00:00-04:00"
    assert [record["kind"] for record in form["records"]] == ["health"]


def test_the_file_is_named_as_it_was_given(
    run: Call, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "one two.ogg").write_bytes(LIMPING.read_bytes())
    monkeypatch.chdir(tmp_path)
    for given in ("sub/one two.ogg", "./sub/one two.ogg", "sub/../sub/one two.ogg"):
        assert run("hear", "--json", given).object["file"] == given


def test_only_files_that_cannot_be_heard_print_nothing_and_keep_nothing(
    run: Call, broken: Path, store_file: Path
) -> None:
    ran = run("hear", "--json", str(broken))
    assert (ran.code, ran.out) == (1, b"")
    assert not store_file.exists()
