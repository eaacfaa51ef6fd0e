from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from voicelog.records import Store
from voicelog.types import (
    Draft,
    Interval,
    Parse,
    Precision,
    Record,
    SlotValue,
    Status,
    frozen_slots,
)

ZONE = ZoneInfo("America/St_Johns")


@pytest.fixture
def at() -> Callable[..., datetime]:
    """A moment of May 2027 on the farm's clock."""

    def moment(day: int, hour: int = 8, minute: int = 0) -> datetime:
        return datetime(2027, 5, day, hour, minute, tzinfo=ZONE)

    return moment


@pytest.fixture
def draft(at: Callable[..., datetime]) -> Callable[..., Draft]:
    """Drafts with the fields that a test names."""

    def made(
        kind: str = "eggs",
        when: datetime | None = None,
        *,
        status: Status = Status.DONE,
        place: str | None = None,
        flock: str | None = None,
        birds: tuple[str, ...] = (),
        text: str = "",
        **slots: SlotValue,
    ) -> Draft:
        moment = when or at(4)
        return Draft(
            kind=kind,
            status=status,
            when=Interval(from_=moment, to=moment, precision=Precision.MINUTE),
            when_said=None,
            place=place,
            flock=flock,
            birds=birds,
            slots=frozen_slots(slots),
            text=text or f"{kind} {place or ''}",
            certainty=0.9,
        )

    return made


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "farm.db"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    with Store.open(str(path)) as opened:
        yield opened


@pytest.fixture
def say(store: Store) -> Callable[..., tuple[Record, ...]]:
    """Keep a memo and its parse."""

    def said(moment: datetime, *drafts: Draft) -> tuple[Record, ...]:
        text = " and ".join(draft.text for draft in drafts) or "nothing of note"
        memo = store.keep_memo(said_at=moment, text=text, source="typed")
        parse = Parse(memo=text, now=moment, records=drafts)
        return store.keep_parse(memo.id, parse, parser="first")

    return said
