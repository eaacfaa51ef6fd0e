"""What counts as a number in a memo, and what does not."""

from __future__ import annotations

import time

import pytest

from voicelog.text.numbers import NUMBER_WORDS, find_numbers
from voicelog.text.tokens import tokenise

VALUES = {
    "a hundred and five": 105,
    "eleven hundred": 1100,
    "twenty-two": 22,
    "twenty two": 22,
    "twentytwo": 22,
    "twenty-four hundred": 2400,
    "two hundred and two thousand": 202_000,
    "one million two thousand and six": 1_002_006,
    "zero": 0,
    "nought": 0,
    "nil": 0,
    "half a dozen": 6,
    "three dozen": 36,
    "two and a half dozen": 30,
    "a dozen and a half": 18,
    "a couple": 2,
    "a couple hundred": 200,
    "a pair": 2,
    "six point four": 6.4,
    "six point two five": 6.25,
    "six point oh five": 6.05,
    "fourteen point twenty five": 14.25,
    "point five": 0.5,
    ".5": 0.5,
    "1,200": 1200,
    "10k": 10_000,
    "six and a half": 6.5,
    "one and three quarters": 1.75,
    "two thirds": 2 / 3,
    "half": 0.5,
    "a quarter": 0.25,
    "a million and a half": 1_500_000,
    "a hundred and three quarters": 100.75,
    "2 1/4": 2.25,
    "3/4": 0.75,
    "1½": 1.5,
    "minus five": -5,
    "negative six point five": -6.5,
    "-5": -5,
}


@pytest.mark.parametrize(("text", "value"), VALUES.items())
def test_a_number_alone(text: str, value: float) -> None:
    (span,) = find_numbers(text)
    assert span.value == pytest.approx(value)
    assert (span.start, span.end) == (0, len(text))
    assert not span.ordinal


@pytest.mark.parametrize(("text", "value"), VALUES.items())
def test_a_number_among_words_and_in_capitals(text: str, value: float) -> None:
    (span,) = find_numbers(f"we had {text.upper()} there, I think")
    assert span.value == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("ten twelve", [10, 12]),
        ("twenty no twenty two", [20, 22]),
        ("coop two twelve eggs", [2, 12]),
        ("six thirty", [6, 30]),
        ("one two three", [1, 2, 3]),
        ("twenty twenty", [20, 20]),
        ("two oh five", [2, 0, 5]),
        ("three hundred and negative one", [300, -1]),
        ("nineteen eggs and four more", [19, 4]),
        ("six and half a bucket", [6, 0.5]),
        ("ten to six", [10, 6]),
        ("192.168.1.2", [192, 168, 1, 2]),
        ("22,24,26", [22, 24, 26]),
        ("coop 3B gave 12", [3, 12]),
        ("one of them laid two", [1, 2]),
        ("pen B - 12", [12]),
        ("- 12 cracked", [12]),
        ("3lbs", [3]),
        ("twenty percent", [20]),
    ],
)
def test_numbers_side_by_side(text: str, values: list[float]) -> None:
    assert [span.value for span in find_numbers(text)] == values


@pytest.mark.parametrize(
    "text",
    [
        "that one",
        "this one",
        "which one",
        "the brown one",
        "found a dead one",
        "no one",
        "each one",
        "they peck one another",
        "went to the coop too",
        "for the hens",
        "she won",
        "they ate",
        "it may rain",
        "wait a second",
        "first thing",
        "at first",
        "every single day",
        "oh the hens",
        "at that point we stopped",
        "7:30 am",
        "a quarter to",
        "dozens of flies",
        "by the dozen",
        "",
    ],
)
def test_no_number(text: str) -> None:
    assert find_numbers(text) == ()


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("third", 3),
        ("the twenty second", 22),
        ("2nd", 2),
        ("the second one", 2),
        ("one hundred and twenty-first", 121),
        ("one hundredth", 100),
        ("a third egg", 3),
        ("a second egg", 2),
    ],
)
def test_ordinals(text: str, value: int) -> None:
    (span,) = find_numbers(text)
    assert (span.value, span.ordinal) == (value, True)


@pytest.mark.parametrize(
    ("text", "low", "high", "said"),
    [
        ("four or five eggs", 4, 5, "four or five"),
        ("four to five eggs", 4, 5, "four to five"),
        ("10-12 eggs", 10, 12, "10-12"),
        ("between three and five", 3, 5, "three and five"),
        ("two or three hundred", 200, 300, "two or three hundred"),
        ("two or three dozen", 24, 36, "two or three dozen"),
        ("a few left", 3, 5, "a few"),
        ("several left", 3, 7, "several"),
    ],
)
def test_ranges(text: str, low: int, high: int, said: str) -> None:
    (span,) = find_numbers(text)
    assert (span.value, span.upto, text[span.start : span.end]) == (low, high, said)


@pytest.mark.parametrize(
    "text", ["about twenty", "roughly twenty", "maybe twenty", "twenty or so", "twenty-ish"]
)
def test_approximate_numbers_span_the_number_alone(text: str) -> None:
    (span,) = find_numbers(text)
    assert span.approximate
    assert text[span.start : span.end] == "twenty"


def test_an_exact_number_is_not_approximate() -> None:
    assert not find_numbers("gathered twenty eggs")[0].approximate


def test_number_words_are_single_lower_case_words() -> None:
    assert {"two", "twelve", "dozen", "half", "point", "third"} <= NUMBER_WORDS
    assert all(word.isalpha() and word == word.lower() for word in NUMBER_WORDS)


def test_tokens_keep_apostrophes_and_part_digits_from_letters() -> None:
    text = "didn’t 3lbs 6.4kV 1,200 7:30am twenty-two $5"
    assert [token.text for token in tokenise(text)] == [
        "didn’t", "3", "lbs", "6.4", "kV", "1,200", "7:30", "am", "twenty", "-", "two", "$", "5",
    ]  # fmt: skip
    assert tokenise(text)[0].lower == "didn't"


@pytest.mark.parametrize(
    "piece", ["one ", "one or ", "point one ", "1 ", "1/2 ", "1,234,", "1 000 ", "half of a "]
)
def test_time_grows_with_the_length_alone(piece: str) -> None:
    def seconds(characters: int) -> float:
        text = piece * (characters // len(piece))
        start = time.perf_counter()
        find_numbers(text)
        return time.perf_counter() - start

    seconds(10_000)
    short = min(seconds(10_000) for _ in range(3))
    assert min(seconds(80_000) for _ in range(2)) < 8 * 4 * short
