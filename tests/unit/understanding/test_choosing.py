"""Of several ways the same sound may be read, the one that makes most sense as a note."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

import pytest

from voicelog.types import Alternative, Parse, Transcript, Word
from voicelog.understanding import Parser

Understands = Callable[..., Parse]


@pytest.fixture
def understood(parser: Parser, now: datetime) -> Understands:
    """The parse of a transcript with these readings and scores, the first one heard."""

    def made(*readings: tuple[str, float]) -> Parse:
        words = tuple(
            Word(text=text, from_s=at, to_s=at + 1.0, confidence=0.9)
            for at, text in enumerate(readings[0][0].split())
        )
        transcript = Transcript(
            text=readings[0][0],
            words=words,
            alternatives=tuple(Alternative(text=text, score=score) for text, score in readings),
            from_s=0.0,
            to_s=float(len(words)),
            engine="by hand",
        )
        return parser.parse(transcript, now)

    return made


def test_a_close_reading_that_makes_sense_is_taken_and_doubted(understood: Understands) -> None:
    got = understood(("gathered nine ex in coop b", 100.0), ("gathered nine eggs in coop b", 99.9))
    (draft,) = got.records
    assert (draft.kind, draft.place, dict(draft.slots)) == ("eggs", "coop B", {"count": 9})
    assert any("heard as 'gathered nine ex in coop b'" in doubt for doubt in draft.doubts)


def test_the_memo_stays_what_was_heard_first(understood: Understands) -> None:
    got = understood(("gathered nine ex in coop b", 100.0), ("gathered nine eggs in coop b", 99.9))
    assert got.memo == "gathered nine ex in coop b"


def test_a_first_reading_that_leaves_nothing_over_is_kept(understood: Understands) -> None:
    got = understood(
        ("gathered nine eggs", 100.0), ("gathered nine eggs in coop b two cracked", 100.0)
    )
    assert dict(got.records[0].slots) == {"count": 9}
    assert got.records[0].doubts == ()


def test_a_reading_far_behind_by_sound_is_not_looked_at(understood: Understands) -> None:
    first = ("gathered nine ex in coop b", 100.0)
    got = understood(first, ("gathered nine eggs in coop b", 95.0))
    assert got == understood(first)
    assert got.unused == ("ex",)


def test_a_reading_no_better_is_not_taken(understood: Understands) -> None:
    got = understood(
        ("gathered nine eggs with bertram", 100.0), ("gathered five eggs with bertram", 99.9)
    )
    assert dict(got.records[0].slots) == {"count": 9}


def test_a_telling_is_not_turned_into_a_question(understood: Understands) -> None:
    got = understood(
        ("gathered nine eggs bertram helped", 100.0), ("did gather nine eggs in coop b?", 99.9)
    )
    assert got.questions == ()


def test_a_transcript_without_other_readings(understood: Understands) -> None:
    assert understood(("gathered nine eggs in coop b", 100.0)).records[0].place == "coop B"


def test_silence_says_nothing(understood: Understands) -> None:
    got = understood(("", 0.0))
    assert (got.records, got.questions, got.unused) == ((), (), ())
