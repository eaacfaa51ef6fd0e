"""Doubts: what was said is kept as it was, and what should be asked stands beside it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from voicelog.types import Parse

Parses = Callable[[str], Parse]


@pytest.mark.parametrize(
    ("text", "slot", "value", "doubt"),
    [
        ("about twenty eggs in coop b", "count", 20, "Eggs: is 20 near enough?"),
        ("a few eggs in coop b", "count", 3, "Eggs: is 3 near enough?"),
        ("four or five eggs in coop a", "count", 4, "Eggs: is 4 near enough?"),
        (
            "gathered three hundred eggs",
            "count",
            300,
            "Eggs: 300 is more than the 69 birds of the farm; is it right?",
        ),
        (
            "shut in coop b ninety in",
            "head_count",
            90,
            "Birds counted: 90 is more than the 69 birds of the farm; is it right?",
        ),
    ],
)
def test_a_number_to_be_asked_about(
    text: str, slot: str, value: int, doubt: str, parse: Parses
) -> None:
    (draft,) = parse(text).records
    assert draft.slots[slot] == value
    assert draft.doubts == (doubt,)


def test_a_reading_that_cannot_be(parse: Parses) -> None:
    (draft,) = parse("fence is reading forty kilovolts").records
    assert draft.doubts == ("Voltage: 40 kilovolt is hard to believe; is it right?",)


def test_a_number_without_its_unit(parse: Parses) -> None:
    (draft,) = parse("fence reading six").records
    assert draft.doubts == ("Voltage: is 6 kilovolt the unit meant?",)


@pytest.mark.parametrize("text", ["fed coop z two scoops", "moved coop z ten feet"])
def test_a_place_that_the_farm_does_not_have_is_kept_as_said(text: str, parse: Parses) -> None:
    (draft,) = parse(text).records
    assert draft.place == "coop Z"
    assert draft.doubts == ("The farm file has no place 'coop Z'; which one is it?",)


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        ("gathered the eggs in coop b", "the eggs"),
        ("bought three bags", "the item"),
        ("treated juniper", "the treatment"),
    ],
)
def test_what_is_needed_and_was_not_said(text: str, missing: str, parse: Parses) -> None:
    (draft,) = parse(text).records
    (doubt,) = draft.doubts
    assert missing in doubt


def test_what_was_left_undone_needs_nothing_more(parse: Parses) -> None:
    (draft,) = parse("didn't gather the eggs").records
    assert (draft.status, draft.doubts) == ("not_done", ())


def test_each_doubt_takes_from_the_certainty(parse: Parses) -> None:
    plain = parse("gathered twenty eggs in coop b").records[0]
    doubted = parse("gathered about twenty eggs in coop b").records[0]
    twice = parse("gathered about twenty eggs in coop z").records[0]
    assert plain.certainty > doubted.certainty > twice.certainty > 0
    assert len(twice.doubts) == 2
