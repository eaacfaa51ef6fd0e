"""What killed a bird, and whether the losses are many; worked out by hand."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from voicelog.answering import answer
from voicelog.records import Store

sys.path.insert(0, str(Path(__file__).parent))

from trade_book import CHICKS, HENS, NOW, PULLETS, ask, farm, kept, later, told

FARM = farm(HENS, PULLETS, CHICKS)
HEADLESS = told("loss", "06-14 07:00", "found a pullet killed last night with her head gone",
                flock="pullets", count=1, cause="predator")  # fmt: skip
DEAD = told("loss", "06-14 18:00", "two hens found dead in gull", flock="hens", count=2,
            place="Gull coop", cause="found_dead")  # fmt: skip


@pytest.fixture(scope="module")
def book() -> Iterator[Store]:
    """A pullet found without her head."""
    with kept([HEADLESS]) as store:
        yield store


@pytest.mark.parametrize(
    "question",
    [
        "what killed the pullet",
        "what killed my pullet",
        "what killed the pullet last night",
        "what could have killed the pullet",
        "what might have killed the pullet",
        "what may have killed the pullet",
        "what probably killed the pullet",
        "what do you think killed the pullet",
        "what got the pullet, what do you think",
        "what kind of animal killed the pullet",
        "what kind of predator got the pullet",
        "who killed the pullet",
        "what is killing the pullets",
        "what's killing my pullets",
        "what's been getting the pullets",
        "what could have got her",
    ],
)
def test_what_killed_the_pullet(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    # Head gone, at night, one bird: an owl 2 + 2 + 1; opossum 2 + 2; weasel 2 + 1 + 1.
    assert got.value == ("owl", "opossum", "weasel"), got.text
    assert "Guess 1: an owl, for at night, head or neck eaten or gone and one bird" in got.text
    assert "A weasel and a raccoon take heads as well." in got.text
    assert "no proof" in got.text
    assert "wildlife agency" in got.text
    assert "bare hands" in got.text
    assert len(got.evidence) == 1


def test_signs_near_by_count_and_other_birds_do_not() -> None:
    hole = told("predator", "06-14 09:00", "a small hole in the wall", sign="damage",
                animal="unknown")  # fmt: skip
    got = ask("what killed the pullet", [HEADLESS, hole, DEAD], FARM)
    # The hole: two more for a weasel, two off for an owl.
    assert isinstance(got.value, tuple)
    assert got.value[0] == "weasel", got.text
    assert "hens" not in got.text.split("Guess")[0]
    assert len(got.evidence) == 2


def test_an_animal_that_was_named_is_said() -> None:
    lost = told("loss", "06-14 07:00", "lost a pullet", flock="pullets", count=1, cause="predator")
    fox = told("predator", "06-14 06:00", "fox at tern", animal="fox", sign="sighting")
    got = ask("what could have killed the pullet", [lost, fox], FARM)
    assert "The records near it name fox" in got.text


def test_no_loss_is_no_record() -> None:
    got = ask("what killed the pullet", [DEAD], FARM)
    assert got.value is None
    assert "no record of a bird lost" in got.text


MANY = [
    "is that many losses",
    "how many birds have we lost and is that many",
    "how many hens have we lost, is that a lot",
    "have we lost too many birds",
    "are we losing too many hens",
    "have we lost more than usual",
    "are we losing more birds than usual, more than usual",
    "is that normal, losing two hens",
    "two hens died, is that bad",
    "should i be worried about the dead hens",
    "should i call the vet about the deaths",
    "do i have to report it that two hens died",
    "two dead hens, is that usual",
]


@pytest.mark.parametrize("question", MANY)
def test_whether_that_is_many(question: str) -> None:
    got = ask(question, [DEAD], FARM)
    assert got.value is True, got.text
    assert "Found dead in the last week: 2, the most within a day 2" in got.text
    assert "state veterinarian" in got.text
    assert "bare hands" in got.text


def test_one_is_looked_into_and_foxes_do_not_count() -> None:
    one = told("loss", "06-14 18:00", "a hen found dead", flock="hens", count=1, cause="found_dead")
    got = ask("is that many losses", [one, HEADLESS], FARM)
    assert got.value is False
    assert "That is to be looked into" in got.text
    assert ask("is that many losses", [HEADLESS], FARM).value is False
    past = ask("is that many losses", [DEAD], FARM, later(14))
    assert past.value is False
    assert "none was found dead" in past.text


@pytest.mark.parametrize(
    "question",
    [
        "what is our livability",
        "what's the livability of the hens",
        "what is the survival rate",
        "what is the survival rate of the hens",
        "what percent of the hens have survived, what is the survival",
        "what is the mortality rate",
        "what's our mortality",
        "what is the death rate of the hens",
        "what percentage survived",
        "how good is the livability",
        "what share of the hens has survived, the survival",
        "tell me the livability",
    ],
)
def test_what_part_is_alive(question: str) -> None:
    of = farm(HENS)
    got = ask(question, [DEAD], of)
    # Ten on the first of May, two lost: eight are alive.
    assert (got.value, got.unit) == (80, "percent"), got.text
    assert "2 of 10 birds were lost since Monday 14 June" in got.text


@pytest.mark.parametrize("question", ["is that many losses", "what is our livability"])
def test_nothing_lost_is_no_record(question: str) -> None:
    got = ask(question, [], FARM)
    assert got.value is None
    assert "no record of a bird lost" in got.text


def test_birds_sold_are_not_lost() -> None:
    sold = told("loss", "06-14 09:00", "sold three hens", flock="hens", count=3, cause="sold")
    assert ask("what is our livability", [sold], FARM).value is None
