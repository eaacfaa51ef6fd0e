"""Amounts in a memo: the number, and the unit as it was said."""

from __future__ import annotations

import pytest

from voicelog.text.quantities import find_quantities

ALONE = [
    ("two scoops", 2, "scoop"),
    ("a scoop", 1, "scoop"),
    ("half a scoop", 0.5, "scoop"),
    ("scoop and a half", 1.5, "scoop"),
    ("a scoop and a half", 1.5, "scoop"),
    ("two and a half buckets", 2.5, "bucket"),
    ("three quarters of a bag", 0.75, "bag"),
    ("quarter of a bag", 0.25, "bag"),
    ("a third of a bucket", 1 / 3, "bucket"),
    ("a couple of gallons", 2, "gallon"),
    ("an inch", 1, "inch"),
    ("three pounds", 3, "pound"),
    ("3lbs", 3, "lb"),
    ("10ft", 10, "ft"),
    ("ten feet", 10, "foot"),
    ("ten ml", 10, "ml"),
    ("five cc", 5, "cc"),
    ("one hundred fifty c c", 150, "cc"),
    ("6.2 kV", 6.2, "kV"),
    ("six point four kilovolts", 6.4, "kilovolt"),
    ("six k v", 6, "kV"),
    ("sixty four hundred volts", 6400, "volt"),
    ("75 degrees", 75, "degree"),
    ("ninety five degrees fahrenheit", 95, "fahrenheit"),
    ("minus three c", -3, "celsius"),
    ("98.6°F", 98.6, "fahrenheit"),
    ("two degrees below zero", -2, "degree"),
    ("twenty percent", 20, "percent"),
    ("20%", 20, "percent"),
    ("twelve dollars", 12, "dollar"),
    ("$12.50", 12.5, "dollar"),
    ("$ 1.5 million", 1_500_000, "dollar"),
    ("three dollars fifty cents", 3.5, "dollar"),
    ("three dollars and fifty cents", 3.5, "dollar"),
    ("three dollars fifty", 3.5, "dollar"),
    ("$20 and 43c", 20.43, "dollar"),
    ("one fifty five dollars", 155, "dollar"),
    ("two pounds four ounces", 2.25, "pound"),
    ("six pounds four", 6.25, "pound"),
    ("five foot two", 5 + 2 / 12, "foot"),
    ("2 yards 7 ft 10 inches", 166 / 36, "yard"),
    ("an hour and a half", 1.5, "hour"),
    ("an hour and 45 minutes", 1.75, "hour"),
    ("thirty seconds", 30, "second"),
    ("three dozen", 3, "dozen"),
    ("half a dozen", 0.5, "dozen"),
    ("two dozen bags", 24, "bag"),
    ("two fifty pound bags", 2, "bag"),
    ("two full buckets", 2, "bucket"),
    ("one more scoop", 1, "scoop"),
    ("half-litre", 0.5, "litre"),
]


@pytest.mark.parametrize(("text", "value", "unit"), ALONE)
def test_an_amount_alone(text: str, value: float, unit: str) -> None:
    (span,) = find_quantities(text)
    assert span.value == pytest.approx(value)
    assert span.unit == unit
    assert (span.start, span.end) == (0, len(text))


@pytest.mark.parametrize(
    ("text", "said", "value", "unit"),
    [
        ("a fifty pound bag", "fifty pound", 50, "pound"),
        ("three pounds of layer", "three pounds", 3, "pound"),
        ("twelve dollars and two hens died", "twelve dollars", 12, "dollar"),
        ("four dollars a dozen", "four dollars", 4, "dollar"),
        ("the one bag", "one bag", 1, "bag"),
        ("gave 2 ml on monday", "2 ml", 2, "ml"),
        ("three scoops one went to the chicks", "three scoops", 3, "scoop"),
    ],
)
def test_where_an_amount_ends(text: str, said: str, value: float, unit: str) -> None:
    (span,) = find_quantities(text)
    assert (text[span.start : span.end], span.value, span.unit) == (said, value, unit)


def test_two_amounts_stay_two() -> None:
    spans = find_quantities("two scoops and half a bucket then $20,000.00 $37 more")
    assert [(span.value, span.unit) for span in spans] == [
        (2, "scoop"),
        (0.5, "bucket"),
        (20_000, "dollar"),
        (37, "dollar"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "three fifty",
        "twice a day",
        "put 5 in coop B",
        "the two can go out",
        "the twenty second",
        "wait a second",
        "coop 2 c",
        "one of the bags",
        "tag 24703L202",
        "the scp173m",
        "a small percent",
        "the bucket is full",
        "twenty seven eggs",
        "",
    ],
)
def test_no_amount(text: str) -> None:
    assert find_quantities(text) == ()


@pytest.mark.parametrize(
    "text", ["about two scoops", "a few scoops", "two or three scoops", "2-3 scoops"]
)
def test_guesses_are_approximate(text: str) -> None:
    (span,) = find_quantities(text)
    assert span.approximate
    assert span.unit == "scoop"


def test_an_exact_amount_is_not_approximate() -> None:
    assert not find_quantities("two scoops")[0].approximate
