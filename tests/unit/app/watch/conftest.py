"""An invented farm without chores, and a notebook on it that takes records as they are given."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from voicelog.app import Notebook, Noted
from voicelog.app.setting import find_setting
from voicelog.app.watch import Due, Warned, due_today, warnings_of
from voicelog.types import Draft, Interval, Parse, Precision, Status, frozen_slots

FARM = """\
name = "Sorrel Lane"
timezone = "America/New_York"

[[place]]
name = "coop A"
kind = "coop"

[[place]]
name = "coop B"
kind = "coop"

[[place]]
name = "basket"
kind = "nest_row"

[[place]]
name = "east paddock"
kind = "paddock"

[[place]]
name = "west paddock"
kind = "paddock"

[[flock]]
name = "hens"
class = "layer"
count = 30
place = "coop A"

[[flock]]
name = "old girls"
class = "layer"
count = 8
place = "coop B"

[[flock]]
name = "cocks"
class = "cock"
count = 2

[[bird]]
name = "Tansy"
flock = "hens"

[[measure]]
unit = "scoop"
of = "layer"
holds = "3 lb"

[[measure]]
unit = "bag"
of = "layer"
holds = "50 lb"
"""


@pytest.fixture
def farm_text() -> str:
    """What the farm file says."""
    return FARM


@pytest.fixture
def book(tmp_path: Path, farm_text: str) -> Iterator[Notebook]:
    """The notebook."""
    file = tmp_path / "farm.toml"
    file.write_text(farm_text, encoding="utf-8")
    with Notebook(find_setting(str(tmp_path / "store.db"), file)) as opened:
        yield opened


Keep = Callable[..., Noted]


@pytest.fixture
def keep(book: Notebook) -> Keep:
    """Keep a memo with one record, said at a moment, about that moment or another."""

    def kept(
        said_at: datetime, kind: str, *, when: datetime | None = None, **fields: object
    ) -> Noted:
        begins = when or said_at
        common = {name: fields.pop(name) for name in list(fields) if name in Draft.__slots__}
        plain = {"place": None, "flock": None, "birds": (), "text": kind, "when_said": None}
        draft = Draft(
            kind=kind,
            when=Interval(from_=begins, to=begins, precision=Precision.MINUTE),
            certainty=1.0,
            slots=frozen_slots(fields),  # type: ignore[arg-type]
            **({"status": Status.DONE} | plain | common),  # type: ignore[arg-type]
        )
        memo = book.writing.keep_memo(said_at=said_at, text=draft.text, source="typed")
        parse = Parse(memo=draft.text, now=said_at, records=(draft,))
        records = book.writing.keep_parse(memo.id, parse, parser="given")
        return Noted(memo=memo, parse=parse, records=records)

    return kept


@pytest.fixture
def due(book: Notebook) -> Callable[..., list[Due]]:
    """What is due at a moment, or of one sort of it."""

    def found(now: datetime, what: str | None = None) -> list[Due]:
        return [one for one in due_today(book, now) if what in (None, one.what)]

    return found


@pytest.fixture
def warns(book: Notebook, keep: Keep) -> Callable[..., Warned | None]:
    """What a memo with one record warns of."""

    def found(said_at: datetime, kind: str, **fields: object) -> Warned | None:
        warnings = warnings_of(book, keep(said_at, kind, **fields))
        assert len(warnings) < 2
        return next(iter(warnings), None)

    return found
