"""Single passes of the parser, each on values of its own type."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from itertools import pairwise

import pytest

from voicelog.types import Interval, Precision, Status
from voicelog.understanding import Parser
from voicelog.understanding.drafts import when_of, when_words
from voicelog.understanding.filling import Reader
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.sentences import sentences
from voicelog.understanding.steering import steer
from voicelog.understanding.stretches import cut_into_stretches

ReaderOf = Callable[[str], Reader]


@pytest.fixture(scope="module")
def reader_of(parser: Parser, now: datetime) -> ReaderOf:
    def made(text: str) -> Reader:
        return Reader(parser.mentions(text, now), parser.catalogue, parser.farm)

    return made


def _parts(mentions: Mentions, spans: tuple[tuple[int, int], ...]) -> list[str]:
    return [mentions.words(first, last) for first, last in spans]


# sentences and steering


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("one. two! three? four", ["one.", "two!", "three?", "four"]),
        ("one\ntwo", ["one", "two"]),
        ("6.4 kilovolts", ["6.4 kilovolts"]),
        ("", []),
    ],
)
def test_sentences(text: str, parts: list[str], parser: Parser, now: datetime) -> None:
    mentions = parser.mentions(text, now)
    assert _parts(mentions, tuple(sentences(mentions))) == parts


def test_every_token_is_told_asked_wished_or_an_instruction(reader_of: ReaderOf) -> None:
    text = "scratch that. fed coop a. did i feed coop b? i wish it would rain. what's left"
    reader = reader_of(text)
    steered = steer(reader.mentions, reader)
    assert _parts(reader.mentions, steered.told) == ["fed coop a."]
    assert _parts(reader.mentions, steered.questions) == ["did i feed coop b?"]
    assert _parts(reader.mentions, steered.wishes) == ["i wish it would rain."]
    assert [told.action for _, told in steered.instructions] == ["withdraw", "show_left"]


# stretches


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        ("gathered nine eggs in coop b", ["eggs"]),
        ("gathered nine eggs filled the waterer", ["eggs", "water"]),
        ("nine eggs in coop a six in coop b", ["eggs", "+eggs"]),
        ("moved coop c ten feet and saw fox tracks", ["move", "predator"]),
        ("the light was lovely", [None]),
        ("over at coop b nine eggs", [None, "eggs"]),
    ],
)
def test_stretches(text: str, cut: list[str | None], reader_of: ReaderOf) -> None:
    reader = reader_of(text)
    found = cut_into_stretches(reader.mentions, reader, 0, len(reader.mentions.tokens))
    kinds = [
        stretch.reading and ("+" * stretch.follows + stretch.reading.kind.name) for stretch in found
    ]
    assert [kind for kind in kinds if kind] == [kind for kind in cut if kind]
    assert found[0].first == 0
    assert found[-1].last == len(reader.mentions.tokens)
    assert all(one.last == other.first for one, other in pairwise(found))


# readings


def test_the_kind_that_fits_best_has_the_best_score(reader_of: ReaderOf) -> None:
    reader = reader_of("gave the hens two scoops of layer")
    last = len(reader.mentions.tokens)
    scores = {kind.name: reader.read(kind, 0, last).score for kind in reader.kinds_in(0, last)}
    assert max(scores, key=lambda name: scores[name]) == "feed"


@pytest.mark.parametrize(
    ("text", "stands"),
    [
        ("gave two", False),
        ("two scoops", False),
        ("gave the hens", False),
        ("gave them two scoops of layer", True),
        ("layer for coop b", False),
        ("fed coop b", True),
    ],
)
def test_a_reading_stands_only_with_enough_that_speaks_for_it(
    text: str, stands: bool, parser: Parser, reader_of: ReaderOf
) -> None:
    reader = reader_of(text)
    assert reader.read(parser.catalogue.kind("feed"), 0, len(text.split())).stands is stands


# time of a draft


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("at seven", "seven"),
        ("on friday", "friday"),
        ("yesterday", "yesterday"),
        ("last night", "last night"),
        ("in the morning", "the morning"),
    ],
)
def test_the_words_that_said_the_time(text: str, words: str, parser: Parser, now: datetime) -> None:
    mentions = parser.mentions(text, now)
    assert when_words(mentions.times[0], mentions) == words


def test_no_time_said_is_the_memo_s_own(parser: Parser, now: datetime) -> None:
    mentions = parser.mentions("fed the hens", now)
    assert when_of(None, Status.DONE, now) == Interval(
        from_=now, to=now, precision=Precision.MINUTE
    )
    assert when_words(None, mentions) is None


def test_done_is_cut_off_at_now_and_planned_is_not(parser: Parser, now: datetime) -> None:
    (time,) = parser.mentions("today", now).times
    assert when_of(time, Status.DONE, now).to == now
    ahead = when_of(time, Status.PLANNED, now).to
    assert ahead is not None
    assert ahead > now


# left-over words


@pytest.mark.parametrize(
    ("text", "unused"),
    [
        ("gathered nine eggs", ()),
        ("gathered nine purple eggs", ("purple",)),
        ("gathered nine eggs with my cousin Bertram", ("cousin Bertram",)),
        ("gathered nine eggs so that was nice and so on", ("nice",)),
        ("gathered twenty no nineteen eggs", ()),
    ],
)
def test_words_that_no_record_used_are_told(
    text: str, unused: tuple[str, ...], parser: Parser, now: datetime
) -> None:
    assert parser.parse(text, now).unused == unused


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("the sun came out over the long ridge today", ["remark"]),
        ("gathered nine eggs. the sun shone over the long ridge.", ["eggs", "remark"]),
        ("gathered nine eggs. lovely.", ["eggs"]),
        ("um well okay", []),
    ],
)
def test_enough_words_make_a_remark(
    text: str, kinds: list[str], parser: Parser, now: datetime
) -> None:
    assert [draft.kind for draft in parser.parse(text, now).records] == kinds
