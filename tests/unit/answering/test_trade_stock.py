"""How long feed lasts, what a dozen costs and bedding, in many words; worked out by hand."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from voicelog.answering import answer
from voicelog.records import Store
from voicelog.types import Quantity, Status

sys.path.insert(0, str(Path(__file__).parent))

from trade_book import HENS, MEASURES, NOW, ask, eggs, farm, kept, midnight, some, told

BOUGHT = told("supply", "06-05 08:00", "two bags of layer feed, sixty dollars", item="layer feed",
              action="bought", amount=some(2, "bag"), cost=some(60, "dollar"))  # fmt: skip
FED = [
    told("feed", f"06-{day:02} 08:30", "two scoops of layer", place="Gull coop",
         feed_type="layer", amount=some(2, "scoop"))
    for day in range(5, 16)
]  # fmt: skip
SOLD = [
    told("sale", "06-06 09:00", "five dozen", item="eggs", amount=some(5, "dozen"),
         price=some(25, "dollar")),
    told("sale", "06-09 11:00", "a flat", item="eggs", amount=some(1, "flat"),
         price=some(12, "dollar")),
]  # fmt: skip
LAID = eggs(dict.fromkeys(range(1, 15), 8))


@pytest.fixture(scope="module")
def book() -> Iterator[Store]:
    """Two bags bought, two scoops given every morning, 112 eggs, and 37 dollars taken."""
    with kept([BOUGHT, *FED, *SOLD, *LAID]) as store:
        yield store


FARM = farm(HENS, MEASURES)


@pytest.mark.parametrize(
    "question",
    [
        "how long will the layer feed last",
        "how long will the feed last",
        "how long is the layer going to last",
        "how long will the layer pellets hold out",
        "how many days will the layer feed last",
        "how many days of feed are left",
        "how many days of layer feed do we have left",
        "how many days of feed do i have",
        "how long until we run out of feed",
        "how long before we run out of layer feed",
        "how many days until the layer feed runs out",
        "do you know how long the feed will last",
        "how much longer will the feed last",
    ],
)
def test_how_long_it_lasts(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    # 100 lb bought, eleven feedings of 5 lb: 45 lb left, at 5 lb a day.
    assert (got.value, got.unit) == (9, "day"), got.text
    assert "45 pounds of layer are left; 5 pounds a day" in got.text
    assert "this farm's records" in got.text
    assert len(got.evidence) == 12


@pytest.mark.parametrize(
    "question",
    [
        "when must i buy feed",
        "when must i buy layer feed",
        "when should we buy more feed",
        "when do i need to buy layer feed",
        "when do we have to order feed",
        "what day do i need to order layer feed",
        "by when must we buy feed",
        "how soon do we need to buy feed",
        "when do i have to pick up feed",
        "when should i get more layer feed",
        "when do we need to restock layer pellets",
        "when does feed need to be bought",
        "when will we run out of feed",
        "when does the layer feed run out",
        "when will the feed be gone",
    ],
)
def test_when_it_must_be_bought(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    # Today is fed already: nine days from the sixteenth on are enough for the twenty-fourth.
    assert got.value == midnight("06-25"), got.text
    assert got.unit is None


def test_a_plan_to_buy_what_is_named_goes_first() -> None:
    plan = told("supply", "06-14 19:00", "need to buy layer feed", status=Status.PLANNED,
                item="layer feed", action="bought")  # fmt: skip
    got = ask("when do i need to buy layer feed", [BOUGHT, *FED, plan], FARM)
    assert "Planned" in got.text


def test_a_scoop_nobody_weighed_is_asked_for() -> None:
    unweighed = farm(HENS, MEASURES.replace('"scoop"', '"can"'))
    got = ask("how long will the layer feed last", [BOUGHT, *FED], unweighed)
    assert got.value is None
    assert "no record of what one measure holds" in got.text
    assert "Weigh one level scoop" in got.text
    assert not got.evidence


def test_what_was_used_up_begins_anew() -> None:
    gone = told("supply", "06-10 07:00", "out of layer feed", item="layer feed", action="used_up")
    new = told("supply", "06-10 08:00", "a bag of layer feed", item="layer feed", action="bought",
               amount=some(1, "bag"))  # fmt: skip
    got = ask("how long will the layer feed last", [BOUGHT, *FED, gone, new], FARM)
    # 50 lb, less six feedings of 5 lb from the tenth to the fifteenth.
    assert got.value == 4


def test_more_given_than_bought_is_said() -> None:
    few = told("supply", "06-05 08:00", "a bag of layer feed", item="layer feed", action="bought",
               amount=some(1, "bag"))  # fmt: skip
    got = ask("how long will the layer feed last", [few, *FED], FARM)
    assert got.value == 0
    assert "5 pounds more were given than bought" in got.text


@pytest.mark.parametrize(
    "question",
    [
        "how long will the layer feed last",
        "when must i buy feed",
        "what does a dozen cost",
        "did we make money this month",
        "when does the feed run out",
    ],
)
def test_nothing_bought_is_no_record(question: str) -> None:
    got = ask(question, LAID, FARM)
    assert got.value is None
    assert "no record" in got.text
    assert not got.evidence


@pytest.mark.parametrize(
    "question",
    [
        "what does a dozen cost",
        "what does a dozen cost us",
        "what does a dozen eggs cost me",
        "how much does a dozen cost",
        "how much does a dozen eggs cost us",
        "what is the cost per dozen",
        "what's the cost of a dozen",
        "what does each dozen cost us",
        "what did a dozen cost us this month",
        "how much does it cost us to make a dozen",
        "what's our cost per dozen eggs",
        "what is a dozen costing us",
        "tell me what a dozen costs",
    ],
)
def test_what_a_dozen_costs(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    # 60 dollars for 112 eggs: 60 * 12 / 112.
    assert (got.value, got.unit) == (6.43, "dollar"), got.text
    assert "60 dollars spent for 112 eggs" in got.text


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("did we make money this month", False),
        ("did i make any money this month", False),
        ("have we made money this month", False),
        ("are we making money", False),
        ("are we making a profit", False),
        ("did we turn a profit in june", False),
        ("did we come out ahead this month", False),
        ("are the hens paying for themselves", False),
        ("do the hens pay for themselves", False),
        ("are the hens earning their keep", False),
        ("are we in the black", False),
        ("did we break even this month", False),
        ("did we lose money this month", True),
        ("are we losing money", True),
    ],
)
def test_whether_money_was_made(question: str, value: bool, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value is value, got.text
    assert "23 dollars were lost: 37 dollars taken less 60 dollars spent" in got.text
    assert len(got.evidence) == 3


def test_sales_alone_make_no_profit() -> None:
    got = ask("did we make money this month", SOLD, FARM)
    assert got.value is None
    assert "no record of costs" in got.text
    assert "37 dollars were taken" in got.text


def test_a_month_with_more_sold_than_spent() -> None:
    cheap = told("supply", "06-05 08:00", "straw", item="straw", action="bought",
                 cost=some(14, "dollar"))  # fmt: skip
    assert ask("did we make money this month", [*SOLD, cheap], FARM).value is True
    assert ask("did we lose money this month", [*SOLD, cheap], FARM).value is False


@pytest.mark.parametrize(
    "question",
    [
        "how many shavings for the boxes",
        "how many shavings do the nest boxes need",
        "how much bedding do the boxes take",
        "how many bales of shavings for the boxes",
        "how much straw do i need for the nest boxes",
        "how many shavings do i need for the boxes",
        "how much bedding for the nest boxes",
        "how many bales of straw do the nest boxes need",
        "how much straw should i put in the nest boxes",
        "how many pine shavings do the nest boxes take",
        "how many shavings will the boxes need",
        "how many shavings should i buy for the boxes",
    ],
)
def test_boxes_of_which_nothing_is_known(question: str, book: Store) -> None:
    got = answer(question, book, FARM, NOW)
    assert got.value is None
    assert "no record of how many boxes there are and how long and wide" in got.text
    assert "2 to 3 inches" in got.text


def test_boxes_that_are_described() -> None:
    deep = ask(
        "how many shavings for ten boxes twelve by twelve inches, three inches deep", [], FARM
    )
    # 10 * 12 * 12 * 3 cubic inches are 4,320, of which 1,728 make a cubic foot.
    assert (deep.value, deep.unit) == (2.5, "cubic foot"), deep.text
    usual = ask("how many shavings for ten boxes 12 by 12 inches", [], FARM)
    assert usual.value == (
        Quantity(value=1.67, unit="cubic foot"),
        Quantity(value=2.5, unit="cubic foot"),
    )
    bale = '[[measure]]\nunit = "bale"\nof = "shavings"\nholds = "8 cubic foot"\n'
    held = ask(
        "how many shavings for ten boxes 12 by 12 inches, 3 inches deep", [], farm(HENS, bale)
    )
    # 2.5 / 8 loose; as sold a bale gives 2 to 2.5 times that: 2.5 / 20 to 2.5 / 16.
    assert "That is 0.31 bales" in held.text
    assert "0.12 to 0.16 where it is the volume of the bale as sold" in held.text
