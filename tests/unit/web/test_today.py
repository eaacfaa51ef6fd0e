"""Today: memos are kept once, what was understood is shown, chores stand in their lists."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from voicelog.app import Setting
from voicelog.types import Transcript, Word
from voicelog.understanding import Parser
from voicelog.web.guard import MEMO_BYTES, RECORDING_BYTES

from .conftest import words_of

Note = Callable[..., str]
Memos = Callable[[], list[str]]


def test_the_day_is_shown_before_anything_is_kept(client: Any, setting: Setting) -> None:
    shown = words_of(client.get("/"))
    assert "Tuesday 4 May" in shown
    assert "Plum Hollow, 18:00" in shown
    assert "3 left" in shown
    assert "late, by 12:00" in shown
    assert not setting.store_exists


def test_a_memo_is_kept_and_told(note: Note, memos: Memos) -> None:
    shown = note("nine eggs from coop a")
    assert "Kept as memo 1." in shown
    assert "coop A: eggs 9 (today 18:00)" in shown
    assert "2 left" in shown
    assert "1 done" in shown
    assert memos() == ["nine eggs from coop a"]


def test_the_page_after_a_post_may_be_loaded_again(client: Any, memos: Memos) -> None:
    answer = client.post("/", data={"memo": "nine eggs"}, follow_redirects=False)
    assert answer.status_code == 303
    for _ in range(2):
        assert "Kept as memo 1." in words_of(client.get(answer.headers["location"]))
    assert memos() == ["nine eggs"]


def test_a_form_sent_twice_is_kept_once(note: Note, memos: Memos) -> None:
    assert "Kept as memo 1." in note("nine eggs", once="x")
    assert "Kept as memo 1." in note("nine eggs", once="x")
    assert memos() == ["nine eggs"]


def test_other_words_in_the_same_form_are_another_memo(note: Note, memos: Memos) -> None:
    note("nine eggs", once="x")
    note("ten eggs", once="x")
    assert memos() == ["nine eggs", "ten eggs"]


def test_the_same_words_in_another_form_are_another_memo(note: Note, memos: Memos) -> None:
    note("nine eggs", once="x")
    note("nine eggs", once="y")
    assert memos() == ["nine eggs", "nine eggs"]


def test_doubts_cautions_and_words_left_over_are_shown(note: Note) -> None:
    shown = note("maybe nine or ten eggs from coop a and a hawk over the creek zigzag")
    assert "?" in shown
    assert "Caution." in shown
    assert "Left over:" in shown
    assert "zigzag" in shown


def test_a_question_in_a_memo_is_answered(note: Note) -> None:
    shown = note("nine eggs from coop a. how many eggs today")
    assert "“how many eggs today”" in shown


def test_an_instruction_tells_what_it_changed(note: Note) -> None:
    note("nine eggs from coop a")
    assert "was 9, is 12" in note("make that twelve")


@pytest.mark.parametrize("text", ["", " \n\t"])
def test_an_empty_memo_is_told(client: Any, memos: Memos, text: str) -> None:
    answer = client.post("/", data={"memo": text})
    assert answer.status_code == 422
    assert "The memo is empty. Nothing was kept." in words_of(answer)
    assert memos() == []


def test_line_ends_are_line_feeds(client: Any, memos: Memos) -> None:
    client.post("/", data={"memo": "one egg\r\ntwo eggs"})
    assert memos() == ["one egg\ntwo eggs"]


@pytest.mark.parametrize("multipart", [False, True])
def test_a_memo_may_be_so_long_and_no_longer(client: Any, memos: Memos, multipart: bool) -> None:
    def post(letters: int) -> Any:
        fields = {"memo": "x" * letters, "once": "a"}
        if not multipart:
            return client.post("/", data=fields)
        return client.post("/", files={name: (None, text) for name, text in fields.items()})

    assert post(MEMO_BYTES).status_code == 200
    assert len(memos()) == 1
    for letters in (MEMO_BYTES + 1, 3 * MEMO_BYTES, 30 * MEMO_BYTES):
        refused = post(letters)
        assert refused.status_code == 413
        assert "a memo may have 100 kB of text" in words_of(refused)
    assert len(memos()) == 1


def test_what_a_person_writes_is_never_a_mark_of_the_page(client: Any) -> None:
    shown = client.post("/", data={"memo": "<script>alert(1)</script> nine eggs"}).text
    assert "<script" not in shown
    refused = client.post("/", data={"memo": "<b>" + "x" * MEMO_BYTES}).text
    assert "<b>" not in refused


def test_a_memo_that_breaks_the_parser_is_kept_and_told_once(
    client: Any, memos: Memos, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("no such thing")

    monkeypatch.setattr(Parser, "parse", broken)
    for _ in range(2):
        shown = words_of(client.post("/", data={"memo": "nine eggs", "once": "x"}))
        assert "The memo is kept as number 1" in shown
        assert "No word of it is lost." in shown
    assert memos() == ["nine eggs"]


def test_a_store_that_is_none_is_told_and_the_words_stay(client: Any, setting: Setting) -> None:
    Path(setting.store).write_text("a letter to my sister")
    answer = client.post("/", data={"memo": "nine eggs"})
    assert answer.status_code == 503
    assert "is not a store, and was left as it was" in words_of(answer)


@pytest.fixture
def heard(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Files that were heard; each is taken to say the same."""
    files: list[Path] = []

    def transcribe_memos(path: Path, _: object = None) -> tuple[Transcript, ...]:
        files.append(path)
        word = Word(text="eggs", from_s=0.5, to_s=0.9, confidence=1.0)
        text = "nine eggs from coop a"
        whole = Transcript(
            text=text, words=(word,), alternatives=(), from_s=0.0, to_s=1.0, engine="by hand"
        )
        return (whole,)

    monkeypatch.setattr("voicelog.hearing.transcribe_memos", transcribe_memos)
    return files


def _send(client: Any, sound: bytes, name: str = "walk.WAV", **fields: str) -> Any:
    return client.post("/", data=fields, files={"recording": (name, sound, "audio/wav")})


def test_a_recording_is_heard_and_kept(client: Any, memos: Memos, heard: list[Path]) -> None:
    shown = words_of(_send(client, b"sound"))
    assert "Heard: “nine eggs from coop a”" in shown
    assert "coop A: eggs 9" in shown
    assert memos() == ["nine eggs from coop a"]
    assert [path.suffix for path in heard] == [".WAV"]
    assert not heard[0].exists()


def test_a_recording_sent_twice_is_heard_once(client: Any, memos: Memos, heard: list[Path]) -> None:
    for _ in range(2):
        _send(client, b"sound", once="x")
    _send(client, b"other sound", once="x")
    assert len(heard) == len(memos()) == 2


def test_typed_words_and_a_recording_are_two_memos(
    client: Any, memos: Memos, heard: list[Path]
) -> None:
    shown = words_of(_send(client, b"sound", memo="two eggs from coop b"))
    assert "Kept as memo 1." in shown
    assert "Kept as memo 2." in shown
    assert memos() == ["two eggs from coop b", "nine eggs from coop a"]
    assert len(heard) == 1


@pytest.mark.parametrize("name", ["../../evil.wav", "a/b\\c.wav", "", ".", "x" * 300 + ".wav"])
def test_a_name_never_leads_out_of_the_folder(client: Any, heard: list[Path], name: str) -> None:
    answer = _send(client, b"sound", name=name)
    assert answer.status_code in (200, 422)
    assert all(path.name in ("sent-recording", "sent-recording.wav") for path in heard)


def test_a_recording_keeps_the_time_it_is_given(
    client: Any, setting: Setting, heard: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    # Only without a fixed present does a file have a time of its own.
    monkeypatch.setattr(type(setting), "now_said", None)
    object.__setattr__(setting, "now_said", None)
    shown = words_of(_send(client, b"sound", recorded="2020-03-01T07:30"))
    assert "1 Mar 2020 07:30" in shown
    assert len(heard) == 1


def test_a_time_that_is_none_is_told(client: Any, memos: Memos, heard: list[Path]) -> None:
    answer = _send(client, b"sound", recorded="teatime", memo="two eggs")
    assert answer.status_code == 422
    assert "'teatime' is no date and time" in words_of(answer)
    assert "two eggs" in words_of(answer)
    assert memos() == []
    assert heard == []


def test_what_is_no_sound_is_told_by_its_name(client: Any, memos: Memos) -> None:
    answer = _send(client, b"this is no sound", name="letter.wav")
    assert answer.status_code == 422
    shown = words_of(answer)
    assert "“letter.wav”" in shown
    assert "sent-recording" not in shown
    assert memos() == []


def test_typed_words_are_kept_where_the_recording_cannot_be_heard(
    client: Any, memos: Memos
) -> None:
    shown = words_of(_send(client, b"this is no sound", memo="two eggs from coop b"))
    assert "Kept as memo 1." in shown
    assert "“walk.WAV”" in shown
    assert memos() == ["two eggs from coop b"]


def test_a_recording_may_not_be_too_long(
    client: Any, memos: Memos, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("voicelog.web.posted.RECORDING_BYTES", 10)
    answer = _send(client, b"x" * 11, memo="two eggs")
    assert answer.status_code == 413
    assert f"a recording {RECORDING_BYTES // 1_000_000} MB" in words_of(answer)
    assert "two eggs" in words_of(answer)
    assert memos() == []


def test_a_farm_without_chores_says_how_to_add_them(client: Any, setting: Setting) -> None:
    setting.farm_path.write_text('name = "Bare"\ntimezone = "America/New_York"\n')
    assert "The farm file names no chores" in words_of(client.get("/"))


def test_no_farm_file_is_told(client: Any, setting: Setting, tmp_path: Path) -> None:
    from starlette.testclient import TestClient

    from voicelog.web.screens import application

    bare = replace(setting, farm_path=tmp_path / "nowhere.toml")
    with TestClient(
        application(bare, lambda _: None, host="127.0.0.1"), base_url=str(client.base_url)
    ) as asking:
        assert "There is no farm file at" in words_of(asking.get("/"))


def test_what_is_due_besides_stands_under_its_own_heading(note: Note, client: Any) -> None:
    assert "Due besides" not in words_of(client.get("/"))
    note("set eight eggs on the 20th of april in coop a")
    shown = words_of(client.get("/"))
    assert "Due besides the chores" in shown
    assert "candle the eggs" in shown
    assert "candled about day 7 and 14" in shown


def test_what_a_memo_warns_of_is_told_with_it(note: Note, client: Any) -> None:
    shown = note("tested the fence at 1.9 kilovolts")
    assert "Warning. 1.9 kV: the fence is down" in shown
    assert "Warning. 1.9 kV: the fence is down" in words_of(client.get("/review"))
