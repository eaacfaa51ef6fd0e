"""When eggs hatch, and what the chicks need next, in many words; worked out by hand."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from voicelog.answering import answer
from voicelog.records import Store
from voicelog.types import Quantity, Status

sys.path.insert(0, str(Path(__file__).parent))

from trade_book import CHICKS, HENS, NOW, ask, at, farm, kept, later, midnight, told

FARM = farm(HENS, CHICKS)
SET = told("broody", "06-03 12:00", "set mabel on ten eggs", birds=("Mabel",), action="set",
           eggs_under=10)  # fmt: skip


@pytest.fixture(scope="module")
def book() -> Iterator[Store]:
    """Mabel, set on ten eggs on the third of June."""
    with kept([SET]) as store:
        yield store


@pytest.mark.parametrize(
    "question",
    [
        "when do mabel's eggs hatch",
        "when will mabel's eggs hatch?",
        "when are mabel's eggs due to hatch",
        "when does mabel hatch",
        "what day do mabel's eggs hatch",
        "what day will mabel's chicks hatch",
        "when should mabel's eggs hatch",
        "what's the hatch date for mabel",
        "when is mabel's hatch date",
        "when are the eggs under mabel going to hatch",
        "when will the eggs hatch",
        "do you know when mabel's eggs will hatch",
        "what is the hatch day for mabel's eggs",
    ],
)
def test_when_they_hatch(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    # The day of setting is day 0; chicken eggs take 21 days.
    assert got.value == midnight("06-24"), got.text
    assert (got.from_, got.to) == (midnight("06-23"), midnight("06-26"))
    assert "chicken eggs hatch on Thursday 24 June" in got.text
    assert "Mississippi State University" in got.text
    assert len(got.evidence) == 1


@pytest.mark.parametrize(
    "question",
    [
        "how long until mabel's eggs hatch",
        "how many days until mabel's eggs hatch",
        "how many more days before mabel's eggs hatch",
        "how much longer until mabel's eggs hatch",
    ],
)
def test_how_long_until_they_hatch(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert (got.value, got.unit) == (9, "day"), got.text


@pytest.mark.parametrize(
    "question",
    [
        "when should i candle",
        "when should i candle mabel's eggs",
        "when do i candle mabel's eggs",
        "when do we candle",
        "when is candling due",
        "what day should i candle",
        "which day do i candle mabel's eggs",
        "when do mabel's eggs need candling",
        "when am i supposed to candle mabel's eggs",
        "when is it time to candle mabel",
        "how soon should i candle mabel's eggs",
        "what day do we candle the eggs",
        "when are we to candle mabel's eggs",
    ],
)
def test_when_to_candle(question: str, book: Store) -> None:
    # Days 7 and 14: the tenth is past, the seventeenth is to come.
    assert answer(question, book, FARM, NOW).value == midnight("06-17")
    assert answer(question, book, FARM, at("06-09 12:00")).value == midnight("06-10")


@pytest.mark.parametrize(
    "question",
    [
        "when is lockdown",
        "when is lockdown for mabel",
        "when is lockdown for mabel's eggs",
        "what day is lockdown",
        "what day does lockdown start",
        "when does lockdown begin",
        "when do we lock down mabel's eggs",
        "when should i stop turning the eggs",
        "when do i stop turning mabel's eggs",
        "when do i quit turning them",
        "when is the last turning",
        "which day is lockdown",
    ],
)
def test_when_they_are_left_alone(question: str, book: Store) -> None:
    assert answer(question, book, FARM, NOW).value == midnight("06-21")


def test_duck_eggs_take_longer() -> None:
    ducks = told("broody", "06-03 12:00", "set mabel on six duck eggs", birds=("Mabel",),
                 action="set", eggs_under=6)  # fmt: skip
    got = ask("when do mabel's eggs hatch", [ducks], FARM)
    # 28 days.
    assert got.value == midnight("07-01"), got.text
    assert "from memory" in got.text


def test_the_earliest_of_several_is_the_value() -> None:
    tansy = told("broody", "06-01 12:00", "set tansy on eight", birds=("Tansy",), action="set")
    got = ask("when will the eggs hatch", [SET, tansy], FARM)
    assert got.value == midnight("06-22")
    assert "Mabel" in got.text
    assert "Tansy" in got.text
    assert ask("when do mabel's eggs hatch", [SET, tansy], FARM).value == midnight("06-24")


def test_what_has_hatched_hatches_no_more() -> None:
    out = told("broody", "06-24 08:00", "mabel hatched nine", birds=("Mabel",), action="hatched")
    got = ask("when do mabel's eggs hatch", [SET, out], FARM, later(10))
    assert got.value is None
    assert "no record of eggs under Mabel now" in got.text


def test_eggs_of_which_nothing_was_noted_again() -> None:
    got = ask("when do mabel's eggs hatch", [SET], FARM, later(30))
    assert got.value is None
    assert "no record of what came of the eggs" in got.text
    candled = ask("when should i candle", [SET], FARM, later(4))
    assert candled.value is None
    assert "leave them alone from Monday 21 June" in candled.text


def test_a_plan_goes_first() -> None:
    plan = told("broody", "06-14 12:00", "need to candle mabel", birds=("Mabel",),
                status=Status.PLANNED, action="candled")  # fmt: skip
    got = ask("when should i candle mabel's eggs", [SET, plan], FARM)
    assert "lanned" in got.text


@pytest.mark.parametrize(
    "question", ["when do mabel's eggs hatch", "when should i candle", "when is lockdown"]
)
def test_nothing_set_is_no_record(question: str) -> None:
    got = ask(question, [], FARM)
    assert got.value is None
    assert "no record" in got.text


def test_a_hen_nobody_knows(book: Store) -> None:
    got = answer("when do zelda's eggs hatch", book, FARM, NOW)
    assert got.value is None
    assert "no record of zelda" in got.text


@pytest.mark.parametrize(
    "question",
    [
        "how old are the chicks",
        "how old are my chicks now",
        "how old are the chicks today",
        "how many days old are the chicks",
        "how many weeks old are the chicks",
        "what age are the chicks",
        "what's the age of the chicks",
        "what is the age of our chicks",
        "tell me how old the chicks are",
        "how old is the oldest of the chicks",
        "do you know how old the chicks are",
        "what week are the chicks in",
    ],
)
def test_how_old_the_chicks_are(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert (got.value, got.unit) == (14, "day"), got.text
    assert "in week 3 of their life" in got.text
    assert "the farm file" in got.text


def test_an_age_told_when_they_came() -> None:
    unknown = farm(HENS, CHICKS.replace("hatched = 2027-06-01\n", ""))
    came = told("arrival", "06-05 09:00", "chicks came, three days old", flock="chicks", count=20,
                how="bought", age=Quantity(value=3, unit="day"))  # fmt: skip
    got = ask("how old are the chicks", [came], unknown)
    assert got.value == 13
    assert len(got.evidence) == 1
    assert ask("how old are the chicks", [], unknown).value is None


@pytest.mark.parametrize(
    "question",
    [
        "what comes next for the chicks",
        "what's next for the chicks",
        "what is next for the chicks",
        "what happens next with the chicks",
        "what do the chicks need next",
        "what should i do next for the chicks",
        "what's the next step for the chicks",
        "what are the next steps with the chicks",
        "what is due for the chicks",
        "what's due for the chicks",
        "what is the next stage for the chicks",
        "what should i be doing for the chicks",
    ],
)
def test_what_comes_next_for_the_chicks(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    # The steps after day 14 begin on day 21.
    assert got.value == midnight("06-22"), got.text
    assert "three quarters of a square foot" in got.text
    assert "A heat lamp can set litter alight" in got.text
    assert "Clauer, Penn State" in got.text
