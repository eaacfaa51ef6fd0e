"""A recording with several memos: an object each, a time each, and kept once."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import CliRunner

from voicelog.cli import app
from voicelog.hearing.audio import RATE, read_recording, write_wav
from voicelog.records import Store, keeping

Call = Callable[..., Any]

RECORDINGS = Path(__file__).resolve().parents[2] / "corpora" / "speech"
NAMES = ("limping.ogg", "weather.wav", "limping.ogg")


@pytest.fixture
def walk(tmp_path: Path) -> Path:
    """Three memos with long pauses between them."""
    sound: list[np.ndarray] = []
    for name in NAMES:
        sound += [read_recording(RECORDINGS / name).samples, np.zeros(20 * RATE, np.int16)]
    write_wav(tmp_path / "walk.wav", np.concatenate(sound).tobytes())
    return tmp_path / "walk.wav"


def begins() -> list[float]:
    """Seconds into the recording where each memo's sound begins."""
    lengths = [read_recording(RECORDINGS / name).seconds + 20 for name in NAMES]
    return [sum(lengths[:at]) for at in range(len(lengths))]


def test_each_memo_has_an_object_and_its_own_time(run: Call, walk: Path) -> None:
    ran = run("hear", "--json", str(walk), now="2027-05-04T08:00")
    assert ran.code == 0
    # The first hearing on a farm may say that its names are learned.
    assert [line for line in ran.err.splitlines() if not line.startswith("Learning")] == []
    assert [form["file"] for form in ran.objects] == [str(walk)] * 3
    assert [form["from_s"] for form in ran.objects] == pytest.approx(begins(), abs=0.6)
    assert [form["memo_id"] for form in ran.objects] == [1, 2, 3]
    start = datetime.fromisoformat("2027-05-04T08:00:00-04:00")
    for form in ran.objects:
        assert form["transcript"]["text"] == form["memo"]
        assert form["transcript"]["words"][0]["from_s"] >= form["from_s"]
        after = datetime.fromisoformat(form["now"]) - start
        assert abs(after - timedelta(seconds=form["from_s"])) <= timedelta(seconds=0.5)


def test_a_file_given_twice_is_kept_once(run: Call, walk: Path, store_file: Path) -> None:
    first = run("hear", "--json", str(walk))
    twice = run("hear", "--json", str(walk), str(walk))
    assert twice.objects == first.objects * 2
    assert "heard already as memos 1, 2 and 3" in twice.err
    anew = run("hear", "--json", "--again", str(walk))
    assert [form["memo_id"] for form in anew.objects] == [4, 5, 6]
    # Those first heard stand for the recording, however often it was heard since.
    assert run("hear", "--json", str(walk)).objects == first.objects
    with Store.open(str(store_file), create=False) as store:
        assert len({memo.audio for memo in store.memos()}) == 1


def test_without_now_the_last_memo_has_the_files_own_time(walk: Path) -> None:
    changed = datetime.fromisoformat("2025-05-04T07:30:00-04:00")
    os.utime(walk, (changed.timestamp(), changed.timestamp()))
    store = walk.with_name("other.db")
    farm = walk.with_name("farm.toml")
    farm.write_text('name = "Quince Bank"\ntimezone = "America/New_York"\n')
    given = ["hear", "--json", "--store", str(store), "--farm", str(farm), str(walk)]
    ran = CliRunner().invoke(app, given, prog_name="voicelog")
    times = [datetime.fromisoformat(json.loads(line)["now"]) for line in ran.stdout.splitlines()]
    assert times[-1] == changed
    gap = (times[-1] - times[0]).total_seconds()
    assert gap == pytest.approx(begins()[2], abs=1.2)


def test_for_people_each_memo_says_where_in_the_file_it_is(run: Call, walk: Path) -> None:
    shown = run("hear", str(walk)).out.decode()
    assert f"{walk} at 0:00: “" in shown
    assert f"{walk} at 0:2" in shown
    assert shown.count("Kept as memo") == 3


def test_all_memos_of_a_recording_are_kept_or_none(
    run: Call, walk: Path, store_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep_memo, kept = keeping.keep_memo, []

    def failing(*given: Any, **named: Any) -> Any:
        if len(kept) == 2:
            raise OSError("no more")
        kept.append(keep_memo(*given, **named))
        return kept[-1]

    monkeypatch.setattr(keeping, "keep_memo", failing)
    assert run("hear", str(walk)).code == 1
    monkeypatch.undo()
    with Store.open(str(store_file), create=False) as store:
        assert store.memos() == ()


def test_memos_that_wait_to_be_understood_are_shown_when_given_again(
    run: Call, walk: Path, farm_file: Path, tmp_path: Path
) -> None:
    slip = tmp_path / "slip.toml"
    slip.write_text(farm_file.read_text().replace('kind = "coop"', 'kind = "castle"'))
    broken = run("hear", "--farm", str(slip), str(walk))
    assert broken.code == 1
    assert "kept whole as memos 1 to 3" in broken.err
    mended = run("hear", "--json", str(walk))
    assert [form["memo_id"] for form in mended.objects] == [1, 2, 3]
    assert all(form["records"] for form in mended.objects)
