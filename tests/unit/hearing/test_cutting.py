"""Long pauses part the memos of a recording; short ones do not."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from voicelog import hearing
from voicelog.hearing.audio import RATE, read_recording, write_wav
from voicelog.hearing.cutting import LEAD_S, PAUSE_S, cut
from voicelog.hearing.readings import Stretch
from voicelog.types import Alternative, Transcript, Word


def stretch(*words: tuple[str, float, float]) -> Stretch:
    text = " ".join(word for word, _, _ in words)
    return Stretch(
        words=tuple(
            Word(text=word, from_s=begin, to_s=end, confidence=0.9) for word, begin, end in words
        ),
        readings=(Alternative(text=text, score=3.0), Alternative(text=f"{text} so", score=2.0)),
    )


def memos(*stretches: Stretch, seconds: float = 60.0) -> tuple[Transcript, ...]:
    return cut(stretches, seconds=seconds, engine="told beforehand")


def test_a_long_pause_parts_two_memos_with_the_times_of_the_recording() -> None:
    first, second = memos(
        stretch(("one", 0.3, 0.6), ("two", 0.7, 1.0)), stretch(("three", 9.0, 9.5)), seconds=12.0
    )
    assert (first.text, first.from_s, first.to_s) == ("one two", 0.0, 1.0 + LEAD_S)
    assert (second.text, second.from_s, second.to_s) == ("three", 9.0 - LEAD_S, 12.0)
    assert [word.from_s for word in second.words] == [9.0]
    assert [one.text for one in second.alternatives] == ["three", "three so"]
    assert {first.engine, second.engine} == {"told beforehand"}


@pytest.mark.parametrize(("pause_s", "count"), [(0.3, 1), (1.2, 1), (1.9, 1), (2.0, 2), (5.0, 2)])
def test_what_counts_is_how_long_no_word_is_said(pause_s: float, count: int) -> None:
    assert PAUSE_S == 2.0
    found = memos(stretch(("one", 0.0, 1.0)), stretch(("two", 1 + pause_s, 2 + pause_s)))
    assert len(found) == count
    assert " ".join(memo.text for memo in found) == "one two"


def test_breaths_between_many_stretches_leave_one_memo() -> None:
    (memo,) = memos(*(stretch((f"w{at}", at * 1.8, at * 1.8 + 0.5)) for at in range(20)))
    assert len(memo.words) == 20
    assert (memo.from_s, memo.to_s) == (0.0, 60.0)


def test_a_long_pause_inside_a_stretch_parts_it_too() -> None:
    first, second = memos(stretch(("one", 0.0, 0.5), ("two", 3.0, 3.5), ("three", 3.6, 4.0)))
    assert (first.text, second.text) == ("one", "two three")
    assert [[one.text for one in memo.alternatives] for memo in (first, second)] == [
        ["one"],
        ["two three"],
    ]


def test_a_memo_after_a_long_silence_begins_where_it_is_said() -> None:
    (memo,) = memos(stretch(("one", 30.0, 31.0)))
    assert (memo.from_s, memo.to_s) == (30.0 - LEAD_S, 60.0)


def test_nothing_said_is_one_memo_without_words() -> None:
    (memo,) = memos(seconds=7.0)
    assert (memo.text, memo.words, memo.from_s, memo.to_s) == ("", (), 0.0, 7.0)


def silence(seconds: float) -> np.ndarray:
    return np.zeros(int(seconds * RATE), np.int16)


def test_memos_of_a_real_recording_are_cut_and_keep_their_order(
    speech: Path, tmp_path: Path
) -> None:
    eggs = read_recording(speech / "eggs_two_coops.ogg").samples
    weather = read_recording(speech / "weather.wav").samples
    sound = np.concatenate([eggs, silence(2.5), weather, silence(0.8), eggs, silence(8), weather])
    write_wav(tmp_path / "walk.wav", sound.tobytes())
    heard = hearing.transcribe_memos(tmp_path / "walk.wav")
    assert len(heard) == 3
    assert "eggs" in heard[0].text
    assert "degrees" in heard[1].text
    assert "eggs" in heard[1].text
    assert "degrees" in heard[2].text
    second_s = len(eggs) / RATE + 2.5
    third_s = (2 * len(eggs) + len(weather)) / RATE + 2.5 + 0.8 + 8
    assert [memo.from_s for memo in heard] == pytest.approx([0.0, second_s, third_s], abs=0.6)


def test_a_recording_of_one_memo_is_heard_as_a_whole(speech: Path) -> None:
    (memo,) = hearing.transcribe_memos(speech / "limping.ogg")
    whole = hearing.transcribe(speech / "limping.ogg")
    assert (memo.from_s, memo.to_s, memo.text) == (0.0, whole.to_s, whole.text)
