"""Spoken repetitions as recurrence rules; now is Tuesday 4 May 2027."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from dateutil.rrule import rrulestr

from voicelog.text.repeats import find_repeats

NOW = datetime(2027, 5, 4, 8, 10, tzinfo=ZoneInfo("America/New_York"))

RULES = {
    "feed daily": ("daily", "FREQ=DAILY"),
    "water every day": ("every day", "FREQ=DAILY"),
    "every morning": ("every morning", "FREQ=DAILY"),
    "each evening at six": ("each evening at six", "FREQ=DAILY;BYHOUR=6;BYMINUTE=0"),
    "move the pen every other day": ("every other day", "FREQ=DAILY;INTERVAL=2"),
    "every second day": ("every second day", "FREQ=DAILY;INTERVAL=2"),
    "every three days": ("every three days", "FREQ=DAILY;INTERVAL=3"),
    "every couple of days": ("every couple of days", "FREQ=DAILY;INTERVAL=2"),
    "every 4th day": ("every 4th day", "FREQ=DAILY;INTERVAL=4"),
    "once a week": ("once a week", "FREQ=WEEKLY"),
    "every fortnight": ("every fortnight", "FREQ=WEEKLY;INTERVAL=2"),
    "every two weeks on monday": ("every two weeks on monday", "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO"),
    "every other monday": ("every other monday", "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO"),
    "scrub on mondays and thursdays": ("on mondays and thursdays", "FREQ=WEEKLY;BYDAY=MO,TH"),
    "every monday, wednesday and friday": (
        "every monday, wednesday and friday", "FREQ=WEEKLY;BYDAY=MO,WE,FR"),
    "every tuesday through thursday": (
        "every tuesday through thursday", "FREQ=WEEKLY;BYDAY=TU,WE,TH"),
    "on weekdays": ("on weekdays", "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"),
    "every weekend": ("every weekend", "FREQ=WEEKLY;BYDAY=SA,SU"),
    "monthly": ("monthly", "FREQ=MONTHLY"),
    "the first of every month": ("the first of every month", "FREQ=MONTHLY;BYMONTHDAY=1"),
    "last day of each month": ("last day of each month", "FREQ=MONTHLY;BYMONTHDAY=-1"),
    "the first and third friday of each month": (
        "the first and third friday of each month", "FREQ=MONTHLY;BYDAY=1FR,3FR"),
    "every second tuesday of the month": (
        "every second tuesday of the month", "FREQ=MONTHLY;BYDAY=2TU"),
    "every year on april fifth": (
        "every year on april fifth", "FREQ=YEARLY;BYMONTH=4;BYMONTHDAY=5"),
    "every march": ("every march", "FREQ=YEARLY;BYMONTH=3"),
    "daily at half past six": ("daily at half past six", "FREQ=DAILY;BYHOUR=6;BYMINUTE=30"),
    "every day at seven and at five pm": (
        "every day at seven and at five pm", "FREQ=DAILY;BYHOUR=7,17;BYMINUTE=0"),
    "tuesdays at 3:15": ("tuesdays at 3:15", "FREQ=WEEKLY;BYDAY=TU;BYHOUR=15;BYMINUTE=15"),
    "at ten am on the 15th of every month": (
        "at ten am on the 15th of every month", "FREQ=MONTHLY;BYMONTHDAY=15;BYHOUR=10;BYMINUTE=0"),
    "every day for five times": ("every day for five times", "FREQ=DAILY;COUNT=5"),
    "every day for two weeks": ("every day for two weeks", "FREQ=DAILY;UNTIL=20270518"),
    "every friday until june": ("every friday until june", "FREQ=WEEKLY;BYDAY=FR;UNTIL=20270601"),
    "every hour": ("every hour", "FREQ=HOURLY"),
    "every ten minutes": ("every ten minutes", "FREQ=MINUTELY;INTERVAL=10"),
    "daily except tomorrow": ("daily except tomorrow", "FREQ=DAILY"),
}  # fmt: skip

NO_RULES = """
every hen is fine
each of the coops
every time it rains
twice a day
three times a day
twice weekly
monday
on tuesday
the first friday of may
last day of the month
once upon a time
once again
all of them
the hens
except tomorrow
for three times
""".strip().splitlines()


@pytest.mark.parametrize("text", RULES)
def test_a_repetition_is_written_as_a_rule(text: str) -> None:
    spans = find_repeats(text, NOW)
    assert [(text[span.start : span.end], span.rrule) for span in spans] == [RULES[text]]


@pytest.mark.parametrize("text", RULES)
def test_every_rule_can_be_followed(text: str) -> None:
    (span,) = find_repeats(text, NOW)
    first = rrulestr(span.rrule, dtstart=NOW.replace(tzinfo=None)).after(
        NOW.replace(tzinfo=None, year=2027), inc=True
    )
    assert first is not None


@pytest.mark.parametrize("text", NO_RULES)
def test_what_does_not_repeat_gives_no_rule(text: str) -> None:
    assert find_repeats(text, NOW) == ()


def test_without_now_a_rule_has_no_end() -> None:
    (span,) = find_repeats("every friday until june")
    assert span.rrule == "FREQ=WEEKLY;BYDAY=FR"


def test_two_repetitions_stay_apart() -> None:
    text = "feed every morning, scrub the waterers every other week"
    found = [(text[span.start : span.end], span.rrule) for span in find_repeats(text, NOW)]
    assert found == [
        ("every morning", "FREQ=DAILY"),
        ("every other week", "FREQ=WEEKLY;INTERVAL=2"),
    ]
