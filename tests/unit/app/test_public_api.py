"""The names that other programs import."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

import voicelog
from voicelog.types import Status

NOW = datetime(2027, 5, 4, 8, 10, tzinfo=UTC)


def test_a_memo_is_parsed_without_a_farm() -> None:
    parse = voicelog.parse_memo("nine eggs", now=NOW)
    (record,) = parse.records
    assert (record.kind, record.status, record.slots["count"]) == ("eggs", Status.DONE, 9)
    assert parse.now == NOW


def test_without_a_time_a_memo_is_said_now() -> None:
    assert abs(voicelog.parse_memo("nine eggs").now - datetime.now(UTC)).total_seconds() < 60


def test_spans_slice_the_text_given() -> None:
    text = "two and a half scoops yesterday, twenty two eggs"
    (time,) = voicelog.spoken_times(text, NOW)
    assert text[time.start : time.end] == "yesterday"
    assert [span.value for span in voicelog.spoken_numbers(text)] == [2.5, 22]
    (amount,) = voicelog.spoken_quantities(text)
    assert (amount.value, amount.unit) == (2.5, "scoop")


def test_friday_leans_as_it_is_told() -> None:
    past, future = (
        voicelog.spoken_times("friday", NOW, lean=lean)[0].when.from_ for lean in ("past", "future")
    )
    assert past is not None
    assert future is not None
    assert past < NOW < future


def test_rooms_are_reached_through_the_package() -> None:
    assert voicelog.hearing.transcribe
    assert voicelog.husbandry
    with pytest.raises(AttributeError, match="nonsense"):
        _ = voicelog.nonsense
