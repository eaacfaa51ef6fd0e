"""Times of things done, said on Tuesday 4 May 2027 at ten past eight in the morning."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from voicelog.text.times import cut_off, find_times
from voicelog.types import Interval, Precision, TimeSpan

NOW = datetime(2027, 5, 4, 8, 10, tzinfo=ZoneInfo("America/New_York"))


def the_only(text: str) -> TimeSpan:
    """The one time that a text says."""
    spans = find_times(text, NOW)
    assert len(spans) == 1, [text[span.start : span.end] for span in spans]
    return spans[0]


def written(moment: datetime | None) -> str:
    return "" if moment is None else moment.strftime("%Y-%m-%d %H:%M")


def row(text: str) -> str:
    """Words, beginning, end and precision of the only time in a text."""
    span = the_only(text)
    when = span.when
    parts = (text[span.start : span.end], written(when.from_), written(when.to), when.precision)
    return " | ".join(parts)


CLOCKS = {
    "fed the hens at seven": "at seven | 2027-05-04 07:00 | 2027-05-04 08:00 | hour",
    "let them out at six thirty": "at six thirty | 2027-05-04 06:30 | 2027-05-04 06:30 | minute",
    "shut in at nine": "at nine | 2027-05-03 21:00 | 2027-05-03 22:00 | hour",
    "half past six, fed": "half past six | 2027-05-04 06:30 | 2027-05-04 06:30 | minute",
    "quarter to seven": "quarter to seven | 2027-05-04 06:45 | 2027-05-04 06:45 | minute",
    "a quarter past seven": "a quarter past seven | 2027-05-04 07:15 | 2027-05-04 07:15 | minute",
    "ten to eight": "ten to eight | 2027-05-04 07:50 | 2027-05-04 07:50 | minute",
    "let out ten past six": "ten past six | 2027-05-04 06:10 | 2027-05-04 06:10 | minute",
    "at twenty past five": "at twenty past five | 2027-05-04 05:20 | 2027-05-04 05:20 | minute",
    "six oh five at the gate": "six oh five | 2027-05-04 06:05 | 2027-05-04 06:05 | minute",
    "seven o'clock": "seven o'clock | 2027-05-04 07:00 | 2027-05-04 08:00 | hour",
    "seven am": "seven am | 2027-05-04 07:00 | 2027-05-04 08:00 | hour",
    "seven a m": "seven a m | 2027-05-04 07:00 | 2027-05-04 08:00 | hour",
    "5:30 p.m. feeding": "5:30 p.m. | 2027-05-03 17:30 | 2027-05-03 17:30 | minute",
    "at 7:30": "at 7:30 | 2027-05-04 07:30 | 2027-05-04 07:30 | minute",
    "0630 fed": "0630 | 2027-05-04 06:30 | 2027-05-04 06:30 | minute",
    "at 1430": "at 1430 | 2027-05-03 14:30 | 2027-05-03 14:30 | minute",
    "around six": "around six | 2027-05-04 06:00 | 2027-05-04 07:00 | hour",
    "at about half past six": (
        "at about half past six | 2027-05-04 06:30 | 2027-05-04 06:30 | minute"
    ),
    "at noon": "at noon | 2027-05-03 12:00 | 2027-05-03 12:00 | hour",
    "at midnight": "at midnight | 2027-05-04 00:00 | 2027-05-04 00:00 | hour",
    "at dawn": "at dawn | 2027-05-04 06:00 | 2027-05-04 06:00 | part_of_day",
    "at first light": "at first light | 2027-05-04 06:00 | 2027-05-04 06:00 | part_of_day",
    "at dusk yesterday": "at dusk yesterday | 2027-05-03 20:00 | 2027-05-03 20:00 | part_of_day",
    "an hour before dawn": "an hour before dawn | 2027-05-04 05:00 | 2027-05-04 05:00 | hour",
}  # fmt: skip

DAYS = {
    "today": "today | 2027-05-04 00:00 | 2027-05-05 00:00 | day",
    "yesterday's eggs": "yesterday's | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "the day before yesterday": (
        "the day before yesterday | 2027-05-02 00:00 | 2027-05-03 00:00 | day"
    ),
    "moved the coop friday": "friday | 2027-04-30 00:00 | 2027-05-01 00:00 | day",
    "on tuesday": "tuesday | 2027-05-04 00:00 | 2027-05-05 00:00 | day",
    "last tuesday": "last tuesday | 2027-04-27 00:00 | 2027-04-28 00:00 | day",
    "last friday": "last friday | 2027-04-30 00:00 | 2027-05-01 00:00 | day",
    "this past friday": "this past friday | 2027-04-30 00:00 | 2027-05-01 00:00 | day",
    "this monday": "this monday | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "tuesday of last week": "tuesday of last week | 2027-04-27 00:00 | 2027-04-28 00:00 | day",
    "last week friday": "last week friday | 2027-04-30 00:00 | 2027-05-01 00:00 | day",
    "monday the third": "monday the third | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "the third of may": "the third of may | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "may third": "may third | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "may twenty first": "may twenty first | 2026-05-21 00:00 | 2026-05-22 00:00 | day",
    "may 3rd 2027": "may 3rd 2027 | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "june fifth twenty twenty six": (
        "june fifth twenty twenty six | 2026-06-05 00:00 | 2026-06-06 00:00 | day"
    ),
    "2027-05-03": "2027-05-03 | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "5/3/2027": "5/3/2027 | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "25/4/2027": "25/4/2027 | 2027-04-25 00:00 | 2027-04-26 00:00 | day",
    "on 5/3": "5/3 | 2027-05-03 00:00 | 2027-05-04 00:00 | day",
    "on the 15th": "the 15th | 2027-04-15 00:00 | 2027-04-16 00:00 | day",
    "on the fourth": "the fourth | 2027-05-04 00:00 | 2027-05-05 00:00 | day",
    "two days ago": "two days ago | 2027-05-02 00:00 | 2027-05-03 00:00 | day",
    "a couple of days ago": "a couple of days ago | 2027-05-02 00:00 | 2027-05-03 00:00 | day",
    "a few days ago": "a few days ago | 2027-05-01 00:00 | 2027-05-02 00:00 | day",
    "two or three days ago": "two or three days ago | 2027-05-01 00:00 | 2027-05-03 00:00 | day",
    "two weeks ago": "two weeks ago | 2027-04-20 00:00 | 2027-04-21 00:00 | day",
    "three months ago": "three months ago | 2027-02-04 00:00 | 2027-02-05 00:00 | day",
    "two years ago": "two years ago | 2025-05-01 00:00 | 2025-06-01 00:00 | month",
    "a week ago tuesday": "a week ago tuesday | 2027-04-27 00:00 | 2027-04-28 00:00 | day",
    "two weeks ago friday": "two weeks ago friday | 2027-04-16 00:00 | 2027-04-17 00:00 | day",
    "all day": "all day | 2027-05-04 00:00 | 2027-05-05 00:00 | day",
    "earlier today": "earlier today | 2027-05-04 00:00 | 2027-05-04 08:10 | day",
    "filled it earlier": "earlier | 2027-05-04 00:00 | 2027-05-04 08:10 | day",
}  # fmt: skip

PARTS = {
    "this morning": "this morning | 2027-05-04 05:00 | 2027-05-04 12:00 | part_of_day",
    "this evening": "this evening | 2027-05-04 17:00 | 2027-05-04 21:00 | part_of_day",
    "tonight": "tonight | 2027-05-04 21:00 | 2027-05-05 05:00 | part_of_day",
    "last night": "last night | 2027-05-03 21:00 | 2027-05-04 05:00 | part_of_day",
    "overnight": "overnight | 2027-05-03 21:00 | 2027-05-04 05:00 | part_of_day",
    "during the night": "during the night | 2027-05-03 21:00 | 2027-05-04 05:00 | part_of_day",
    "two nights ago": "two nights ago | 2027-05-02 21:00 | 2027-05-03 05:00 | part_of_day",
    "in the morning": "in the morning | 2027-05-04 05:00 | 2027-05-04 12:00 | part_of_day",
    "in the afternoon": "in the afternoon | 2027-05-03 12:00 | 2027-05-03 17:00 | part_of_day",
    "yesterday afternoon": (
        "yesterday afternoon | 2027-05-03 12:00 | 2027-05-03 17:00 | part_of_day"
    ),
    "tuesday night": "tuesday night | 2027-04-27 21:00 | 2027-04-28 05:00 | part_of_day",
    "early this morning": "early this morning | 2027-05-04 05:00 | 2027-05-04 07:00 | part_of_day",
    "late last night": "late last night | 2027-05-04 02:00 | 2027-05-04 05:00 | part_of_day",
    "first thing this morning": (
        "first thing this morning | 2027-05-04 05:00 | 2027-05-04 07:00 | part_of_day"
    ),
}  # fmt: skip

JOINED = {
    "yesterday morning at six": "yesterday morning at six | 2027-05-03 06:00",
    "at six yesterday morning": "at six yesterday morning | 2027-05-03 06:00",
    "six thirty this morning": "six thirty this morning | 2027-05-04 06:30",
    "at nine last night": "at nine last night | 2027-05-03 21:00",
    "at two last night": "at two last night | 2027-05-04 02:00",
    "last night at eleven": "last night at eleven | 2027-05-03 23:00",
    "at seven in the evening": "at seven in the evening | 2027-05-03 19:00",
    "at seven yesterday evening": "at seven yesterday evening | 2027-05-03 19:00",
    "yesterday at two": "yesterday at two | 2027-05-03 14:00",
    "yesterday at six": "yesterday at six | 2027-05-03 06:00",
    "sunday the 2nd at noon": "sunday the 2nd at noon | 2027-05-02 12:00",
    "monday, at half past five in the afternoon": (
        "monday, at half past five in the afternoon | 2027-05-03 17:30"
    ),
    "7:45 pm on may 2nd": "7:45 pm on may 2nd | 2027-05-02 19:45",
    "tuesday at noon": "tuesday at noon | 2027-04-27 12:00",
}

MOMENTS = {
    "just now": "just now | 2027-05-04 08:10 | 2027-05-04 08:10 | minute",
    "right now": "right now | 2027-05-04 08:10 | 2027-05-04 08:10 | minute",
    "half an hour ago": "half an hour ago | 2027-05-04 07:40 | 2027-05-04 07:40 | minute",
    "ten minutes ago": "ten minutes ago | 2027-05-04 08:00 | 2027-05-04 08:00 | minute",
    "two hours ago": "two hours ago | 2027-05-04 06:10 | 2027-05-04 06:10 | hour",
    "an hour and a half ago": (
        "an hour and a half ago | 2027-05-04 06:40 | 2027-05-04 06:40 | minute"
    ),
    "two and a half hours ago": (
        "two and a half hours ago | 2027-05-04 05:40 | 2027-05-04 05:40 | minute"
    ),
}  # fmt: skip

PERIODS = {
    "last week": "last week | 2027-04-26 00:00 | 2027-05-03 00:00 | week",
    "this week": "this week | 2027-05-03 00:00 | 2027-05-10 00:00 | week",
    "the week before last": "the week before last | 2027-04-19 00:00 | 2027-04-26 00:00 | week",
    "last month": "last month | 2027-04-01 00:00 | 2027-05-01 00:00 | month",
    "last year": "last year | 2026-01-01 00:00 | 2027-01-01 00:00 | year",
    "this spring": "this spring | 2027-03-01 00:00 | 2027-06-01 00:00 | season",
    "last winter": "last winter | 2026-12-01 00:00 | 2027-03-01 00:00 | season",
    "in the fall": "the fall | 2026-09-01 00:00 | 2026-12-01 00:00 | season",
    "in april": "april | 2027-04-01 00:00 | 2027-05-01 00:00 | month",
    "in june": "june | 2026-06-01 00:00 | 2026-07-01 00:00 | month",
    "last may": "last may | 2026-05-01 00:00 | 2026-06-01 00:00 | month",
    "in 2026": "2026 | 2026-01-01 00:00 | 2027-01-01 00:00 | year",
    "the weekend": "the weekend | 2027-05-01 00:00 | 2027-05-03 00:00 | day",
    "last weekend": "last weekend | 2027-05-01 00:00 | 2027-05-03 00:00 | day",
    "the last ten days": "the last ten days | 2027-04-24 08:10 | 2027-05-04 08:10 | day",
    "this past week": "this past week | 2027-04-27 08:10 | 2027-05-04 08:10 | week",
    "last two weeks": "last two weeks | 2027-04-20 08:10 | 2027-05-04 08:10 | week",
    "the past few days": "the past few days | 2027-05-01 08:10 | 2027-05-04 08:10 | day",
    "the last hour": "the last hour | 2027-05-04 07:10 | 2027-05-04 08:10 | hour",
    "early april": "early april | 2027-04-01 00:00 | 2027-04-11 00:00 | week",
    "mid april": "mid april | 2027-04-11 00:00 | 2027-04-21 00:00 | week",
    "the end of april": "the end of april | 2027-04-21 00:00 | 2027-05-01 00:00 | week",
    "the beginning of last year": (
        "the beginning of last year | 2026-01-01 00:00 | 2026-05-01 00:00 | month"
    ),
    "the third week of april": (
        "the third week of april | 2027-04-12 00:00 | 2027-04-19 00:00 | week"
    ),
    "the week of april tenth": (
        "the week of april tenth | 2027-04-05 00:00 | 2027-04-12 00:00 | week"
    ),
    "the first friday of april": (
        "the first friday of april | 2027-04-02 00:00 | 2027-04-03 00:00 | day"
    ),
    "first ten days of april": (
        "first ten days of april | 2027-04-01 00:00 | 2027-04-11 00:00 | day"
    ),
}  # fmt: skip

LINKED = {
    "since sunday": "since sunday | 2027-05-02 00:00 |  | day",
    "since seven": "since seven | 2027-05-04 07:00 |  | hour",
    "until yesterday": "until yesterday |  | 2027-05-04 00:00 | day",
    "before noon": "before noon |  | 2027-05-03 12:00 | hour",
    "after sunday": "after sunday | 2027-05-03 00:00 |  | day",
    "from monday to wednesday": (
        "from monday to wednesday | 2027-04-26 00:00 | 2027-04-29 00:00 | day"
    ),
    "from march to april": "from march to april | 2027-03-01 00:00 | 2027-05-01 00:00 | month",
    "april second through ninth": (
        "april second through ninth | 2027-04-02 00:00 | 2027-04-10 00:00 | day"
    ),
    "from 4 to 12 april": "from 4 to 12 april | 2027-04-04 00:00 | 2027-04-13 00:00 | day",
    "between six and eight": "between six and eight | 2027-05-04 06:00 | 2027-05-04 08:00 | hour",
    "from 5 to 6 pm yesterday": (
        "from 5 to 6 pm yesterday | 2027-05-03 17:00 | 2027-05-03 18:00 | hour"
    ),
    "yesterday from two to four": (
        "yesterday from two to four | 2027-05-03 14:00 | 2027-05-03 16:00 | hour"
    ),
    "between ten and one last night": (
        "between ten and one last night | 2027-05-03 22:00 | 2027-05-04 01:00 | hour"
    ),
    "more than two weeks ago": "more than two weeks ago |  | 2027-04-20 00:00 | day",
}  # fmt: skip

TABLES = CLOCKS | DAYS | PARTS | MOMENTS | PERIODS | LINKED


@pytest.mark.parametrize("text", TABLES)
def test_a_time_is_read_whole(text: str) -> None:
    assert row(text) == TABLES[text]


@pytest.mark.parametrize("text", JOINED)
def test_day_part_and_clock_join_in_any_order(text: str) -> None:
    span = the_only(text)
    assert f"{text[span.start : span.end]} | {written(span.when.from_)}" == JOINED[text]
    assert span.when.from_ is not None
    assert span.when.to is not None
    length = span.when.to - span.when.from_
    assert length == timedelta(hours=1 if length else 0)


def test_two_times_of_one_memo_stay_apart() -> None:
    text = "last night they were out, let them back in at six and moved the pen this morning"
    found = [text[span.start : span.end] for span in find_times(text, NOW)]
    assert found == ["last night", "at six", "this morning"]


def test_an_hour_does_not_take_the_count_after_it() -> None:
    text = "nine eggs at six five eggs at seven"
    assert [text[span.start : span.end] for span in find_times(text, NOW)] == ["at six", "at seven"]


def test_now_needs_a_zone() -> None:
    with pytest.raises(ValueError, match="aware"):
        find_times("today", NOW.replace(tzinfo=None))


@pytest.mark.parametrize(
    ("text", "end"),
    [("today", NOW), ("since sunday", NOW), ("yesterday", NOW.replace(hour=0, minute=0))],
)
def test_what_is_done_is_cut_off_at_now(text: str, end: datetime) -> None:
    assert cut_off(the_only(text).when, NOW).to == end


def test_what_begins_later_is_not_cut_off() -> None:
    later = NOW.replace(hour=20)
    interval = Interval(from_=later, to=None, precision=Precision.HOUR)
    assert cut_off(interval, NOW) == interval
