"""A record asks where nearly the same sound says another number or place."""

from __future__ import annotations

from datetime import datetime

import pytest

from voicelog.types import Alternative, Draft, Parse, Transcript, Word
from voicelog.understanding import Parser


def heard(*readings: tuple[str, float]) -> Transcript:
    words = tuple(
        Word(text=text, from_s=at, to_s=at + 1.0, confidence=0.9)
        for at, text in enumerate(readings[0][0].split())
    )
    return Transcript(
        text=readings[0][0],
        words=words,
        alternatives=tuple(Alternative(text=text, score=score) for text, score in readings),
        from_s=0.0,
        to_s=float(len(words)),
        engine="by hand",
    )


def only(parse: Parse) -> Draft:
    (draft,) = parse.records
    return draft


@pytest.mark.parametrize(
    ("said", "rival", "words"),
    [
        ("gathered fifteen eggs", "gathered fifty eggs", ("fifteen", "fifty")),
        ("gathered six eggs", "gathered sixteen eggs", ("six", "sixteen")),
        ("nine eggs in coop b", "nine eggs in coop c", ("b", "c")),
    ],
)
def test_a_rival_value_is_asked_about(
    parser: Parser, now: datetime, said: str, rival: str, words: tuple[str, str]
) -> None:
    alone = only(parser.parse(heard((said, 10.0)), now))
    got = only(parser.parse(heard((said, 10.0), (rival, 9.0)), now))
    question = f"Heard “{words[0]}”, but it may be “{words[1]}”; which is it?"
    assert got.doubts == (*alone.doubts, question)
    assert got.certainty < alone.certainty
    assert (got.slots, got.place) == (alone.slots, alone.place)


@pytest.mark.parametrize(
    ("rival", "score"),
    [
        ("gathered fifty eggs", 5.0),  # far less likely
        ("gathered a fifteen eggs", 9.9),  # the same record
        ("gathered fifteen legs", 9.9),  # another kind of thing
        ("gathered fifty ex", 9.9),  # makes less sense
    ],
)
def test_what_is_no_rival_is_not_asked_about(
    parser: Parser, now: datetime, rival: str, score: float
) -> None:
    said = ("gathered fifteen eggs", 10.0)
    assert parser.parse(heard(said, (rival, score)), now) == parser.parse(heard(said), now)


def test_of_several_records_the_one_with_a_rival_asks(parser: Parser, now: datetime) -> None:
    said = "nine eggs in coop b and fifteen in coop c"
    rival = "nine eggs in coop b and fifty in coop c"
    first, second = parser.parse(heard((said, 10.0), (rival, 9.5)), now).records
    assert first.doubts == ()
    assert [("fifteen" in doubt, "fifty" in doubt) for doubt in second.doubts] == [(True, True)]
