"""Words with their confidence, noise told from speech, alternatives joined over pauses."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.hearing.readings import (
    CARRIED,
    LISTED,
    Reading,
    Stretch,
    TimedWord,
    join,
    judge,
    shifted,
)
from voicelog.types import Alternative, Word


def reading(text: str, score: float, width_s: float = 0.5) -> Reading:
    words = tuple(
        TimedWord(text=word, from_s=number * width_s, to_s=(number + 1) * width_s)
        for number, word in enumerate(text.split())
    )
    return Reading(words=words, score=score)


def heard(*readings: Reading) -> Stretch:
    stretch = judge(readings)
    assert stretch is not None
    return stretch


def stretch(*texts_and_scores: tuple[str, float]) -> Stretch:
    words = tuple(
        Word(text=word, from_s=0.0, to_s=0.1, confidence=1.0)
        for word in texts_and_scores[0][0].split()
    )
    alternatives = tuple(Alternative(text=text, score=score) for text, score in texts_and_scores)
    return Stretch(words=words, readings=alternatives)


def test_a_word_of_every_reading_is_surer_than_a_disputed_one() -> None:
    two, red, hens = heard(reading("two red hens", 10.0), reading("two bad hens", 9.0)).words
    assert two.confidence == hens.confidence > red.confidence + 0.2


def test_a_word_is_surer_the_further_its_rivals_are_behind() -> None:
    near = heard(reading("six red eggs", 10.0), reading("sick red eggs", 9.5)).words[0]
    far = heard(reading("six red eggs", 10.0), reading("sick red eggs", 7.0)).words[0]
    assert near.confidence < far.confidence


def test_a_full_list_that_hardly_varies_makes_nothing_certain() -> None:
    said = "three hens in the coop "
    near = [reading(said + "x" * number, 10.0 - number * 0.01) for number in range(LISTED)]
    far = [reading(said + "x" * number, 10.0 - number) for number in range(LISTED)]
    assert heard(*near).words[0].confidence < 0.95 < heard(*far).words[0].confidence


def test_readings_that_agree_on_nothing_are_noise() -> None:
    assert judge([reading(word, 10.0) for word in ("it", "is", "a", "to")]) is None
    long = [reading(f"{word} {word} {word} {word}", 10.0) for word in ("it", "is", "a", "to")]
    assert judge(long) is None


def test_a_word_too_short_to_be_said_is_noise() -> None:
    assert judge([reading("a", 10.0, width_s=0.03)]) is None
    assert judge([reading("a", 10.0, width_s=0.15)]) is not None


def test_one_word_must_be_surer_than_many() -> None:
    one = [reading("stop", 10.0), reading("top", 9.5)]
    many = [reading("stop the water now", 10.0), reading("top of water now", 9.5)]
    assert judge(one) is None
    assert judge(many) is not None


@pytest.mark.parametrize("readings", [[], [reading("", 5.0)], [reading("", 5.0), reading("a", 4)]])
def test_silence_is_no_stretch(readings: list[Reading]) -> None:
    assert judge(readings) is None


def test_alternatives_are_not_repeated_and_begin_with_the_text() -> None:
    alternatives = heard(
        reading("a hen", 9.0), reading("a hen", 8.0), reading("the hen", 7.0)
    ).readings
    assert [(one.text, one.score) for one in alternatives] == [("a hen", 9.0), ("the hen", 7.0)]


def test_joined_stretches_keep_the_order_of_words_and_the_times() -> None:
    second = shifted(heard(reading("three four", 5.0)), 2.0)
    joined = join([heard(reading("one two", 5.0)), second], seconds=3.2, engine="e")
    assert joined.text == "one two three four"
    assert [word.from_s for word in joined.words] == [0.0, 0.5, 2.0, 2.5]
    assert (joined.from_s, joined.to_s, joined.engine) == (0.0, 3.2, "e")
    assert [one.text for one in joined.alternatives] == ["one two three four"]


def test_nothing_joined_is_an_empty_transcript() -> None:
    joined = join([], seconds=1.0, engine="e")
    assert (joined.text, joined.words, joined.alternatives) == ("", (), ())


@given(
    st.lists(
        st.lists(st.integers(0, 1000), min_size=1, max_size=4),
        min_size=1,
        max_size=4,
    )
)
def test_alternatives_of_a_whole_recording_are_the_likeliest_of_all(table: list[list[int]]) -> None:
    stretches = [
        stretch(*((f"w{i}x{j}", float(s)) for j, s in enumerate(sorted(scores, reverse=True))))
        for i, scores in enumerate(table)
    ]
    joined = join(stretches, seconds=1.0, engine="e")
    everything = sorted(
        (
            sum(one.score for one in pick)
            for pick in itertools.product(*(s.readings for s in stretches))
        ),
        reverse=True,
    )
    assert [one.score for one in joined.alternatives] == everything[:CARRIED]
    assert joined.alternatives[0].text == joined.text


def test_many_stretches_do_not_explode() -> None:
    one = stretch(*((f"w{number}", -float(number)) for number in range(CARRIED)))
    assert len(join([one] * 300, seconds=1.0, engine="e").alternatives) == CARRIED
