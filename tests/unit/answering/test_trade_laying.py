"""How the hens lay and whether they lay less, in many words; the sums are worked out by hand."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from voicelog.answering import answer
from voicelog.records import Store

sys.path.insert(0, str(Path(__file__).parent))

from trade_book import HENS, PULLETS, ask, at, eggs, farm, kept, later, told

FORTNIGHT = {**dict.fromkeys(range(1, 8), 8), 8: 8, 9: 7, 10: 7, 11: 6, 12: 7, 13: 8, 14: 7}
LOST = told("loss", "06-08 07:00", "lost a hen to the fox", flock="hens", count=1, cause="predator")
EVEN = dict.fromkeys(range(1, 15), 8)


@pytest.fixture(scope="module")
def book() -> Iterator[Store]:
    """Ten hens, of which one was lost on the eighth."""
    with kept([*eggs(FORTNIGHT), LOST]) as store:
        yield store


@pytest.mark.parametrize(
    "question",
    [
        "how are the hens laying",
        "how are my girls laying",
        "how well are the hens laying?",
        "how are they laying these days",
        "how's the flock laying",
        "how well do the hens lay",
        "what is the rate of lay",
        "what's the laying rate this week",
        "what is our rate of lay right now",
        "tell me the rate of lay",
        "what is the laying percentage",
        "what percentage of the hens are laying",
        "what's the hen day rate",
        "do you know the lay rate",
    ],
)
def test_the_rate_of_a_week(question: str, book: Store) -> None:
    got = answer(question, book, farm(HENS), at("06-15 12:00"))
    # The eighth to the fourteenth: 50 eggs; ten hens on the eighth, nine on the six days after.
    assert (got.value, got.unit) == (78.1, "percent"), got.text
    assert "81.5 percent (22 eggs of 27 hen-days)" in got.text
    assert "78.1 percent (50 eggs of 64 hen-days)" in got.text
    assert "79.1 percent (106 eggs of 134 hen-days)" in got.text
    assert "IASRI" in got.text
    assert got.text.startswith("Hen-day production by this farm's records")
    assert [e.when.from_ for e in got.evidence] == [
        at(f"06-{d:02} 17:30") for d in range(14, 7, -1)
    ]


@pytest.mark.parametrize(
    ("question", "percent"),
    [
        ("what was the rate of lay over the last three days", 81.5),
        ("rate of lay for the last seven days", 78.1),
        ("what is the rate of lay over the last fourteen days", 79.1),
    ],
)
def test_the_rate_of_the_days_named(question: str, percent: float, book: Store) -> None:
    assert answer(question, book, farm(HENS), at("06-15 12:00")).value == percent


def test_hens_that_came_count_from_that_day() -> None:
    came = told("arrival", "06-10 09:00", "two hens from the neighbor", flock="hens", count=2,
                how="given")  # fmt: skip
    got = ask("what is the rate of lay", [*eggs(FORTNIGHT), LOST, came], farm(HENS))
    # Ten on the eighth, nine on the ninth, eleven on the five days after: 74.
    assert got.value == 67.6
    assert "22 eggs of 33 hen-days" in got.text


def test_pullets_count_from_the_age_of_the_first_egg() -> None:
    got = ask("what is the rate of lay", [*eggs(FORTNIGHT), LOST], farm(HENS, PULLETS))
    # Hatched on 20 January, twenty weeks old on 9 June: 10, then 9 and 4 on six days.
    assert "50 eggs of 88 hen-days" in got.text
    assert got.value == 56.8


def test_a_loss_nobody_placed_is_said() -> None:
    lost = told("loss", "06-10 07:00", "lost a bird", count=1, cause="unknown")
    got = ask("what is the rate of lay", [*eggs(FORTNIGHT), lost], farm(HENS, PULLETS))
    assert "1 lost birds are not taken off" in got.text


def test_today_counts_once_every_place_is_gathered() -> None:
    tern = [told("eggs", f"06-{d:02} 17:40", "2 in tern", place="Tern coop", count=2)
            for d in (12, 13, 14)]  # fmt: skip
    first = told("eggs", "06-15 09:00", "5 in gull", place="Gull coop", count=5)
    rows = [*eggs(FORTNIGHT), *tern, first]
    assert "on Monday 14 June" in ask("what is the rate of lay", rows, farm(HENS)).text
    rows.append(told("eggs", "06-15 10:00", "2 in tern", place="Tern coop", count=2))
    assert "on Tuesday 15 June" in ask("what is the rate of lay", rows, farm(HENS)).text


CASES = {
    "fall": ({15: 3, 16: 4, 17: 3}, 3, True, "Two of the last three gatherings"),
    "low once": ({15: 1}, 1, False, "One low gathering is no fall"),
    "steady": ({15: 8}, 1, False, "No fall beyond chance"),
}


@pytest.fixture(scope="module")
def falls() -> Iterator[dict[str, Store]]:
    """A fortnight of eight eggs of ten hens, and what came after it in each case."""
    with ExitStack() as open_:
        yield {
            name: open_.enter_context(kept(eggs({**EVEN, **counts})))
            for name, (counts, *_) in CASES.items()
        }


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize(
    "question",
    [
        "did laying drop this week",
        "has laying dropped",
        "has the laying fallen off",
        "is laying down",
        "is the laying going down",
        "are the hens laying less than usual",
        "has egg production dropped this week",
        "did egg production fall",
        "is production slowing",
        "has the rate of lay dropped",
        "are we getting fewer eggs",
        "did the laying rate fall this week",
        "has laying declined lately",
    ],
)
def test_a_fall_is_told_from_one_missed_gathering(
    question: str, case: str, falls: dict[str, Store]
) -> None:
    _, days, value, words = CASES[case]
    got = answer(question, falls[case], farm(HENS), later(days))
    assert got.value is value, got.text
    assert words in got.text
    assert "80 percent" in got.text
    assert got.evidence


def test_too_few_days_are_no_ground() -> None:
    got = ask("did laying drop this week", eggs({12: 8, 13: 8, 14: 2}), farm(HENS))
    assert got.value is None
    assert "no record of enough days" in got.text


@pytest.mark.parametrize("question", ["how are the hens laying", "did laying drop this week"])
def test_nothing_gathered_is_no_record(question: str) -> None:
    got = ask(question, [], farm(HENS))
    assert got.value is None
    assert "no record" in got.text
    assert not got.evidence


def test_hens_nobody_counted_are_asked_for() -> None:
    got = ask("how are the hens laying", eggs(FORTNIGHT), farm(HENS.replace("count = 10\n", "")))
    assert got.value is None
    assert "no record of how many laying hens" in got.text
