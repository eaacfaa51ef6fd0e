"""One notebook for many threads, and a farm file that changes meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Event
from typing import Any

import pytest

from voicelog.app import Setting
from voicelog.catalogue import expand_all, load_catalogue
from voicelog.types import Transcript
from voicelog.web import pages
from voicelog.web.replies import Replies, Reply, key_of

from .conftest import FARM, words_of

Note = Callable[..., str]
Memos = Callable[[], list[str]]


def test_many_at_once_lose_nothing(client: Any, memos: Memos) -> None:
    texts = [f"{count} eggs from coop a" for count in range(1, 25)]

    def one(text: str) -> int:
        client.get("/review")
        status: int = client.post("/", data={"memo": text, "once": text}).status_code
        return status

    with ThreadPoolExecutor(8) as pool:
        assert set(pool.map(one, texts)) == {200}
    assert sorted(memos()) == sorted(texts)


def test_a_double_tap_is_one_memo_though_both_arrive_together(client: Any, memos: Memos) -> None:
    def tap(_: int) -> int:
        status: int = client.post("/", data={"memo": "nine eggs", "once": "x"}).status_code
        return status

    with ThreadPoolExecutor(8) as pool:
        assert set(pool.map(tap, range(8))) == {200}
    assert memos() == ["nine eggs"]


def test_the_screens_stay_quick_while_a_recording_is_heard(
    client: Any, memos: Memos, monkeypatch: pytest.MonkeyPatch
) -> None:
    hearing, go_on = Event(), Event()

    def transcribe_memos(*_: object) -> tuple[Transcript, ...]:
        hearing.set()
        assert go_on.wait(30)
        whole = Transcript(
            text="four eggs", words=(), alternatives=(), from_s=0.0, to_s=1.0, engine="by hand"
        )
        return (whole,)

    monkeypatch.setattr("voicelog.hearing.transcribe_memos", transcribe_memos)
    with ThreadPoolExecutor(1) as pool:
        sent = pool.submit(client.post, "/", files={"recording": ("a.wav", b"x", "audio/wav")})
        assert hearing.wait(30)
        client.post("/", data={"memo": "nine eggs"})
        assert memos() == ["nine eggs"]
        go_on.set()
        assert sent.result(30).status_code == 200
    assert memos() == ["nine eggs", "four eggs"]


def test_a_name_added_to_the_farm_file_is_known_at_once(
    client: Any, setting: Setting, note: Note
) -> None:
    note("one egg from coop a")
    setting.farm_path.write_text(FARM + '\n[[place]]\nname = "Sundown"\nkind = "coop"\n')
    assert "Sundown: eggs 3" in note("three eggs from sundown")
    assert client.get("/").status_code == 200


def test_a_slip_in_the_farm_file_costs_no_memo(setting: Setting, note: Note, memos: Memos) -> None:
    setting.farm_path.write_text("name = ")
    shown = note("three eggs from coop a")
    assert "coop A: eggs 3" in shown
    assert "Its former names are used." in shown
    assert memos() == ["three eggs from coop a"]
    setting.farm_path.write_text(FARM)
    assert "Its former names" not in note("four eggs from coop a")


def test_what_failed_may_be_tried_again() -> None:
    replies = Replies()
    done: list[int] = []

    def act() -> Reply:
        done.append(1)
        if len(done) == 1:
            raise ValueError("first")
        return Reply(told=())

    with pytest.raises(ValueError, match="first"):
        replies.once("key", act)
    assert replies.get("key") is None
    assert replies.once("key", act) is replies.once("key", act)
    assert len(done) == 2


def test_only_the_last_replies_are_remembered() -> None:
    replies = Replies()
    for number in range(500):
        replies.once(str(number), lambda: Reply(told=()))
    assert replies.get("0") is None
    assert replies.get("499") is not None


def test_keys_differ_where_anything_does() -> None:
    assert key_of("a", "b") == key_of("a", "b")
    assert len({key_of("ab", ""), key_of("a", "b"), key_of("", "ab"), key_of("ab")}) == 4


def test_templates_hold_no_word_of_the_trade() -> None:
    catalogue = load_catalogue()
    notations = [word for group in catalogue.classes for word in group.words]
    notations += [word for kind in catalogue.kinds for word in (*kind.about, *kind.says)]
    trade = {form for form in expand_all(notations) if form.isalpha() and len(form) > 3}
    templates = pages._templates()
    source = " ".join(
        templates.loader.get_source(templates, name)[0]  # type: ignore[union-attr]
        for name in templates.list_templates()
    )
    assert {"eggs", "hens"} <= trade
    assert not trade & set(source.lower().split())


def test_each_screen_is_one_page_with_its_own_tab(client: Any) -> None:
    for path, name in (("/", "Today"), ("/ask", "Ask"), ("/review", "Review")):
        page = client.get(path)
        assert page.text.count("<h1>") == 1
        assert f'aria-current="page">{name}<' in page.text
        assert "<script" not in page.text
        assert "Today Ask Review" in words_of(page)
