"""Days on which the clock changes, the sun of a place, and seasons south of the equator."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from voicelog.text.sun import Sky, sun_time
from voicelog.text.times import find_times
from voicelog.types import Interval

NEW_YORK = ZoneInfo("America/New_York")


def when(text: str, now: datetime, sky: Sky | None = None) -> Interval:
    (span,) = find_times(text, now, sky=sky)
    return span.when


def length(interval: Interval) -> timedelta:
    assert interval.from_ is not None
    assert interval.to is not None
    return interval.to.astimezone(UTC) - interval.from_.astimezone(UTC)


@pytest.mark.parametrize(
    ("now", "hours"),
    [
        (datetime(2027, 3, 14, 12, 0, tzinfo=NEW_YORK), 23),
        (datetime(2027, 11, 7, 12, 0, tzinfo=NEW_YORK), 25),
        (datetime(2027, 9, 26, 12, 0, tzinfo=ZoneInfo("Pacific/Auckland")), 23),
        (datetime(2027, 4, 4, 12, 0, tzinfo=ZoneInfo("Pacific/Auckland")), 25),
        (datetime(2027, 3, 14, 12, 0, tzinfo=ZoneInfo("America/St_Johns")), 23),
    ],
)
def test_the_day_of_a_change_is_shorter_or_longer(now: datetime, hours: int) -> None:
    assert length(when("today", now)) == timedelta(hours=hours)


def test_hours_ago_are_real_hours_over_a_change() -> None:
    now = datetime(2027, 3, 14, 4, 0, tzinfo=NEW_YORK)
    found = when("two hours ago", now)
    assert found.from_ is not None
    assert found.from_.isoformat() == "2027-03-14T01:00:00-05:00"


def test_a_time_that_the_change_leaves_out_is_the_real_one_after_it() -> None:
    now = datetime(2027, 3, 14, 12, 0, tzinfo=NEW_YORK)
    found = when("at 2:30 am", now)
    assert found.from_ is not None
    assert found.from_.isoformat() == "2027-03-14T03:30:00-04:00"


def test_the_night_of_a_change_has_both_offsets() -> None:
    found = when("last night", datetime(2027, 3, 14, 9, 0, tzinfo=NEW_YORK))
    assert found.from_ is not None
    assert found.to is not None
    assert (found.from_.isoformat(), found.to.isoformat()) == (
        "2027-03-13T21:00:00-05:00",
        "2027-03-14T05:00:00-04:00",
    )


def test_dawn_is_that_of_the_place() -> None:
    now = datetime(2027, 6, 21, 12, 0, tzinfo=NEW_YORK)
    dawn = when("at dawn", now, Sky(latitude=40.0, longitude=-75.0)).from_
    assert dawn is not None
    # Civil dawn on the longest day at 40 north is about half past four by sun time, an hour
    # later on the summer clock; computed by hand from the hour angle, to ten minutes.
    expected = datetime(2027, 6, 21, 5, 0, tzinfo=NEW_YORK)
    assert abs(dawn - expected) < timedelta(minutes=10)


def test_without_a_sun_the_usual_hours_stand() -> None:
    zone = ZoneInfo("Europe/Oslo")
    far_north = Sky(latitude=78.2, longitude=15.6)
    dark = datetime(2027, 12, 21, 12, 0, tzinfo=zone).date()
    assert sun_time("sunrise", dark, zone, far_north).hour == 6
    assert sun_time("sunset", dark, zone, far_north).hour == 20
    assert sun_time("dusk", dark, zone, None).hour == 20


def test_seasons_are_the_other_way_round_in_the_south() -> None:
    zone = ZoneInfo("Pacific/Auckland")
    now = datetime(2027, 5, 4, 8, 10, tzinfo=zone)
    found = when("this autumn", now, Sky(latitude=-41.0, longitude=175.0))
    assert found.from_ is not None
    assert (found.from_.month, found.from_.year) == (3, 2027)


@pytest.mark.parametrize("offset", ["Pacific/Auckland", "America/St_Johns", "Asia/Kathmandu"])
def test_times_come_back_in_the_zone_of_now(offset: str) -> None:
    zone = ZoneInfo(offset)
    found = when("yesterday morning at six", datetime(2027, 5, 4, 8, 10, tzinfo=zone))
    assert found.from_ == datetime(2027, 5, 3, 6, 0, tzinfo=zone)
