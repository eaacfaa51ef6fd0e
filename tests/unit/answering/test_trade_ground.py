"""Paddocks, the fence, heat, water and the length of the day; worked out by hand."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from voicelog.answering import answer
from voicelog.farm import read_farm
from voicelog.records import Store
from voicelog.types import Quantity

sys.path.insert(0, str(Path(__file__).parent))

from trade_book import (
    CHICKS,
    HENS,
    MEASURES,
    NOW,
    Row,
    ask,
    at,
    farm,
    kept,
    later,
    midnight,
    some,
    told,
)

FARM = farm(HENS, MEASURES)
MOVES = [
    told("move", f"{day} 11:00", f"gull coop to the {to}", place="Gull coop", subject="coop", to=to)
    for day, to in (
        ("05-01", "dune paddock"),
        ("05-10", "marsh paddock"),
        ("06-01", "hill paddock"),
    )
]
READINGS = [
    told("fence", f"06-{day:02} 12:00", f"fence reads {volts}", action="tested",
         voltage=some(volts, "kV"))
    for day, volts in ((5, 6.2), (9, 5.8), (13, 5.4))
]  # fmt: skip


@pytest.fixture(scope="module")
def book() -> Iterator[Store]:
    """Three moves and three tests of the fence."""
    with kept([*MOVES, *READINGS]) as store:
        yield store


@pytest.mark.parametrize(
    ("question", "days"),
    [
        ("how long has the dune paddock rested", 36),
        ("how long has the dune paddock been resting", 36),
        ("how many days has the dune paddock rested", 36),
        ("how much rest has the dune paddock had", 36),
        ("how long has the dune paddock been empty", 36),
        ("how long has the dune paddock been without birds", 36),
        ("how long has the marsh paddock rested", 14),
        ("how many days has the marsh paddock been resting", 14),
        ("how rested is the marsh paddock, and is it resting", 14),
        ("how long has the hill paddock rested", 0),
        ("do you know how long the dune paddock has rested", 36),
        ("tell me how long the marsh paddock has been resting", 14),
    ],
)
def test_how_long_one_has_rested(question: str, days: int, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    # Left on 10 May and on 1 June; asked on 15 June.
    assert (got.value, got.unit) == (days, "day"), got.text
    assert "this farm's records" in got.text


@pytest.mark.parametrize(
    "question",
    [
        "how long has each paddock rested",
        "how long have the paddocks rested",
        "how long have the paddocks been resting",
        "how many days has each paddock rested",
    ],
)
def test_how_long_each_has_rested(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value == tuple(Quantity(value=days, unit="day") for days in (36, 14, 0)), got.text
    assert "marsh paddock 14 days, 7 days short" in got.text


@pytest.mark.parametrize(
    "question",
    [
        "which paddock is ready",
        "which paddocks are ready",
        "what paddock is ready",
        "which paddock is ready for the hens",
        "which paddock has rested enough",
        "which paddocks have rested long enough",
        "which paddock is fit to graze",
        "which paddock is rested and ready",
        "are any paddocks ready",
        "is any paddock ready",
        "which paddock has recovered",
        "which paddock is ready to graze",
    ],
)
def test_which_is_ready(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value == ("dune paddock",), got.text
    assert "21 to 42 days" in got.text
    assert "energizer off" in got.text
    assert answer(question, book, FARM, later(7)).value == ("dune paddock", "marsh paddock")


@pytest.mark.parametrize(
    "question",
    [
        "which paddock has rested the longest",
        "which paddock has rested longest",
        "which paddock is the longest rested",
        "which paddock has had the most rest",
        "which paddock should be next",
        "which paddock is next",
        "what paddock is next",
        "which paddock next",
        "which paddock do we use next",
        "which paddock should the hens go to next",
        "which paddock comes next",
        "which paddock has been resting the longest",
    ],
)
def test_which_comes_next(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value == ("dune paddock",), got.text


@pytest.mark.parametrize("question", ["which paddock is ready", "how long has each paddock rested"])
def test_no_moves_are_no_record(question: str) -> None:
    got = ask(question, [], FARM)
    assert got.value is None
    assert "no record of a move" in got.text


def test_none_is_ready_and_ground_of_no_record() -> None:
    got = ask("which paddock is ready", MOVES[2:], FARM)
    assert got.value == ()
    assert "dune paddock: no record of its use" in got.text


@pytest.mark.parametrize(
    "question",
    [
        "when was the fence tested and how is it",
        "when was the fence last tested and how is it",
        "when was the fence tested, and how is it doing",
        "when did we test the fence and how is it",
        "when was the netting tested and how is it",
        "when was the fence checked and how is it",
        "when was the fence last checked and what does it read",
        "when did i last test the fence and is it ok",
        "when was the fence tested and what shape is it in",
        "when was the electric fence tested and how is it",
        "when was the fence measured and how is it",
        "what day was the fence tested, when, and how is it",
    ],
)
def test_when_the_fence_was_tested_and_how_it_is(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value == at("06-13 12:00"), got.text
    # A fall of 0.8 kilovolts in eight days; 5.4 reaches 3 in twenty-four days more.
    assert "read 5.4 kilovolts" in got.text
    assert "falls by about 0.1 kilovolts a day (3 readings over 8 days)" in got.text
    assert "reaches 3 kilovolts on Wednesday 7 July" in got.text
    assert "test the line dead" in got.text
    assert len(got.evidence) == 3


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("how is the fence", 5.4),
        ("how's the fence", 5.4),
        ("how is the fence doing", 5.4),
        ("how is the fence holding up", 5.4),
        ("how strong is the fence", 5.4),
        ("what shape is the fence in", 5.4),
        ("how's the netting", 5.4),
        ("is the fence getting weaker", True),
        ("is the fence losing power", True),
        ("is the voltage dropping", True),
        ("is the fence voltage going down", True),
        ("is the voltage falling", True),
        ("what's the trend of the fence", True),
        ("has the fence been getting worse", True),
        ("is the fence strong enough", True),
        ("is the fence hot enough", True),
        ("is the fence ok", True),
        ("is the fence all right", True),
        ("does the fence have enough voltage", True),
        ("is the voltage high enough", True),
    ],
)
def test_how_the_fence_is(question: str, value: object, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value == value, got.text
    assert "5.4 kilovolts" in got.text


def test_a_weak_fence_and_one_reading() -> None:
    weak = told("fence", "06-15 09:00", "fence reads 1900 volts", voltage=some(1900, "volt"))
    got = ask("is the fence strong enough", [weak], FARM)
    assert got.value is False
    assert "That keeps out nothing" in got.text
    trend = ask("is the fence getting weaker", [weak], FARM)
    assert trend.value is None
    assert "no record of a second reading" in trend.text
    assert ask("how is the fence", [], FARM).value is None


HOT = told("weather", "06-15 11:00", "ninety degrees", temperature=some(90, "degree"))


@pytest.mark.parametrize(
    "question",
    [
        "how much water do the hens need today",
        "how much water do the hens need",
        "how much water will the hens need today",
        "how much water should the hens drink",
        "how much water do the hens drink",
        "how much water do the hens drink a day",
        "how many gallons of water do the hens need",
        "how many buckets of water do the hens need today",
        "how many buckets do the hens drink",
        "how much water should i carry for the hens today",
        "how much water should i haul to the hens",
        "how much do the hens need to drink",
        "how much water do my hens require",
    ],
)
def test_what_the_hens_drink(question: str) -> None:
    got = ask(question, [], FARM)
    # Ten hens: 4.74 gallons a hundred to 320 litres a thousand; 0.474 and 0.845 gallons.
    assert got.value == (Quantity(value=0.09, unit="bucket"), Quantity(value=0.17, unit="bucket"))
    assert "10 hens need 0.09 to 0.17 buckets today (0.5 to 0.8 gallons)" in got.text
    assert "no record of today's temperature" in got.text
    assert "University of Kentucky" in got.text


def test_what_the_hens_drink_in_the_heat() -> None:
    got = ask("how much water do the hens need today", [HOT], FARM)
    # 220 ml by 1.3 and 270 ml by 1.5: 2.86 and 4.05 litres for ten.
    assert got.value == (Quantity(value=0.15, unit="bucket"), Quantity(value=0.21, unit="bucket"))
    assert "90 degrees Fahrenheit (32 Celsius)" in got.text
    assert "Sudden heat kills" in got.text
    assert len(got.evidence) == 1


def test_a_lost_hen_drinks_no_more_and_an_unmeasured_bucket_is_asked_for() -> None:
    lost = told("loss", "06-10 07:00", "lost five hens", flock="hens", count=5, cause="predator")
    got = ask("how much water do they need today", [lost], farm(HENS, CHICKS))
    assert "5 hens and 20 chicks need" in got.text
    assert "fill one from a gallon jug" in got.text
    assert ask("how much water do they need today", [], farm()).value is None


@pytest.mark.parametrize(
    "question",
    [
        "is it too hot",
        "is it too hot today",
        "is it too hot for the hens",
        "is it too hot for them today",
        "is it too warm for the hens",
        "are the hens too hot",
        "are the hens at risk from the heat",
        "is today too hot for the birds",
        "is the heat dangerous for the hens",
        "is there heat stress",
        "are they suffering from the heat",
        "is it dangerously hot",
    ],
)
def test_whether_it_is_too_hot(question: str) -> None:
    got = ask(question, [HOT], FARM)
    assert got.value is True, got.text
    assert "Heat step: act, by the temperature" in got.text
    assert "limp birds" in got.text
    cool = told("weather", "06-15 11:00", "seventy", temperature=some(70, "degree"))
    assert ask(question, [cool], FARM).value is False


@pytest.mark.parametrize(
    ("rows", "value", "words"),
    [
        ([("06-15 11:00", 82, "degree")], False, "Heat step: watch"),
        ([("06-15 11:00", 35, "celsius")], True, "Heat step: emergency, by the temperature"),
        ([("06-14 14:00", 70, "degree"), ("06-15 11:00", 83, "degree")], True, "by the jump"),
        ([("06-15 11:00", 35, "degree")], None, "act as if it were Celsius"),
        ([], None, "no record of today's temperature"),
        ([("06-14 11:00", 95, "degree")], None, "no record of today's temperature"),
    ],
)
def test_steps_of_heat(rows: list[tuple[str, float, str]], value: bool | None, words: str) -> None:
    said: list[Row] = [
        told("weather", when, f"{degrees}", temperature=some(degrees, unit))
        for when, degrees, unit in rows
    ]
    got = ask("is it too hot", said, FARM)
    assert got.value is value, got.text
    assert words in got.text


@pytest.mark.parametrize(
    "question",
    [
        "how long is the day",
        "how long is the day today",
        "how long are the days now",
        "how long is today",
        "what is the day length",
        "what's the length of the day",
        "how many hours of daylight do we have",
        "how many hours of light are there",
        "hours of daylight today",
        "how much daylight is there today",
        "how many daylight hours today",
        "what's the day length today",
    ],
)
def test_how_long_the_day_is(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value == pytest.approx(_hours_by_ephemeris("06-15"), abs=0.04), got.text
    assert got.unit == "hour"
    assert "latitude 44.9" in got.text


@pytest.mark.parametrize(
    ("question", "hours"),
    [
        ("when does the day fall below fourteen hours", 14),
        ("when will the day fall below fourteen hours", 14),
        ("when do the days fall below fourteen hours", 14),
        ("when does the day drop below fourteen hours", 14),
        ("when do the days get below 14 hours", 14),
        ("when is the day shorter than fourteen hours", 14),
        ("when does day length fall below fourteen hours", 14),
        ("when does daylight drop under fourteen hours", 14),
        ("when will daylight be less than fourteen hours", 14),
        ("what day does the day fall below fourteen hours", 14),
        ("when does the day go below twelve hours", 12),
        ("when do the days dip below twelve hours", 12),
        ("when does the light fall below twelve hours", 12),
        ("when are the days too short for laying", 14),
    ],
)
def test_when_the_day_falls_below(question: str, hours: float, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value is not None, got.text
    day = str(got.value)[5:10]
    assert _hours_by_ephemeris(day) == pytest.approx(hours, abs=0.08), got.text


def test_a_farm_that_lies_nowhere() -> None:
    nowhere = read_farm('name = "Nowhere"\ntimezone = "America/Halifax"\n')
    for question in ("how long is the day", "when does the day fall below fourteen hours"):
        got = ask(question, [], nowhere)
        assert got.value is None
        assert "no record of where the farm lies" in got.text


def _hours_by_ephemeris(day: str) -> float:
    """Sunrise to sunset by another library."""
    from astral import Observer
    from astral.sun import sun

    here = Observer(latitude=44.9, longitude=-63.1)
    times = sun(here, date=midnight(day).date(), tzinfo=NOW.tzinfo)
    return float((times["sunset"] - times["sunrise"]).total_seconds() / 3600)
