"""Numbers said in words are read back as the same numbers, whatever stands around them."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from voicelog.text.numbers import find_numbers
from voicelog.text.quantities import find_quantities
from voicelog.text.tokens import tokenise


def _words(text: str) -> list[str]:
    return text.split()


SMALL = _words(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
)
TENS = _words("twenty thirty forty fifty sixty seventy eighty ninety")
SCALES = ((10**9, "billion"), (10**6, "million"), (1000, "thousand"), (100, "hundred"))


def say(number: int, *, linked: bool, hyphen: bool) -> str:
    """A whole number below a million million in words."""
    for size, word in (
        (10**9, "billion"),
        (10**6, "million"),
        (1000, "thousand"),
        (100, "hundred"),
    ):
        if number >= size:
            head = f"{say(number // size, linked=linked, hyphen=hyphen)} {word}"
            rest = number % size
            if not rest:
                return head
            link = " and " if linked and rest < 100 else " "
            return head + link + say(rest, linked=linked, hyphen=hyphen)
    if number < 20:
        return SMALL[number]
    ones = number % 10
    link = "-" if hyphen else " "
    return TENS[number // 10 - 2] + (link + SMALL[ones] if ones else "")


WHOLE = st.one_of(st.integers(0, 200), st.integers(0, 99_999), st.integers(0, 10**12 - 1))


@given(WHOLE, st.booleans(), st.booleans())
def test_a_whole_number_comes_back(number: int, linked: bool, hyphen: bool) -> None:
    text = say(number, linked=linked, hyphen=hyphen)
    (span,) = find_numbers(text)
    assert (span.value, span.start, span.end) == (number, 0, len(text))


@given(WHOLE, st.booleans())
def test_a_written_number_comes_back(number: int, parted: bool) -> None:
    (span,) = find_numbers(f"{number:,}" if parted else str(number))
    assert span.value == number


@given(st.integers(0, 999), st.lists(st.integers(0, 9), min_size=1, max_size=4))
def test_decimals_come_back(whole: int, digits: list[int]) -> None:
    said = " ".join(SMALL[digit] for digit in digits)
    (span,) = find_numbers(f"{say(whole, linked=False, hyphen=False)} point {said}")
    assert span.value == float(f"{whole}.{''.join(map(str, digits))}")


@given(st.integers(2, 999), st.sampled_from([("a half", 0.5), ("a quarter", 0.25)]))
def test_parts_come_back(whole: int, part: tuple[str, float]) -> None:
    (span,) = find_numbers(f"{say(whole, linked=False, hyphen=True)} and {part[0]}")
    # "Three hundred and a half" adds to the hundred as to any other number below a thousand.
    assert span.value == whole + part[1]


@given(WHOLE, st.sampled_from(["scoops", "pounds", "ml", "gallons"]))
def test_an_amount_comes_back_among_words(number: int, unit: str) -> None:
    text = f"we used {say(number, linked=True, hyphen=False)} {unit} today"
    (span,) = find_quantities(text)
    assert span.value == number
    assert text[span.start : span.end].endswith(unit)


WORDS = st.sampled_from(
    _words(
        "one two ten twelve twenty hundred thousand million and a an half quarter third thirds "
        "point oh dozen couple of few or to minus second - / 1 12 1,200 .5 3/4 ½ $ lbs scoop "
        "scoops feet inches dollars cents degrees f c in below zero % the coop eggs , ."
    )
)


@given(st.one_of(st.text(max_size=60), st.lists(WORDS, max_size=14).map(" ".join)))
def test_any_text_gives_ordered_spans_and_the_same_twice(text: str) -> None:
    for find in (find_numbers, find_quantities):
        spans = find(text)
        end = 0
        for span in spans:
            assert end <= span.start < span.end <= len(text)
            assert text[span.start : span.end].strip() == text[span.start : span.end]
            end = span.end
        assert find(text) == spans


@given(st.lists(WORDS, max_size=12).map(" ".join))
def test_case_changes_nothing(text: str) -> None:
    plain, loud = find_numbers(text), find_numbers(text.capitalize())
    assert [(span.start, span.value) for span in plain] == [
        (span.start, span.value) for span in loud
    ]


@given(st.text(max_size=80))
def test_tokens_cover_all_but_white_space(text: str) -> None:
    covered = "".join(token.text for token in tokenise(text))
    assert covered == "".join(text.split())
    for token in tokenise(text):
        assert text[token.start : token.end] == token.text
