"""The screens of a small invented farm, asked without a network."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from html import unescape
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette", reason="the extra for the screens is not installed")
pytest.importorskip("httpx", reason="httpx is not installed")

from starlette.testclient import TestClient

from voicelog.app import Setting, find_setting
from voicelog.records import Store
from voicelog.types import Draft, Interval, Parse, Precision, Status, frozen_slots
from voicelog.web.screens import application

FARM = """\
name = "Plum Hollow"
timezone = "America/New_York"
latitude = 42.0
longitude = -72.0

[[place]]
name = "coop A"
kind = "coop"

[[place]]
name = "coop B"
kind = "coop"

[[chore]]
record = "eggs"
places = ["coop A", "coop B"]
every = "day"
by = "12:00"

[[chore]]
record = "fence"
every = "2 days"
match = { action = "tested" }
"""
HOME = "http://127.0.0.1:8484"
NOW = "2027-05-04T18:00"


@pytest.fixture
def setting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Setting:
    """A store that is not there yet, and a farm file beside it, on an evening in May."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    (tmp_path / "farm.toml").write_text(FARM, encoding="utf-8")
    return find_setting(str(tmp_path / "store.db"), None, NOW)


@pytest.fixture
def client(setting: Setting) -> Iterator[TestClient]:
    """A browser on the screens."""
    app = application(setting, lambda _: None, host="127.0.0.1")
    with TestClient(
        app, base_url=HOME, headers={"origin": HOME}, raise_server_exceptions=False
    ) as asking:
        yield asking


@pytest.fixture
def note(client: TestClient) -> Callable[..., str]:
    """Types a memo and gives what the screen then says."""

    def noted(text: str, once: str = "") -> str:
        return words_of(client.post("/", data={"memo": text, "once": once or text}))

    return noted


@pytest.fixture
def memos(setting: Setting) -> Callable[[], list[str]]:
    """The texts of all memos kept."""

    def kept() -> list[str]:
        if not setting.store_exists:
            return []
        with Store.open(setting.store) as store:
            return [memo.text for memo in store.memos()]

    return kept


@pytest.fixture
def doubted(setting: Setting) -> tuple[int, ...]:
    """Ids of two records that no parser had a part in, the second in doubt."""
    said_at = setting.now()
    sure = draft(said_at, "nine eggs from coop a", place="coop A", count=9)
    unsure = draft(said_at, "four from coop b", place="coop B", count=4)
    unsure = replace(unsure, doubts=("Was that four in coop B?",))
    with Store.open(setting.store) as store:
        memo = store.keep_memo(said_at=said_at, text="nine and four", source="typed")
        parse = Parse(memo=memo.text, now=said_at, records=(sure, unsure))
        records = store.keep_parse(memo.id, parse, parser="by hand")
    return tuple(record.id for record in records)


def draft(said_at: datetime, text: str, *, place: str, count: int) -> Draft:
    """Eggs gathered at that moment."""
    return Draft(
        kind="eggs",
        status=Status.DONE,
        when=Interval(from_=said_at, to=said_at, precision=Precision.MINUTE),
        when_said=None,
        place=place,
        flock=None,
        birds=(),
        slots=frozen_slots({"count": count}),
        text=text,
        certainty=0.9,
    )


def words_of(response: Any) -> str:
    """The words of a page, without its marks."""
    body = re.sub(r"(?s)<head>.*</head>", "", response.text)
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", body)).split())
