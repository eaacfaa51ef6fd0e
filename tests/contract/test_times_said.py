"""The rules of time, each sentence by what whole memos give.

A case is a memo and what it must give: begin .. end and precision, in the farm's own time.
Two moments are said at: Tuesday 4 May 2027, 08:10, and Friday 7 May 2027, 20:00.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

import pytest

from voicelog.clock import at
from voicelog.farm import Farm
from voicelog.types import Draft, Status
from voicelog.understanding import Parser

TUESDAY = "2027-05-04T08:10"
FRIDAY = "2027-05-07T20:00"

Understand = Callable[..., Draft]
Cases = Sequence[tuple[str, str]]


def _understander(farm: Farm) -> Understand:
    parser = Parser(farm)

    def understood(text: str, now: str = TUESDAY) -> Draft:
        parse = parser.parse(text, at(now, farm.timezone))
        assert parse.unused == ()
        (record,) = parse.records
        return record

    return understood


@pytest.fixture(scope="module")
def understand(farm: Farm) -> Understand:
    return _understander(farm)


@pytest.fixture(scope="module")
def understand_south(southern_farm: Farm) -> Understand:
    return _understander(southern_farm)


@pytest.fixture(scope="module")
def understand_sunless(sunless_farm: Farm) -> Understand:
    return _understander(sunless_farm)


def side(moment: datetime | None) -> str:
    return "" if moment is None else moment.strftime("%Y-%m-%d %H:%M").removesuffix(" 00:00")


def interval(record: Draft) -> str:
    when = record.when
    return f"{side(when.from_)} .. {side(when.to)} {when.precision}"


DONE = [
    ("moved coop a friday", "2027-04-30 .. 2027-05-01 day"),
    ("moved coop a on friday", "2027-04-30 .. 2027-05-01 day"),
    ("moved coop a monday", "2027-05-03 .. 2027-05-04 day"),
    ("moved coop a tuesday", "2027-05-04 .. 2027-05-04 08:10 day"),
    ("moved coop a last friday", "2027-04-30 .. 2027-05-01 day"),
    ("moved coop a last tuesday", "2027-04-27 .. 2027-04-28 day"),
    ("fed coop a at seven", "2027-05-04 07:00 .. 2027-05-04 08:00 hour"),
    ("fed coop a at eight", "2027-05-04 08:00 .. 2027-05-04 08:10 hour"),
    ("fed coop a at nine", "2027-05-03 21:00 .. 2027-05-03 22:00 hour"),
    ("fed coop a at six thirty", "2027-05-04 06:30 .. 2027-05-04 06:30 minute"),
    ("fed coop a this morning", "2027-05-04 05:00 .. 2027-05-04 08:10 part_of_day"),
    ("fed coop a yesterday morning", "2027-05-03 05:00 .. 2027-05-03 12:00 part_of_day"),
    ("fed coop a yesterday afternoon", "2027-05-03 12:00 .. 2027-05-03 17:00 part_of_day"),
    ("fed coop a yesterday evening", "2027-05-03 17:00 .. 2027-05-03 21:00 part_of_day"),
    ("fed coop a sunday night", "2027-05-02 21:00 .. 2027-05-03 05:00 part_of_day"),
    ("fed coop a yesterday at noon", "2027-05-03 12:00 .. 2027-05-03 12:00 hour"),
    ("fed coop a last night", "2027-05-03 21:00 .. 2027-05-04 05:00 part_of_day"),
    ("coop a had nine eggs overnight", "2027-05-03 21:00 .. 2027-05-04 05:00 part_of_day"),
    ("twelve eggs last week", "2027-04-26 .. 2027-05-03 week"),
    ("twelve eggs this week", "2027-05-03 .. 2027-05-04 08:10 week"),
    ("twelve eggs in the last ten days", "2027-04-24 08:10 .. 2027-05-04 08:10 day"),
    ("twelve eggs this past week", "2027-04-27 08:10 .. 2027-05-04 08:10 week"),
    ("twelve eggs in the past two weeks", "2027-04-20 08:10 .. 2027-05-04 08:10 week"),
    ("twelve eggs the last three months", "2027-02-04 08:10 .. 2027-05-04 08:10 month"),
    ("twelve eggs the past two years", "2025-05-04 08:10 .. 2027-05-04 08:10 year"),
    ("twelve eggs from monday to wednesday", "2027-04-26 .. 2027-04-29 day"),
    ("twelve eggs from friday to sunday", "2027-04-30 .. 2027-05-03 day"),
    ("twelve eggs from march to april", "2027-03-01 .. 2027-05-01 month"),
    ("twelve eggs from april third to april ninth", "2027-04-03 .. 2027-04-10 day"),
    ("twelve eggs from sunday to today", "2027-05-02 .. 2027-05-04 08:10 day"),
    ("lost two hens at the weekend", "2027-05-01 .. 2027-05-03 day"),
    ("lost two hens last weekend", "2027-05-01 .. 2027-05-03 day"),
    ("lost two hens in the spring", "2027-03-01 .. 2027-05-04 08:10 season"),
    ("lost two hens last summer", "2026-06-01 .. 2026-09-01 season"),
    ("lost two hens in the fall", "2026-09-01 .. 2026-12-01 season"),
    ("lost two hens last winter", "2026-12-01 .. 2027-03-01 season"),
    ("lost two hens three days ago", "2027-05-01 .. 2027-05-02 day"),
    ("lost two hens three weeks ago", "2027-04-13 .. 2027-04-14 day"),
    ("lost two hens three months ago", "2027-02-04 .. 2027-02-05 day"),
    ("lost two hens a month ago", "2027-04-04 .. 2027-04-05 day"),
    ("lost two hens a year ago", "2026-05-01 .. 2026-06-01 month"),
    ("lost two hens three years ago", "2024-05-01 .. 2024-06-01 month"),
    ("lost two hens at the beginning of april", "2027-04-01 .. 2027-04-11 week"),
    ("lost two hens in the middle of april", "2027-04-11 .. 2027-04-21 week"),
    ("lost two hens at the end of april", "2027-04-21 .. 2027-05-01 week"),
    ("lost two hens at the beginning of last year", "2026-01-01 .. 2026-05-01 month"),
    ("lost two hens at the end of last year", "2026-09-01 .. 2027-01-01 month"),
    ("lost two hens at the beginning of this month", "2027-05-01 .. 2027-05-04 08:10 week"),
    ("twelve eggs today", "2027-05-04 .. 2027-05-04 08:10 day"),
    ("twelve eggs this month", "2027-05-01 .. 2027-05-04 08:10 month"),
    ("twelve eggs this year", "2027-01-01 .. 2027-05-04 08:10 year"),
    ("twelve eggs since sunday", "2027-05-02 .. 2027-05-04 08:10 day"),
    ("twelve eggs before sunday", " .. 2027-05-02 day"),
    ("twelve eggs until sunday", " .. 2027-05-03 day"),
    ("twelve eggs", "2027-05-04 08:10 .. 2027-05-04 08:10 minute"),
]

DONE_ON_FRIDAY = [
    ("moved coop a friday", "2027-05-07 .. 2027-05-07 20:00 day"),
    ("moved coop a on friday", "2027-05-07 .. 2027-05-07 20:00 day"),
    ("moved coop a last friday", "2027-04-30 .. 2027-05-01 day"),
    ("moved coop a thursday", "2027-05-06 .. 2027-05-07 day"),
    ("moved coop a saturday", "2027-05-01 .. 2027-05-02 day"),
    ("fed coop a at seven", "2027-05-07 19:00 .. 2027-05-07 20:00 hour"),
    ("fed coop a at noon", "2027-05-07 12:00 .. 2027-05-07 12:00 hour"),
    ("fed coop a this morning", "2027-05-07 05:00 .. 2027-05-07 12:00 part_of_day"),
    ("fed coop a this afternoon", "2027-05-07 12:00 .. 2027-05-07 17:00 part_of_day"),
    ("fed coop a this evening", "2027-05-07 17:00 .. 2027-05-07 20:00 part_of_day"),
    ("fed coop a last night", "2027-05-06 21:00 .. 2027-05-07 05:00 part_of_day"),
    ("twelve eggs last week", "2027-04-26 .. 2027-05-03 week"),
    ("lost two hens at the weekend", "2027-05-01 .. 2027-05-03 day"),
    ("twelve eggs from friday to sunday", "2027-04-30 .. 2027-05-03 day"),
]

PLANNED = [
    ("need to move coop a friday", "2027-05-07 .. 2027-05-08 day"),
    ("need to move it friday", "2027-05-07 .. 2027-05-08 day"),
    ("need to move coop a tuesday", "2027-05-11 .. 2027-05-12 day"),
    ("need to feed coop a at seven", "2027-05-04 19:00 .. 2027-05-04 20:00 hour"),
    ("need to feed coop a at nine", "2027-05-04 09:00 .. 2027-05-04 10:00 hour"),
    ("need to feed coop a at noon", "2027-05-04 12:00 .. 2027-05-04 12:00 hour"),
    ("need to feed coop a this morning", "2027-05-04 05:00 .. 2027-05-04 12:00 part_of_day"),
    ("need to feed coop a this afternoon", "2027-05-04 12:00 .. 2027-05-04 17:00 part_of_day"),
    ("need to feed coop a this evening", "2027-05-04 17:00 .. 2027-05-04 21:00 part_of_day"),
    ("need to feed coop a tonight", "2027-05-04 21:00 .. 2027-05-05 05:00 part_of_day"),
    ("need to move coop a today", "2027-05-04 .. 2027-05-05 day"),
    ("need to move coop a this week", "2027-05-03 .. 2027-05-10 week"),
    ("need to move coop a next week", "2027-05-10 .. 2027-05-17 week"),
    ("need to move coop a this weekend", "2027-05-08 .. 2027-05-10 day"),
    ("need to move coop a in the summer", "2027-06-01 .. 2027-09-01 season"),
    ("need to move coop a by friday", " .. 2027-05-08 day"),
    ("need to move coop a at the end of the month", "2027-05-21 .. 2027-06-01 week"),
    ("need to move coop a", "2027-05-04 08:10 .. 2027-05-04 08:10 minute"),
]

PLANNED_ON_FRIDAY = [
    ("need to move coop a friday", "2027-05-14 .. 2027-05-15 day"),
    ("need to move it friday", "2027-05-14 .. 2027-05-15 day"),
    ("need to move coop a saturday", "2027-05-08 .. 2027-05-09 day"),
    ("need to feed coop a at seven", "2027-05-08 07:00 .. 2027-05-08 08:00 hour"),
    ("need to feed coop a at nine", "2027-05-07 21:00 .. 2027-05-07 22:00 hour"),
]

NORTH_AND_SOUTH = [
    ("lost two hens in the spring", "2026-09-01 .. 2026-12-01 season"),
    ("lost two hens last summer", "2026-12-01 .. 2027-03-01 season"),
    ("lost two hens this fall", "2027-03-01 .. 2027-05-04 08:10 season"),
    ("lost two hens last winter", "2026-06-01 .. 2026-09-01 season"),
]


@pytest.mark.parametrize(("text", "expected"), DONE)
def test_a_thing_done(understand: Understand, text: str, expected: str) -> None:
    record = understand(text)
    assert (record.status, interval(record)) == (Status.DONE, expected)


@pytest.mark.parametrize(("text", "expected"), DONE_ON_FRIDAY)
def test_a_thing_done_said_on_a_friday(understand: Understand, text: str, expected: str) -> None:
    record = understand(text, FRIDAY)
    assert (record.status, interval(record)) == (Status.DONE, expected)


@pytest.mark.parametrize(("text", "expected"), PLANNED)
def test_a_plan(understand: Understand, text: str, expected: str) -> None:
    record = understand(text)
    assert (record.status, interval(record)) == (Status.PLANNED, expected)


@pytest.mark.parametrize(("text", "expected"), PLANNED_ON_FRIDAY)
def test_a_plan_said_on_a_friday(understand: Understand, text: str, expected: str) -> None:
    record = understand(text, FRIDAY)
    assert (record.status, interval(record)) == (Status.PLANNED, expected)


@pytest.mark.parametrize(("text", "expected"), NORTH_AND_SOUTH)
def test_seasons_are_the_other_way_round_in_the_south(
    understand: Understand, understand_south: Understand, text: str, expected: str
) -> None:
    assert interval(understand_south(text)) == expected
    assert interval(understand(text)) != expected


def test_dawn_and_dusk_are_those_of_the_farms_own_sun(
    understand: Understand, understand_south: Understand
) -> None:
    # By hand: on this day the sun stands 16 degrees north, so that it rises and sets 7 h from
    # noon at 42 north and 5 h at 42 south; civil twilight adds half an hour, and noon by this
    # clock is at 12:45. To a quarter of an hour.
    expected = {
        "let the hens out at dawn": ((5, 15), (7, 15)),
        "shut the hens in at dusk": ((20, 15), (18, 15)),
    }
    for text, clocks in expected.items():
        for at_place, (hour, minute) in zip((understand, understand_south), clocks, strict=True):
            when = at_place(text).when
            assert when.precision == "part_of_day"
            assert when.from_ is not None
            minutes = when.from_.hour * 60 + when.from_.minute
            assert abs(minutes - hour * 60 - minute) <= 15, (text, when.from_)


def test_dawn_and_dusk_without_a_latitude(understand_sunless: Understand) -> None:
    dawn = interval(understand_sunless("let the hens out at dawn", FRIDAY))
    dusk = interval(understand_sunless("shut the hens in at dusk", FRIDAY))
    ahead = interval(understand_sunless("need to let the hens out at dawn", FRIDAY))
    assert dawn == "2027-05-07 06:00 .. 2027-05-07 06:00 part_of_day"
    assert dusk == "2027-05-07 20:00 .. 2027-05-07 20:00 part_of_day"
    assert ahead == "2027-05-08 06:00 .. 2027-05-08 06:00 part_of_day"


@pytest.mark.parametrize("day", ["christmas", "easter", "thanksgiving", "new year's eve"])
def test_a_feast_day_is_no_time(farm: Farm, day: str) -> None:
    now = at(TUESDAY, farm.timezone)
    (record,) = Parser(farm).parse(f"moved coop a at {day}", now).records
    assert (record.when.from_, record.when.to, record.when_said) == (now, now, None)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("moved coop a friday", "friday"),
        ("moved coop a on friday", "friday"),
        ("fed coop a at seven", "seven"),
        ("twelve eggs in the last ten days", "the last ten days"),
        ("twelve eggs", None),
    ],
)
def test_the_words_that_said_it(understand: Understand, text: str, said: str | None) -> None:
    assert understand(text).when_said == said


def test_every_moment_has_the_farms_offset_of_that_day(understand: Understand) -> None:
    record = understand("lost two hens last winter")
    assert record.when.from_ is not None
    assert record.when.to is not None
    assert record.when.from_.isoformat() == "2026-12-01T00:00:00-05:00"
    whole = understand("twelve eggs today").when
    assert whole.from_ is not None
    assert whole.from_.isoformat() == "2027-05-04T00:00:00-04:00"
