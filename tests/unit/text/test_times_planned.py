"""Times of plans, said on Tuesday 4 May 2027 at ten past eight in the morning."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from voicelog.text.times import find_times

NOW = datetime(2027, 5, 4, 8, 10, tzinfo=ZoneInfo("America/New_York"))

PLANS = {
    "need to move it friday": ("friday", "2027-05-07 00:00", "2027-05-08 00:00"),
    "on tuesday": ("tuesday", "2027-05-11 00:00", "2027-05-12 00:00"),
    "next friday": ("next friday", "2027-05-07 00:00", "2027-05-08 00:00"),
    "next tuesday the 11th": ("next tuesday the 11th", "2027-05-11 00:00", "2027-05-12 00:00"),
    "tomorrow": ("tomorrow", "2027-05-05 00:00", "2027-05-06 00:00"),
    "the day after tomorrow": ("the day after tomorrow", "2027-05-06 00:00", "2027-05-07 00:00"),
    "shut them in at seven": ("at seven", "2027-05-04 19:00", "2027-05-04 20:00"),
    "at nine": ("at nine", "2027-05-04 09:00", "2027-05-04 10:00"),
    "tomorrow morning at six thirty": (
        "tomorrow morning at six thirty", "2027-05-05 06:30", "2027-05-05 06:30"),
    "in the morning": ("in the morning", "2027-05-05 05:00", "2027-05-05 12:00"),
    "first thing tomorrow": ("first thing tomorrow", "2027-05-05 05:00", "2027-05-05 07:00"),
    "tonight": ("tonight", "2027-05-04 21:00", "2027-05-05 05:00"),
    "at dusk": ("at dusk", "2027-05-04 20:00", "2027-05-04 20:00"),
    "before dark": ("before dark", "", "2027-05-04 20:00"),
    "by friday": ("by friday", "", "2027-05-08 00:00"),
    "by nine tonight": ("by nine tonight", "", "2027-05-04 21:00"),
    "until friday": ("until friday", "", "2027-05-08 00:00"),
    "in two days": ("in two days", "2027-05-06 00:00", "2027-05-07 00:00"),
    "in an hour": ("in an hour", "2027-05-04 09:10", "2027-05-04 09:10"),
    "in half an hour": ("in half an hour", "2027-05-04 08:40", "2027-05-04 08:40"),
    "two weeks from friday": ("two weeks from friday", "2027-05-21 00:00", "2027-05-22 00:00"),
    "three days from now": ("three days from now", "2027-05-07 00:00", "2027-05-08 00:00"),
    "the 15th": ("the 15th", "2027-05-15 00:00", "2027-05-16 00:00"),
    "may third": ("may third", "2028-05-03 00:00", "2028-05-04 00:00"),
    "in june": ("june", "2027-06-01 00:00", "2027-07-01 00:00"),
    "next week": ("next week", "2027-05-10 00:00", "2027-05-17 00:00"),
    "next month": ("next month", "2027-06-01 00:00", "2027-07-01 00:00"),
    "next spring": ("next spring", "2028-03-01 00:00", "2028-06-01 00:00"),
    "the weekend": ("the weekend", "2027-05-08 00:00", "2027-05-10 00:00"),
    "the next three days": ("the next three days", "2027-05-04 08:10", "2027-05-07 08:10"),
    "later today": ("later today", "2027-05-04 08:10", "2027-05-05 00:00"),
    "the rest of the week": ("the rest of the week", "2027-05-04 08:10", "2027-05-10 00:00"),
    "from monday to wednesday": (
        "from monday to wednesday", "2027-05-10 00:00", "2027-05-13 00:00"),
    "between two and four": ("between two and four", "2027-05-04 14:00", "2027-05-04 16:00"),
}  # fmt: skip


@pytest.mark.parametrize("text", PLANS)
def test_a_plan_lies_ahead(text: str) -> None:
    spans = find_times(text, NOW, lean="future")
    assert len(spans) == 1
    when = spans[0].when
    said = text[spans[0].start : spans[0].end]
    begin, end = (
        "" if moment is None else moment.strftime("%Y-%m-%d %H:%M")
        for moment in (when.from_, when.to)
    )
    assert (said, begin, end) == PLANS[text]
