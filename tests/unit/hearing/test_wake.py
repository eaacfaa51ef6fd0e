"""Words that a memo must begin with."""

from __future__ import annotations

import pytest

from voicelog.hearing.wake import is_called, without_wake
from voicelog.types import Alternative, Transcript, Word

WAKE = ("dear", "diary")


def heard(text: str, *others: str) -> Transcript:
    return Transcript(
        text=text,
        words=tuple(
            Word(text=word, from_s=float(at), to_s=at + 0.5, confidence=0.9)
            for at, word in enumerate(text.split())
        ),
        alternatives=tuple(Alternative(text=other, score=0.0) for other in (text, *others)),
        from_s=0.0,
        to_s=20.0,
        engine="told beforehand",
    )


def test_the_words_are_taken_off_and_the_times_stay() -> None:
    found = without_wake(heard("dear diary one two", "deer diary one two", "dear diary one"), WAKE)
    assert found is not None
    assert found.text == "one two"
    assert [word.from_s for word in found.words] == [2.0, 3.0]
    assert [other.text for other in found.alternatives] == ["one two", "one"]


@pytest.mark.parametrize(
    "text", ["one two", "one dear diary two", "dear one two", "diary dear one", "dear diary", ""]
)
def test_others_do_not_count(text: str) -> None:
    assert without_wake(heard(text), WAKE) is None


@pytest.mark.parametrize(
    ("text", "called"),
    [("", True), ("dear", True), ("dear diary one", True), ("one", False), ("dear one", False)],
)
def test_words_that_may_still_become_the_wake_words_are_shown(text: str, called: bool) -> None:
    assert is_called(text, WAKE) is called
    assert is_called(text, ())
