"""The short notation of the data files for the forms of a word."""

from __future__ import annotations

import pytest

from voicelog.catalogue import expand, expand_all


@pytest.mark.parametrize(
    ("notation", "forms"),
    [
        ("gather~", "gather gathers gathered gathering"),
        ("top~", "top tops topped topping"),
        ("scrub~", "scrub scrubs scrubbed scrubbing"),
        ("clean~", "clean cleans cleaned cleaning"),
        ("mow~", "mow mows mowed mowing"),
        ("fix~", "fix fixes fixed fixing"),
        ("spray~", "spray sprays sprayed spraying"),
        ("carry~", "carry carries carried carrying"),
        ("move~", "move moves moved moving"),
        ("patch~", "patch patches patched patching"),
        ("open~", "open opens opened opening"),
        ("egg+", "egg eggs"),
        ("box+", "box boxes"),
        ("berry+", "berry berries"),
        ("bay+", "bay bays"),
        ("perch+", "perch perches"),
        ("get/gets/got", "get gets got"),
    ],
)
def test_a_word_is_written_out(notation: str, forms: str) -> None:
    assert expand(notation) == tuple(forms.split())


@pytest.mark.parametrize(
    ("notation", "forms"),
    [
        ("top~ up", ("top up", "tops up", "topped up", "topping up")),
        ("nest box+", ("nest box", "nest boxes")),
        ("red/green coop+", ("red coop", "red coops", "green coop", "green coops")),
        ("set/sets _ on", ("set _ on", "sets _ on")),
        ("egg+/nut", ("egg", "eggs", "nut")),
    ],
)
def test_a_phrase_is_the_product_of_its_words(notation: str, forms: tuple[str, ...]) -> None:
    assert expand(notation) == forms


def test_the_plain_form_comes_first_and_nothing_twice() -> None:
    assert expand("put/puts/put") == ("put", "puts")
    assert expand_all(("egg+", "egg", "eggs")) == ("egg", "eggs")


def test_case_does_not_matter() -> None:
    assert expand("Egg+") == ("egg", "eggs")
