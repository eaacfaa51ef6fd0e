"""What was not done, what is planned, and when."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from voicelog.types import Parse

Means = Callable[..., None]

TOMORROW = "when=2027-05-05..2027-05-06 day"
YESTERDAY = "when=2027-05-03..2027-05-04 day"
THIS_MORNING = "when=2027-05-04T05:00..2027-05-04T08:10 part_of_day"
LAST_NIGHT = "when=2027-05-03T21:00..2027-05-04T05:00 part_of_day"


@pytest.mark.parametrize(
    ("text", "record"),
    [
        ("didn't get to the nest boxes", "litter, not_done, target=nest_box"),
        ("haven't fed the pullets yet", "feed, not_done, flock=pullets"),
        ("forgot to shut in coop c", "doors, not_done, place=coop C, action=shut_in"),
        ("skipped the water in coop a", "water, not_done, place=coop A"),
        ("no time to move coop b", "move, not_done, place=coop B, subject=coop"),
        ("didn't test the fence", "fence, not_done, action=tested"),
    ],
)
def test_what_was_not_done(text: str, record: str, means: Means) -> None:
    means(text, record)


def test_what_was_not_done_is_no_part_of_what_was(means: Means) -> None:
    means(
        "fed coop a but didn't water coop b",
        "feed, place=coop A",
        "water, not_done, place=coop B",
    )


def test_several_things_not_done(means: Means) -> None:
    means(
        "didn't feed coop a or water coop b",
        "feed, not_done, place=coop A",
        "water, not_done, place=coop B",
    )


@pytest.mark.parametrize(
    ("text", "record"),
    [
        ("need to move coop c", "move, planned, place=coop C, subject=coop"),
        ("need to move coop c tomorrow", f"move, planned, {TOMORROW}, place=coop C, subject=coop"),
        (
            "tomorrow i'll clean out coop a",
            f"litter, planned, {TOMORROW}, place=coop A, action=cleaned_out",
        ),
        (
            "going to buy three bags of layer on saturday",
            "supply, planned, when=2027-05-08..2027-05-09 day, action=bought, item=layer, "
            "amount=3 bag",
        ),
        (
            "remind me to fix the latch on coop a",
            "repair, planned, place=coop A, item=latch, action=fixed",
        ),
    ],
)
def test_a_plan_in_plain_words(text: str, record: str, means: Means) -> None:
    means(text, record)


@pytest.mark.parametrize(
    ("text", "record"),
    [
        (
            "clean out coop a next week",
            "litter, planned, when=2027-05-10..2027-05-17 week, place=coop A, action=cleaned_out",
        ),
        (
            "on friday test the fence",
            "fence, planned, when=2027-05-07..2027-05-08 day, action=tested",
        ),
        ("test the fence friday", "fence, planned, when=2027-05-07..2027-05-08 day, action=tested"),
    ],
)
def test_an_order_with_a_time_to_come_is_a_plan(text: str, record: str, means: Means) -> None:
    means(text, record)


def test_a_past_verb_leans_back(means: Means) -> None:
    means("tested the fence friday", "fence, when=2027-04-30..2027-05-01 day, action=tested")


def test_a_plan_goes_on(means: Means) -> None:
    means(
        "tomorrow i need to clean out coop a and test the fence",
        f"litter, planned, {TOMORROW}, place=coop A, action=cleaned_out",
        f"fence, planned, {TOMORROW}, action=tested",
    )


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "this morning i let the hens out and fed them two scoops of layer",
            [
                f"doors, {THIS_MORNING}, flock=hens, action=let_out",
                f"feed, {THIS_MORNING}, flock=hens, feed_type=layer, amount=2 scoop",
            ],
        ),
        (
            "last night shut in coop a, this morning let them out",
            [
                f"doors, {LAST_NIGHT}, place=coop A, action=shut_in",
                f"doors, {THIS_MORNING}, place=coop A, action=let_out",
            ],
        ),
        (
            "yesterday gathered ten eggs in coop a and six in coop b",
            [
                f"eggs, {YESTERDAY}, place=coop A, count=10",
                f"eggs, {YESTERDAY}, place=coop B, count=6",
            ],
        ),
    ],
)
def test_a_time_said_first_is_carried(text: str, records: list[str], means: Means) -> None:
    means(text, *records)


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "fed coop a, coop b and coop c yesterday",
            [f"feed, {YESTERDAY}, place=coop {letter}" for letter in "ABC"],
        ),
        (
            "gathered ten eggs in coop a and six in coop b yesterday",
            [
                f"eggs, {YESTERDAY}, place=coop A, count=10",
                f"eggs, {YESTERDAY}, place=coop B, count=6",
            ],
        ),
    ],
)
def test_a_time_at_the_end_of_a_list_holds_for_all_of_it(
    text: str, records: list[str], means: Means
) -> None:
    means(text, *records)


def test_a_time_ends_with_its_sentence(means: Means) -> None:
    means(
        "moved coop a yesterday. gathered six eggs in coop b",
        f"move, {YESTERDAY}, place=coop A, subject=coop",
        "eggs, place=coop B, count=6",
    )


@pytest.mark.parametrize(
    ("text", "record"),
    [
        (
            "six pullets arriving on friday",
            "arrival, planned, when=2027-05-07..2027-05-08 day, flock=pullets, count=6",
        ),
        (
            "moving coop b on friday",
            "move, planned, when=2027-05-07..2027-05-08 day, place=coop B, subject=coop",
        ),
        (
            "moved coop b on friday",
            "move, when=2027-04-30..2027-05-01 day, place=coop B, subject=coop",
        ),
    ],
)
def test_a_verb_in_ing_with_a_day_to_come_is_a_plan(text: str, record: str, means: Means) -> None:
    means(text, record)


@pytest.mark.parametrize(
    "text", ["watched a show about foxes", "worried about the hawk", "half the flock is asleep"]
)
def test_what_is_only_spoken_of_is_a_remark(text: str, parse: Callable[[str], Parse]) -> None:
    assert [record.kind for record in parse(text).records] == ["remark"]
