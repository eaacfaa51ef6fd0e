"""Written names and sentences as they are said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.hearing.building.spoken_form import number_words, spoken_name, spoken_words
from voicelog.text.numbers import find_numbers


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Coop B", "coop b"),
        ("Pen 2", "pen two"),
        ("2nd row", "second row"),
        ("the 23rd", "the twenty third"),
        ("12th and 30th", "twelfth and thirtieth"),
        ("B2", "b two"),
        ("Fox-Glove coop", "fox-glove coop"),
        ("O’Malley's", "o'malley's"),
        ("the hens' house", "the hens' house"),
        ("'Daisy'", "daisy"),
        ("Salt & Pepper (the twins)", "salt and pepper the twins"),
        ("J.R. barn", "j r barn"),
        ("St. Clair.", "st clair"),
        ("Zoë", "zoë"),
        ("6.45 kV", "six point four five kv"),
        ("row_07", "row zero seven"),
        ("  #1,250!  ", "one thousand two hundred fifty"),
        ("1234567", "one two three four five six seven"),
        ("— … ' - .", ""),
    ],
)
def test_a_name_as_it_is_said(written: str, said: str) -> None:
    assert spoken_name(written) == said


def test_hyphens_part_the_words_of_a_sentence() -> None:
    assert spoken_words("Set twenty-two lamps!") == ("set", "twenty", "two", "lamps")


@given(st.integers(0, 999_999))
def test_a_number_in_words_is_that_number(number: int) -> None:
    (found,) = find_numbers(number_words(str(number)))
    assert found.value == number


@given(st.text())
def test_what_is_said_has_no_figures_and_is_said_the_same_again(text: str) -> None:
    said = spoken_name(text)
    assert not any(char in said for char in '0123456789,;:!?"()')
    assert spoken_name(said) == said
