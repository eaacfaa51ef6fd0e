"""Spoken times on public test sets, beside a general library on the same rows.

The sets lie outside the repository; without them the tests skip. Floors are what is reached now,
so that a change that reads fewer rows right breaks the build. Rows that the contract reads in
another way are listed with the reason and left out of the score; every other row counts.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from voicelog.text.times import find_times

SUITES = Path(__file__).resolve().parents[3] / "shared" / "suites"
pytestmark = pytest.mark.skipif(
    not SUITES.is_dir(), reason="the public suites are not beside this checkout"
)

ZONE = ZoneInfo("UTC")
LEAST_STARTS_RIGHT = 0.89
MOST_FALSE_TIMES = 0.005
SOME_DAY = "2016-11-07T00:00:00"
"""Stands in for the day of a row that names none; whether a time is found hangs on no day."""

OTHER_CONTRACT = {
    r"DateTimeModel#(35|39|528|529|652)"
    r"|DateTimePeriodParser#(15|19|35|3[7-9]|40|43|4[5-9]|5[2-7]|64|76)": (
        "parts of the day begin at 5, 12, 17 and 21, and early and late are their thirds"
    ),
    r"DateTimeModel#(30|34[0-2]|34[67]|666|667|69[2-4]|731)|DatePeriodParser#(9[5-7]|149)": (
        "beginning, middle and end are thirds"
    ),
    r"HolidayParser#\d+|MergedParser#(7|31)|DateTimeModel#(230|454|455|616|659|82[45]|952)": (
        "feast days are no times"
    ),
    r"DatePeriodParser#(6[79]|7[0189]|10[89]|11\d|120|217|221)"
    r"|DateTimeModel#(4|176|447|46[045]|49[67]|573|644|94[1238])": (
        "quarters, halves of a year, decades and centuries are no precision of a record"
    ),
    r"DateTimeModel#929|DatePeriodParser#160": "a day said on that very day is today",
    r"DateTimeModel#389": "last wednesday is the latest before today",
    r"DateParser#92": "two years ago is that month",
    r"DatePeriodParser#227": "now is the minute, not the day",
    r"DateTimeModel#658|MergedParser#5": "tonight runs on into the next day",
    r"MergedParser#14": "the row leaves out the day of the month that its text says",
}  # fmt: skip

READ_ON_PURPOSE = {
    r"DatePeriodExtractor#17[12]|DatePeriodParser#(26|60|161)": "in three weeks is a time",
    r"DateTimeModel#24[48]|DateTimeModelExtendedTypes#34": "the 21st is a day",
    r"DateTimeModelComplexCalendar#13[23]|dates_chrono#117": (
        "for the week, in the year: the one that runs"
    ),
    r"DateTimeModelTasksMode#(6|43)": "years and hours that are not read in that mode alone",
    r"TimeExtractor#82|TimePeriodExtractor#53": "a time of another sort stands in the row",
    r"dates_chrono#(0|48|74)": "not read in strict mode alone",
    r"dates_chrono#(19|23)": "a leap day has its year",
    r"dates_chrono#(112|113)": ("the valid part of a range that has no last day"),
}


@dataclass(frozen=True)
class Row:
    """One row of a set."""

    name: str
    text: str
    now: datetime
    mention: str = ""
    start: datetime | None = None
    end: datetime | None = None

    def reason(self, reasons: dict[str, str]) -> str | None:
        """Why the contract reads the row in another way."""
        found = (why for ids, why in reasons.items() if re.fullmatch(ids, self.name))
        return next(found, None)

    def overlaps(self, start: int, end: int) -> bool:
        """Whether a span shares a character with the mention, wherever that stands."""
        text, mention = self.text.lower(), self.mention.lower()
        places = (at for at in range(len(text)) if text.startswith(mention, at))
        return any(start < at + len(mention) and at < end for at in places)


def _moment(value: str | None) -> datetime | None:
    return datetime.fromisoformat(value).replace(tzinfo=ZONE) if value else None


def _rows(path: str) -> list[dict[str, Any]]:
    lines = (SUITES / path).read_text(encoding="utf-8").split("\n")
    return [json.loads(line) for line in lines if line.strip()]


@cache
def dated() -> tuple[Row, ...]:
    """Rows with one mention that lies before or on their day."""
    return tuple(
        Row(
            name=row["id"],
            text=row["text"],
            now=datetime.fromisoformat(row["ref"]).replace(tzinfo=ZONE),
            mention=row["mention"],
            start=_moment(row["start"]),
            end=_moment(row["end"]),
        )
        for row in _rows("dates_recognizers/past_present.jsonl")
    )


@cache
def undated() -> tuple[Row, ...]:
    """Rows that hold no time."""
    return tuple(
        Row(
            name=row.get("id") or f"{folder}#{number}",
            text=row["text"],
            now=datetime.fromisoformat(row.get("ref") or SOME_DAY).replace(tzinfo=ZONE),
        )
        for folder in ("dates_chrono", "dates_duckling", "dates_recognizers")
        for number, row in enumerate(_rows(f"{folder}/no_date.jsonl"))
    )


def own_start_right(row: Row) -> bool:
    """Whether a time on the mention begins right; one without a beginning must end right."""
    for span in find_times(row.text, row.now):
        if not row.overlaps(span.start, span.end):
            continue
        if row.start is None and span.when.from_ is None and span.when.to == row.end:
            return True
        if row.start is not None and span.when.from_ == row.start:
            return True
    return False


def library_start_right(row: Row) -> bool:
    """The same of the general library, asked for past dates."""
    from dateparser.search import search_dates

    settings = {
        "RELATIVE_BASE": row.now.replace(tzinfo=None),
        "PREFER_DATES_FROM": "past",
        "RETURN_AS_TIMEZONE_AWARE": False,
    }
    found = search_dates(row.text, languages=["en"], settings=settings) or []
    wanted = row.start or row.end
    return any(
        words.lower() in row.mention.lower() or row.mention.lower() in words.lower()
        for words, moment in found
        if wanted is not None and moment == wanted.replace(tzinfo=None)
    )


def library_finds(row: Row) -> bool:
    """Whether the general library sees a date in a row."""
    from dateparser.search import search_dates

    settings = {"RELATIVE_BASE": row.now.replace(tzinfo=None)}
    return bool(search_dates(row.text, languages=["en"], settings=settings))


def share(rows: list[Row], right: Callable[[Row], bool]) -> float:
    return sum(right(row) for row in rows) / len(rows)


def test_starts_are_right(capsys: pytest.CaptureFixture[str]) -> None:
    rows = [row for row in dated() if row.reason(OTHER_CONTRACT) is None]
    assert len(rows) > 400
    own = share(rows, own_start_right)
    with capsys.disabled():
        print(
            f"\nstarts right: own {own:.1%} of {len(rows)} rows, "
            f"{share(list(dated()), own_start_right):.1%} of all {len(dated())}"
        )
    assert own >= LEAST_STARTS_RIGHT


def test_rows_without_a_time_stay_without(capsys: pytest.CaptureFixture[str]) -> None:
    rows = [row for row in undated() if row.reason(READ_ON_PURPOSE) is None]
    assert len(rows) > 250
    wrong = [row.name for row in rows if find_times(row.text, row.now)]
    with capsys.disabled():
        print(f"\nfalse times: own {len(wrong)} of {len(rows)} rows")
    assert len(wrong) / len(rows) <= MOST_FALSE_TIMES, wrong


def test_the_own_grammar_beats_a_general_library(capsys: pytest.CaptureFixture[str]) -> None:
    rows = [row for row in dated() if row.reason(OTHER_CONTRACT) is None][::6]
    quiet = [row for row in undated() if row.reason(READ_ON_PURPOSE) is None][::6]
    own, other = share(rows, own_start_right), share(rows, library_start_right)
    own_false = share(quiet, lambda row: bool(find_times(row.text, row.now)))
    other_false = share(quiet, library_finds)
    with capsys.disabled():
        print(
            f"\nevery sixth row: starts right own {own:.1%}, dateparser {other:.1%}; "
            f"false times own {own_false:.1%}, dateparser {other_false:.1%}"
        )
    assert own > other
    assert own_false <= other_false


def test_every_reason_is_needed() -> None:
    for ids in OTHER_CONTRACT:
        rows = [row for row in dated() if re.fullmatch(ids, row.name)]
        assert rows, ids
        assert [row.name for row in rows if own_start_right(row)] == []
    for ids in READ_ON_PURPOSE:
        rows = [row for row in undated() if re.fullmatch(ids, row.name)]
        assert rows, ids
        assert all(find_times(row.text, row.now) for row in rows), ids
