"""Questions, words to the assistant, wishes: what of a memo is no telling."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from voicelog.types import Instruction, Parse, Quantity, SlotValue

Means = Callable[..., None]
Parses = Callable[[str], Parse]


@pytest.mark.parametrize(
    "text", ["scratch that", "um scratch that", "okay delete that", "undo that"]
)
def test_taking_back(text: str, parse: Parses) -> None:
    got = parse(text)
    assert [told.action for told in got.instructions] == ["withdraw"]
    assert got.records == ()
    assert got.unused == ()


def test_taking_back_and_saying_anew(means: Means) -> None:
    means(
        "scratch that gathered nine eggs in coop b",
        "eggs, place=coop B, count=9",
        instructions=("scratch that",),
    )


@pytest.mark.parametrize(
    ("text", "slot", "value", "kind"),
    [
        ("make that twelve", None, 12, None),
        ("sorry make that twelve", None, 12, None),
        ("make that twelve cracked", "cracked", 12, "eggs"),
        ("that was coop a", "place", "coop A", None),
        ("that should have been the pullets", "flock", "pullets", None),
        ("that was marigold", "birds", "Marigold", None),
        ("make that two scoops", None, Quantity(value=2, unit="scoop"), None),
        ("make it ten feet", None, Quantity(value=10, unit="foot"), None),
        ("that should be grower", "feed_type", "grower", "feed"),
    ],
)
def test_setting_right(
    text: str, slot: str | None, value: SlotValue, kind: str | None, parse: Parses
) -> None:
    got = parse(text)
    assert got.records == ()
    (told,) = got.instructions
    assert (told.action, told.slot, told.value, told.kind) == ("make_that", slot, value, kind)


def test_a_telling_that_opens_alike_is_no_instruction(means: Means) -> None:
    means("that was the last of the grit", "supply, item=grit, action=used_up")


@pytest.mark.parametrize("text", ["what's left", "okay what's left to do", "what is left today?"])
def test_asking_what_is_left(text: str, parse: Parses) -> None:
    got = parse(text)
    assert [told.action for told in got.instructions] == ["show_left"]
    assert (got.records, got.questions) == ((), ())


def test_what_is_left_in_the_same_breath(means: Means) -> None:
    means(
        "gathered six eggs what's left today", "eggs, count=6", instructions=("what's left today",)
    )


@pytest.mark.parametrize("text", ["that's right", "yes that's right", "looks good"])
def test_confirming(text: str, parse: Parses) -> None:
    assert [told.action for told in parse(text).instructions] == ["confirm"]


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("gathered six eggs in coop a how many did we get yesterday",
         "how many did we get yesterday"),
        ("gathered six eggs in coop a. when did i last move coop b?",
         "when did i last move coop b?"),
        ("gathered six eggs in coop a, did i shut in coop b?", "did i shut in coop b?"),
    ],
)  # fmt: skip
def test_a_question_in_the_same_breath(text: str, question: str, means: Means) -> None:
    means(text, "eggs, place=coop A, count=6", questions=(question,))


@pytest.mark.parametrize(
    "text", ["if it rains i'll move coop b", "i wish the hens would lay more eggs"]
)
def test_a_wish_is_kept_in_its_words(text: str, parse: Parses) -> None:
    (draft,) = parse(text).records
    assert (draft.kind, draft.text) == ("remark", text)


def test_a_wish_behind_a_telling_leaves_it_alone(means: Means) -> None:
    means(
        "gathered six eggs. i wish the hens would lay more.", "eggs, count=6", "remark, flock=hens"
    )


def test_the_instruction_says_which_words_gave_it(parse: Parses) -> None:
    assert parse("um make that twelve.").instructions == (
        Instruction(text="make that twelve", action="make_that", value=12),
    )
