"""Other pages cannot post here, read here or frame a screen, and nobody can send too much."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest

from voicelog.web import guard

from .conftest import HOME, words_of

Memos = Callable[[], list[str]]


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://elsewhere.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "http://[broken"},
        {"origin": HOME, "sec-fetch-site": "cross-site"},
        {"origin": HOME, "sec-fetch-site": "same-site"},
        {"origin": "", "referer": "http://elsewhere.example/page"},
        {"origin": ""},
    ],
)
@pytest.mark.parametrize("path", ["/", "/review"])
def test_a_post_from_elsewhere_is_refused(
    client: Any, memos: Memos, path: str, headers: dict[str, str]
) -> None:
    answer = client.post(path, data={"memo": "nine eggs"}, headers=headers)
    assert answer.status_code == 403
    assert "Nothing was kept or changed." in words_of(answer)
    assert memos() == []


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": HOME},
        {"origin": HOME, "sec-fetch-site": "same-origin"},
        {"origin": "", "sec-fetch-site": "same-origin"},
        {"origin": "", "referer": f"{HOME}/"},
    ],
)
def test_a_post_from_the_screen_itself_is_taken(
    client: Any, memos: Memos, headers: dict[str, str]
) -> None:
    assert client.post("/", data={"memo": "nine eggs"}, headers=headers).status_code == 200
    assert memos() == ["nine eggs"]


def test_another_page_cannot_post_json_either(client: Any, memos: Memos) -> None:
    for headers in ({"origin": "http://elsewhere.example"}, {"origin": "null"}):
        answer = client.post("/api/note", json={"text": "nine eggs"}, headers=headers)
        assert answer.status_code == 403
        assert "another page" in answer.json()["error"]
    text = client.post(
        "/api/note",
        content='{"text": "nine eggs"}',
        headers={"origin": "", "content-type": "text/plain"},
    )
    assert text.status_code == 403
    assert memos() == []


@pytest.mark.parametrize(
    "host",
    [
        "127.0.0.1:8484",
        "localhost:8484",
        "[::1]:8484",
        "192.168.1.20:8484",
        "barn",
        "barn.local:8484",
        "barn.home.arpa",
    ],
)
def test_addresses_and_names_of_a_home_network_are_answered(client: Any, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["elsewhere.example", "127.0.0.1.elsewhere.example:8484", "", "[broken", "a.local.com"]
)
def test_a_name_turned_to_this_machine_is_refused(client: Any, host: str) -> None:
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 403
    assert "does not answer to the name" in words_of(answer)
    assert "Plum Hollow" not in answer.text


@pytest.mark.parametrize("path", ["/", "/ask", "/review", "/nowhere", "/api/left"])
def test_every_answer_forbids_frames_scripts_and_keeping(client: Any, path: str) -> None:
    headers = client.get(path).headers
    assert "frame-ancestors 'none'" in headers["content-security-policy"]
    assert "default-src 'none'" in headers["content-security-policy"]
    assert headers["cache-control"] == "no-store"
    assert headers["x-content-type-options"] == "nosniff"


def _pieces(count: int, size: int) -> Iterator[bytes]:
    for _ in range(count):
        yield b"x" * size


@pytest.mark.parametrize("pieces", [2, 40])
def test_a_body_without_a_length_is_counted(client: Any, memos: Memos, pieces: int) -> None:
    answer = client.post(
        "/",
        content=_pieces(pieces, guard._TEXT_BODY),
        headers={"content-type": "application/x-www-form-urlencoded"},
    )
    assert answer.status_code == 413
    assert "Nothing of it was kept." in words_of(answer)
    assert memos() == []


def test_a_recording_is_counted_while_it_comes(
    client: Any, memos: Memos, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(guard, "_RECORDING_BODY", 10_000)
    answer = client.post("/", files={"recording": ("walk.wav", b"x" * 20_000, "audio/wav")})
    assert answer.status_code == 413
    assert memos() == []


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        (b"--x\r\nnonsense", "multipart/form-data; boundary=x"),
        (b"memo=nine", "multipart/form-data"),
        (b"\xff\xfe=%ff%00", "application/x-www-form-urlencoded"),
        (b"memo=nine", "text/plain"),
    ],
)
def test_a_broken_form_is_told_and_keeps_nothing(
    client: Any, memos: Memos, body: bytes, kind: str
) -> None:
    for path in ("/", "/review"):
        answer = client.post(path, content=body, headers={"content-type": kind})
        assert 400 <= answer.status_code < 500
        assert "Nothing was" in words_of(answer)
    assert memos() == []


def test_a_page_that_is_none_is_told(client: Any) -> None:
    answer = client.get("/nowhere")
    assert answer.status_code == 404
    assert "There is no such page." in words_of(answer)
    assert client.put("/", headers={"origin": HOME}).status_code == 405


def test_the_style_is_the_programs_own(client: Any) -> None:
    assert client.get("/static/screen.css").status_code == 200
    assert client.get("/static/../screens.py").status_code == 404
    assert client.get("/static/%2e%2e/screens.py").status_code == 404


def test_a_fault_of_the_program_is_told(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("no such thing")

    monkeypatch.setattr("voicelog.app.notebook.Notebook.left", broken)
    answer = client.get("/")
    assert answer.status_code == 500
    assert "A fault in the program stopped this: ZeroDivisionError" in words_of(answer)
    assert "What was kept before stands as it was." in words_of(answer)
