"""Questions, and the addresses that give what the commands print."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from typer.testing import CliRunner

from voicelog.app import Setting
from voicelog.web.guard import MEMO_BYTES

from .conftest import NOW, words_of

Note = Callable[..., str]
Memos = Callable[[], list[str]]


def test_a_question_is_answered_with_its_memos(client: Any, note: Note) -> None:
    note("nine eggs from coop a and four from coop b")
    shown = words_of(client.get("/ask", params={"q": "how many eggs today"}))
    assert "13" in shown
    assert "2 records of 1 memo" in shown
    assert "memo 1" in shown


def test_a_long_list_of_memos_is_folded(client: Any, note: Note) -> None:
    for count in range(1, 13):
        note(f"{count} eggs from coop a")
    shown = words_of(client.get("/ask", params={"q": "how many eggs today"}))
    assert "12 records of 12 memos" in shown
    assert "2 more" in shown


@pytest.mark.parametrize(
    ("question", "told"),
    [
        ("", "Question"),
        ("how many eggs today", "o record"),
        ("what is the meaning", "not understand"),
    ],
)
def test_what_has_no_answer_says_so(client: Any, question: str, told: str) -> None:
    answer = client.get("/ask", params={"q": question})
    assert answer.status_code == 200
    assert told in words_of(answer)


def test_a_question_may_not_be_too_long(client: Any) -> None:
    answer = client.get("/ask", params={"q": "x" * 2_001})
    assert answer.status_code == 413
    assert "A question may have 2,000 letters." in words_of(answer)


def test_a_question_changes_nothing(client: Any, setting: Setting) -> None:
    client.get("/ask", params={"q": "how many eggs today"})
    assert not setting.store_exists


def _printed(setting: Setting, *arguments: str) -> Any:
    from voicelog.cli import app

    command, *rest = arguments
    common = ["--json", "--store", setting.store, "--now", NOW]
    return json.loads(CliRunner().invoke(app, [command, *common, *rest], input="").stdout)


def test_the_addresses_give_what_the_commands_print(client: Any, setting: Setting) -> None:
    noted = client.post("/api/note", json={"text": "nine eggs from coop a"})
    assert noted.status_code == 200
    assert noted.json()["memo_id"] == 1
    again = _printed(setting, "note", "nine eggs from coop a")
    assert again["memo_id"] == 2
    assert noted.json().keys() == again.keys()
    question = "how many eggs today"
    asked = client.post("/api/ask", json={"question": question}).json()
    assert asked == _printed(setting, "ask", question)
    assert asked["answer"]["value"] == 18
    assert client.get("/api/left").json() == _printed(setting, "left")
    assert client.get("/api/review").json() == _printed(setting, "review")
    day = client.get("/api/review", params={"day": "yesterday"}).json()
    assert day == _printed(setting, "review", "yesterday")


def test_a_memo_may_bring_its_own_time(client: Any) -> None:
    noted = client.post("/api/note", json={"text": "nine eggs", "now": "2027-05-03T08:00"})
    assert noted.json()["now"] == "2027-05-03T08:00:00-04:00"


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("/api/note", b"nonsense"),
        ("/api/note", b'{"text": ""}'),
        ("/api/note", b'{"text": 7}'),
        ("/api/note", b'{"text": "nine eggs", "now": "teatime"}'),
        ("/api/note", b'{"text": "\\ud800"}'),
        ("/api/note", b"\xff"),
        ("/api/note", b"[" * 100_000),
        ("/api/ask", b"[]"),
        ("/api/ask", b'{"question": " "}'),
        ("/api/ask", b'{"question": "\\ud800"}'),
        ("/api/ask", b"\xff"),
    ],
)
def test_what_is_no_request_is_told(client: Any, memos: Memos, path: str, body: bytes) -> None:
    answer = client.post(path, content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["error"]
    assert memos() == []


@pytest.mark.parametrize("letters", [MEMO_BYTES + 1, 8 * MEMO_BYTES])
def test_too_much_json_is_refused(client: Any, memos: Memos, letters: int) -> None:
    for path, name in (("/api/note", "text"), ("/api/ask", "question")):
        answer = client.post(path, json={name: "x" * letters})
        assert answer.status_code == 413
        assert "100 kB" in answer.json()["error"]
    assert memos() == []


def test_a_day_that_is_none_is_told(client: Any) -> None:
    answer = client.get("/api/review", params={"day": "teatime"})
    assert answer.status_code == 422
    assert "names no day" in answer.json()["error"]
