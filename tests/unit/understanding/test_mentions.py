"""Finding: everything a memo mentions, each with the tokens that say it."""

from __future__ import annotations

from datetime import datetime

import pytest

from voicelog.types import Precision
from voicelog.understanding import Parser
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.repairs import drop_corrected

TEXT = "yesterday gathered twenty two eggs in coop b, gave juniper three scoops"


@pytest.fixture(scope="module")
def mentions(parser: Parser, now: datetime) -> Mentions:
    return parser.mentions(TEXT, now)


def test_amounts_have_their_unit_and_their_words(mentions: Mentions) -> None:
    found = [
        (mentions.words(amount.first, amount.last), amount.value, amount.unit)
        for amount in mentions.amounts
    ]
    assert found == [("twenty two", 22, None), ("three scoops", 3, "scoop")]


def test_names_and_times(mentions: Mentions, now: datetime) -> None:
    assert [(name.role, name.value) for name in mentions.names] == [
        (Role.PLACE, "coop B"), (Role.BIRD, "Juniper"),
    ]  # fmt: skip
    (time,) = mentions.times
    assert mentions.words(time.first, time.last) == "yesterday"
    assert time.past.precision is Precision.DAY
    assert time.past.to == now.replace(hour=0, minute=0)


def test_a_time_that_leans_both_ways(parser: Parser, now: datetime) -> None:
    (time,) = parser.mentions("friday", now).times
    assert time.past.from_ is not None
    assert time.ahead.from_ is not None
    assert time.past.from_ < now < time.ahead.from_
    assert (time.ahead.from_ - time.past.from_).days == 7


def test_a_phrase_belongs_to_every_kind_that_declares_it(mentions: Mentions) -> None:
    at = next(at for at, token in enumerate(mentions.tokens) if token.lower == "gave")
    kinds = {
        kind for kind, phrases in mentions.phrases.items() for p in phrases if p.first == at
    }  # fmt: skip
    assert {"feed", "treat", "treatment"} <= kinds


def test_of_overlapping_phrases_the_longest_counts(parser: Parser, now: datetime) -> None:
    found = parser.mentions("top up the pine shavings", now).phrases["litter"]
    assert [(phrase.first, phrase.last) for phrase in found] == [(0, 2), (3, 5)]


def test_a_phrase_may_have_a_gap(parser: Parser, now: datetime) -> None:
    found = parser.mentions("let the old hens out", now).phrases["doors"]
    assert [(phrase.first, phrase.last, phrase.words) for phrase in found] == [(0, 5, (0, 4))]


def test_a_phrase_that_says_something_else_bars_its_words(parser: Parser, now: datetime) -> None:
    found = parser.mentions("the feed store", now)
    assert found.phrases.get("feed", ()) == ()
    assert found.barred["feed"]


@pytest.mark.parametrize(
    "text", ["no tracks", "didn't see any tracks", "no sign of a fox", "no fox tracks"]
)
def test_what_was_looked_for_and_not_seen_says_nothing(
    text: str, parser: Parser, now: datetime
) -> None:
    values = [
        sense.value
        for phrase in parser.mentions(text, now).phrases.get("predator", ())
        for sense in phrase.senses
        if sense.role is Role.VALUE and sense.value != "sighting"
    ]
    assert values == []


def test_words_between_tokens_are_the_memo_as_it_was_said(parser: Parser, now: datetime) -> None:
    text = "Gathered   TWENTY-two eggs!"
    found = parser.mentions(text, now)
    assert found.words(0, len(found.tokens)) == text
    assert found.words(2, 2) == ""


@pytest.mark.parametrize(
    ("text", "kept", "dropped"),
    [
        ("twenty no twenty two eggs", [22], "twenty no"),
        ("twenty eggs sorry twenty two eggs", [22], "twenty eggs sorry"),
        ("twenty no eggs", [20], ""),
        ("twenty eggs in coop a no in coop b", [20], "coop a no in"),
        ("nine not ten eggs", [9], "not ten"),
    ],
)
def test_a_correction_drops_what_it_takes_back(
    text: str, kept: list[int], dropped: str, parser: Parser, now: datetime
) -> None:
    found, tokens = drop_corrected(parser.mentions(text, now))
    assert [amount.value for amount in found.amounts] == kept
    assert [found.tokens[at].lower for at in sorted(tokens)] == dropped.split()
    assert found.dropped == tokens
