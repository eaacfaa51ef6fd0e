"""Self-corrections: the earlier word says nothing any more, and stays in the record's text."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from voicelog.types import Parse

Means = Callable[..., None]


@pytest.mark.parametrize(
    ("text", "record"),
    [
        ("gathered twenty no twenty two eggs in coop b", "eggs, place=coop B, count=22"),
        ("gathered twenty, sorry, twenty two eggs", "eggs, count=22"),
        ("gathered twenty eggs, make that twenty two", "eggs, count=22"),
        ("fed coop a sorry coop b two scoops", "feed, place=coop B, amount=2 scoop"),
        ("fed the hens i mean the pullets two scoops", "feed, flock=pullets, amount=2 scoop"),
        (
            "two scoops of finisher, i mean grower, for the pullets",
            "feed, flock=pullets, feed_type=grower, amount=2 scoop",
        ),
        (
            "moved coop a twenty feet north, no wait, thirty feet",
            "move, place=coop A, subject=coop, distance=30 foot, direction=n",
        ),
        ("fed coop b layer, not grower", "feed, place=coop B, feed_type=layer"),
        ("marigold, no, juniper is limping", "health, birds=Juniper, sign=limping"),
        (
            "yesterday, no, this morning i let the hens out",
            "doors, flock=hens, action=let_out, "
            "when=2027-05-04T05:00..2027-05-04T08:10 part_of_day",
        ),
    ],
)
def test_the_later_word_counts(text: str, record: str, means: Means) -> None:
    means(text, record)


def test_the_words_taken_back_stay_in_the_text(parse: Callable[[str], Parse]) -> None:
    (draft,) = parse("gathered twenty no twenty two eggs").records
    assert draft.text == "gathered twenty no twenty two eggs"


@pytest.mark.parametrize(
    ("text", "record"),
    [
        ("no eggs in coop a", "eggs, place=coop A, count=0"),
        ("twelve eggs in coop b, none cracked", "eggs, place=coop B, count=12, cracked=0"),
    ],
)
def test_no_before_a_thing_is_a_count_of_none(text: str, record: str, means: Means) -> None:
    means(text, record)
