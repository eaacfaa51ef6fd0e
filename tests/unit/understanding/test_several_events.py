"""Several events in one breath: what each has of its own, and what one takes from another."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from voicelog.types import Parse, Quantity

Means = Callable[..., None]


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "four eggs in the north coop and six in coop b",
            ["eggs, place=north coop, count=4", "eggs, place=coop B, count=6"],
        ),
        (
            "four eggs from coop a, six from coop b and nine from coop c",
            [
                "eggs, place=coop A, count=4",
                "eggs, place=coop B, count=6",
                "eggs, place=coop C, count=9",
            ],
        ),
        (
            "eggs: coop a five, coop b eight",
            ["eggs, place=coop A, count=5", "eggs, place=coop B, count=8"],
        ),
    ],
)
def test_a_count_is_split_over_places(text: str, records: list[str], means: Means) -> None:
    means(text, *records)


def test_what_is_said_last_belongs_to_the_last_place(means: Means) -> None:
    means(
        "twelve eggs in coop a and nine in coop b, two of those cracked",
        "eggs, place=coop A, count=12",
        "eggs, place=coop B, count=9, cracked=2",
    )


@pytest.mark.parametrize(
    "text",
    ["fed coops a, b and c", "fed coop a, coop b and coop c", "fed coop a, b, and c",
     "fed coops a b and c"],
)  # fmt: skip
def test_a_list_of_places_is_a_record_for_each(text: str, means: Means) -> None:
    means(text, "feed, place=coop A", "feed, place=coop B", "feed, place=coop C")


@pytest.mark.parametrize(
    "text",
    [
        "fed coop a and coop b two scoops each",
        "two scoops of feed each for coop a and coop b",
        "two scoops of feed in coops a and b",
        "two scoops of feed, coops a and b",
    ],
)
def test_each_has_the_number_said(text: str, means: Means) -> None:
    means(text, "feed, place=coop A, amount=2 scoop", "feed, place=coop B, amount=2 scoop")


@pytest.mark.parametrize("text", ["shut in all the coops", "shut in all four coops"])
def test_all_places_of_a_kind(text: str, means: Means) -> None:
    means(
        text,
        "doors, place=coop A, action=shut_in",
        "doors, place=coop B, action=shut_in",
        "doors, place=coop C, action=shut_in",
        "doors, place=north coop, action=shut_in",
    )


def test_both_of_four_are_asked_about(parse: Callable[[str], Parse]) -> None:
    (draft,) = parse("watered both coops").records
    assert draft.place is None
    assert draft.doubts == ("The farm file has 4; which are 'both coops'?",)


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "fed coop a two scoops of layer, same for coop b",
            [
                "feed, place=coop A, feed_type=layer, amount=2 scoop",
                "feed, place=coop B, feed_type=layer, amount=2 scoop",
            ],
        ),
        (
            "gathered six eggs in coop a and the same in coop c",
            ["eggs, place=coop A, count=6", "eggs, place=coop C, count=6"],
        ),
        ("watered coop a, ditto coop b", ["water, place=coop A", "water, place=coop B"]),
        (
            "let out coop a, same with coop b",
            ["doors, place=coop A, action=let_out", "doors, place=coop B, action=let_out"],
        ),
    ],
)
def test_the_same_again_elsewhere(text: str, records: list[str], means: Means) -> None:
    means(text, *records)


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "over at coop b: twelve eggs, filled the waterer, two scoops of layer",
            [
                "eggs, place=coop B, count=12",
                "water, place=coop B, action=filled, container=waterer",
                "feed, place=coop B, feed_type=layer, amount=2 scoop",
            ],
        ),
        (
            "coop c. nine eggs. fed two scoops of grower.",
            [
                "eggs, place=coop C, count=9",
                "feed, place=coop C, feed_type=grower, amount=2 scoop",
            ],
        ),
        (
            "in coop a i gathered seven eggs and filled the waterer",
            [
                "eggs, place=coop A, count=7",
                "water, place=coop A, action=filled, container=waterer",
            ],
        ),
    ],
)
def test_a_place_said_first_holds_for_what_follows(
    text: str, records: list[str], means: Means
) -> None:
    means(text, *records)


def test_a_place_inside_a_clause_holds_for_that_clause_alone(means: Means) -> None:
    means(
        "gathered nine eggs in coop b. fed two scoops of grower.",
        "eggs, place=coop B, count=9",
        "feed, feed_type=grower, amount=2 scoop",
    )


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "moved coop b ten feet north and filled its waterer",
            [
                "move, place=coop B, subject=coop, distance=10 foot, direction=n",
                "water, place=coop B, action=filled, container=waterer",
            ],
        ),
        (
            "juniper is limping, gave her two drops of iodine",
            [
                "health, birds=Juniper, sign=limping",
                "treatment, birds=Juniper, what=iodine, dose=two drops",
            ],
        ),
        (
            "let the pullets out and gave them two scoops of grower",
            [
                "doors, flock=pullets, action=let_out",
                "feed, flock=pullets, feed_type=grower, amount=2 scoop",
            ],
        ),
        (
            "moved coop c ten feet and fed it one scoop of layer",
            [
                "move, place=coop C, subject=coop, distance=10 foot",
                "feed, place=coop C, feed_type=layer, amount=1 scoop",
            ],
        ),
    ],
)
def test_a_pronoun_points_back(text: str, records: list[str], means: Means) -> None:
    means(text, *records)


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "let the pullets out gave them a scoop of grower filled their waterer",
            [
                "doors, flock=pullets, action=let_out",
                "feed, flock=pullets, feed_type=grower, amount=1 scoop",
                "water, flock=pullets, action=filled, container=waterer",
            ],
        ),
        (
            "gathered nine eggs in coop b moved coop c ten feet saw fox tracks",
            [
                "eggs, place=coop B, count=9",
                "move, place=coop C, subject=coop, distance=10 foot",
                "predator, animal=fox, sign=track",
            ],
        ),
        (
            "fed coop a two scoops tested the fence six kilovolts it's raining again",
            [
                "feed, place=coop A, amount=2 scoop",
                "fence, action=tested, voltage=6 kilovolt",
                "weather, condition=rain",
            ],
        ),
    ],
)
def test_no_mark_is_needed_between_events(text: str, records: list[str], means: Means) -> None:
    means(text, *records)


@pytest.mark.parametrize(
    ("text", "record"),
    [
        ("two scoops of grower, for the pullets", "feed, flock=pullets, feed_type=grower"),
        ("two scoops of grower, coop b", "feed, place=coop B, feed_type=grower"),
    ],
)
def test_whom_and_where_may_come_last(text: str, record: str, means: Means) -> None:
    means(text, f"{record}, amount=2 scoop")


@pytest.mark.parametrize(
    "text", ["nine eggs in coop b, one dirty", "nine eggs in coop b. one of them was dirty."]
)
def test_a_clause_may_only_add(text: str, means: Means) -> None:
    means(text, "eggs, place=coop B, count=9, dirty=1")


@pytest.mark.parametrize(
    ("text", "animal", "flock", "count"),
    [
        ("a fox took two hens", "fox", "hens", 2),
        ("lost a hen to a fox", "fox", "hens", 1),
        ("raccoon got three chicks", "raccoon", "chicks", 3),
    ],
)
def test_a_bird_lost_to_an_animal_is_a_loss_and_a_kill(
    text: str, animal: str, flock: str, count: int, means: Means
) -> None:
    means(
        text,
        f"loss, flock={flock}, count={count}, cause=predator",
        f"predator, animal={animal}, sign=kill",
    )


def test_a_kill_is_a_loss_too(means: Means) -> None:
    means(
        "a hawk killed one of the pullets",
        "predator, animal=hawk, sign=kill",
        "loss, flock=pullets, count=1, cause=predator",
    )


def test_an_animal_that_took_nothing_is_no_loss(means: Means) -> None:
    means("saw a fox", "predator, animal=fox, sign=sighting")


def test_what_was_bought_may_be_a_list(means: Means) -> None:
    means(
        "bought two bags of grit and three bales of straw",
        "supply, action=bought, item=grit, amount=2 bag",
        "supply, action=bought, item=straw, amount=3 bale",
    )


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "twelve in coop a and nine in coop b two of those cracked",
            ["eggs, place=coop A, count=12", "eggs, place=coop B, count=9, cracked=2"],
        ),
        (
            "coop a sixteen coop b nine",
            ["eggs, place=coop A, count=16", "eggs, place=coop B, count=9"],
        ),
        (
            "got seven from coop a and nothing from coop b",
            ["eggs, place=coop A, count=7", "eggs, place=coop B, count=0"],
        ),
        ("collected eggs. coop a had nine.", ["eggs, place=coop A, count=9"]),
        ("one for coop a and one for coop b", ["remark"]),
    ],
)
def test_a_number_at_a_coop_counts_what_is_counted_there(
    text: str, records: list[str], parse: Callable[[str], Parse]
) -> None:
    found = [
        ", ".join([
            draft.kind, *([f"place={draft.place}"] if draft.kind != "remark" else []),
            *(f"{name}={value}" for name, value in sorted(draft.slots.items())),
        ])
        for draft in parse(text).records
    ]  # fmt: skip
    assert found == records


@pytest.mark.parametrize(
    ("text", "records"),
    [
        ("fed and watered the pullets", ["feed, flock=pullets", "water, flock=pullets"]),
        (
            "the pullets are fed and watered",
            ["feed, flock=pullets", "water, flock=pullets"],
        ),
        (
            "let out coop a filled the water and fed them",
            [
                "doors, place=coop A, action=let_out",
                "water, place=coop A, action=filled",
                "feed, place=coop A",
            ],
        ),
        ("fed coop a but didn't get to the water", ["feed, place=coop A", "water, not_done"]),
        (
            "filled the water in coops a and b, two buckets each",
            [
                "water, place=coop A, action=filled, amount=2 bucket",
                "water, place=coop B, action=filled, amount=2 bucket",
            ],
        ),
    ],
)
def test_birds_and_places_hold_for_a_round(text: str, records: list[str], means: Means) -> None:
    means(text, *records)


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "turned off the fence moved it to the hill paddock and turned it back on",
            ["fence, action=off", "move, subject=fence, to=hill paddock", "fence, action=on"],
        ),
        (
            "bought a bag of layer and gave coop a two scoops of it",
            [
                "supply, action=bought, item=layer, amount=1 bag",
                "feed, place=coop A, feed_type=layer, amount=2 scoop",
            ],
        ),
    ],
)
def test_a_pronoun_is_the_thing_said_before(text: str, records: list[str], means: Means) -> None:
    means(text, *records)


def test_readings_at_two_times_are_two_records(parse: Callable[[str], Parse]) -> None:
    records = parse(
        "the brooder was at eighty eight degrees last night and ninety one this morning"
    ).records
    assert [str(record.slots["temperature"]) for record in records] == [
        str(Quantity(value=88, unit="degree")),
        str(Quantity(value=91, unit="degree")),
    ]
    assert [record.when_said for record in records] == ["last night", "this morning"]


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (
            "tested the fence six kilovolts raining again",
            ["fence, action=tested, voltage=6 kilovolt", "weather, condition=rain"],
        ),
        ("opened the door for the hens", ["doors, action=let_out, flock=hens"]),
        (
            "fence was at two kilovolts so i cleared it",
            ["fence, action=tested, voltage=2 kilovolt", "fence, action=cleared"],
        ),
    ],
)
def test_what_cannot_be_one_doing_is_two(text: str, records: list[str], means: Means) -> None:
    means(text, *records)
