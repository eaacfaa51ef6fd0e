"""What a report adds up, what it only bounds, and what it calls missing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from voicelog.app.notebook import Notebook
from voicelog.app.report import KindReport, SlotDays, report_of
from voicelog.app.setting import Setting
from voicelog.types import Draft, Interval, Parse, Precision, Quantity, Status, frozen_slots

NOW = datetime(2027, 5, 6, 18, tzinfo=UTC)
FARM = 'timezone = "UTC"\n\n[[chore]]\nrecord = "eggs"\nevery = "day"\n'

Keep = Callable[..., None]


@pytest.fixture
def notebook(tmp_path: Path) -> Iterator[Notebook]:
    farm = tmp_path / "farm.toml"
    farm.write_text(FARM, encoding="utf-8")
    where = str(tmp_path / "store.db")
    setting = Setting(store=where, store_named=True, farm_path=farm, farm_named=True)
    with Notebook(setting) as opened:
        yield opened


@pytest.fixture
def keep(notebook: Notebook) -> Keep:
    """Keep a record of a day of May 2027, said on that day or a later one."""

    def kept(kind: str, day: int, said: int | None = None, **slots: int | str | Quantity) -> None:
        when = datetime(2027, 5, day, 12, tzinfo=UTC)
        at = datetime(2027, 5, said or day, 12, tzinfo=UTC)
        memo = notebook.writing.keep_memo(said_at=at, text=kind, source="typed")
        draft = Draft(
            kind=kind,
            status=Status.DONE,
            when=Interval(from_=when, to=when, precision=Precision.MINUTE),
            when_said=None,
            place=None,
            flock=None,
            birds=(),
            slots=frozen_slots(slots),
            text=kind,
            certainty=0.9,
        )
        parse = Parse(memo=kind, now=at, records=(draft,))
        notebook.writing.keep_parse(memo.id, parse, parser="by hand")

    return kept


def degrees(value: float) -> Quantity:
    return Quantity(value=value, unit="degree")


def kilovolts(value: float) -> Quantity:
    return Quantity(value=value, unit="kV")


def reported(notebook: Notebook, kind: str) -> KindReport:
    (found,) = report_of(notebook, "week", NOW, (kind,)).kinds
    return found


def slot(notebook: Notebook, kind: str) -> SlotDays:
    (found,) = reported(notebook, kind).slots
    return found


def test_what_is_gathered_adds_up(notebook: Notebook, keep: Keep) -> None:
    for day, count in ((3, 20), (4, 22), (4, 3)):
        keep("eggs", day, count=count)
    found = slot(notebook, "eggs")
    assert (found.total, found.lowest, found.highest) == (45, 3, 22)
    assert found.days == ((date(2027, 5, 3), 20), (date(2027, 5, 4), 25))


@pytest.mark.parametrize(
    ("kind", "name", "first", "second"),
    [
        ("doors", "head_count", 36, 35),
        ("weather", "temperature", degrees(50), degrees(60)),
        ("fence", "voltage", kilovolts(6), kilovolts(5.5)),
        ("treatment", "days", 5, 7),
    ],
)
def test_what_is_counted_or_read_again_each_day_does_not(
    notebook: Notebook, keep: Keep, kind: str, name: str, first: object, second: object
) -> None:
    keep(kind, 3, **{name: first})
    keep(kind, 4, **{name: second})
    found = slot(notebook, kind)
    numbers = sorted(v.value if isinstance(v, Quantity) else v for v in (first, second))
    assert (found.total, found.days) == (None, ())
    assert [found.lowest, found.highest] == numbers


def test_a_day_is_missing_until_its_late_note_is_said(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 3, count=20)
    keep("eggs", 4, 6, count=20)
    (gap,) = report_of(notebook, "week", NOW).missing
    assert gap.days == (date(2027, 5, 5),)
    early = datetime(2027, 5, 5, 18, tzinfo=UTC)
    (gap,) = report_of(notebook, "week", early).missing
    assert gap.days == (date(2027, 5, 4),)
