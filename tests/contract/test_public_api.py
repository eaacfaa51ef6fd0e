"""The names that other programs import, with their arguments and what they give."""

from __future__ import annotations

import inspect
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

import voicelog
from voicelog.farm import Farm
from voicelog.types import Alternative, Parse, Precision, Status, Transcript, Word

NOW = datetime(2027, 5, 4, 8, 10, tzinfo=ZoneInfo("Pacific/Auckland"))
RECORDINGS = Path(__file__).resolve().parents[2] / "corpora" / "speech"

SIGNATURES = {
    "parse_memo": {"text_or_transcript": ..., "farm": None, "now": None},
    "spoken_times": {"text": ..., "now": ..., "lean": "past"},
    "spoken_numbers": {"text": ...},
    "spoken_quantities": {"text": ...},
    "spoken_repeats": {"text": ..., "now": None},
    "hearing.transcribe": {"path": ..., "model": None},
    "hearing.build_model": {"sentences": ..., "words": ..., "out": ...},
}


@pytest.mark.parametrize("name", SIGNATURES)
def test_the_arguments_and_what_they_are_without_being_given(name: str) -> None:
    found: object = voicelog
    for part in name.split("."):
        found = getattr(found, part)
    assert callable(found)
    empty = inspect.Parameter.empty
    parameters = inspect.signature(found).parameters.values()
    given = {p.name: ... if p.default is empty else p.default for p in parameters}
    expected = SIGNATURES[name]
    assert {key: given.get(key) for key in expected} == expected
    assert all(default is not ... for key, default in given.items() if key not in expected)


def transcript(text: str) -> Transcript:
    words = tuple(
        Word(text=word, from_s=float(at), to_s=at + 0.5, confidence=0.9)
        for at, word in enumerate(text.split())
    )
    return Transcript(
        text=text,
        words=words,
        alternatives=(Alternative(text=text, score=1.0),),
        from_s=0.0,
        to_s=float(len(words)),
        engine="told beforehand",
    )


@pytest.mark.parametrize("heard", [False, True])
def test_a_memo_is_a_text_or_a_transcript(farm: Farm, heard: bool) -> None:
    text = "nine eggs from coop b"
    parse = voicelog.parse_memo(transcript(text) if heard else text, farm, NOW)
    assert isinstance(parse, Parse)
    assert parse.memo == text
    (record,) = parse.records
    assert (record.kind, record.status, record.place) == ("eggs", Status.DONE, "coop B")
    assert record.slots["count"] == 9
    assert record.when.from_ == record.when.to == NOW


def test_without_a_farm_and_a_time(farm: Farm) -> None:
    parse = voicelog.parse_memo("nine eggs")
    assert parse.now.utcoffset() is not None
    assert abs(parse.now - datetime.now(UTC)) < timedelta(minutes=2)
    offset = voicelog.parse_memo("nine eggs", farm=farm).now.utcoffset()
    assert offset == datetime.now(ZoneInfo(farm.timezone)).utcoffset()


def test_a_time_leans_back_where_nothing_is_said() -> None:
    (back,) = voicelog.spoken_times("friday", NOW)
    (same,) = voicelog.spoken_times("friday", NOW, "past")
    (ahead,) = voicelog.spoken_times("friday", NOW, lean="future")
    assert back == same
    assert back.when.from_ == datetime(2027, 4, 30, tzinfo=NOW.tzinfo)
    assert ahead.when.from_ == datetime(2027, 5, 7, tzinfo=NOW.tzinfo)
    assert ahead.when.precision is Precision.DAY


TIMES = "moved it last friday, fed at seven 🐔 and since sunday twelve eggs"


def test_times_are_half_open_spans_with_aware_times_in_the_zone_of_now() -> None:
    spans = voicelog.spoken_times(TIMES, NOW)
    assert [TIMES[s.start : s.end] for s in spans] == ["last friday", "at seven", "since sunday"]
    for span in spans:
        for moment in (span.when.from_, span.when.to):
            assert moment is None or moment.tzinfo == NOW.tzinfo
    assert spans[-1].when.to is None


def test_numbers_are_half_open_spans() -> None:
    text = "twenty two eggs 🐔, 3.5 pounds and a dozen"
    found = [(text[s.start : s.end], s.value) for s in voicelog.spoken_numbers(text)]
    assert found[:2] == [("twenty two", 22), ("3.5", 3.5)]
    assert found[-1][1] == 12


@pytest.mark.parametrize(
    ("text", "said", "value", "unit"),
    [
        ("fed two and a half scoops", "two and a half scoops", 2.5, "scoop"),
        ("paid three dollars fifty cents", "three dollars fifty cents", 3.5, "dollar"),
        ("🐔 moved ten feet", "ten feet", 10, "foot"),
        ("gave 20 lbs", "20 lbs", 20, "lb"),
    ],
)
def test_a_quantity_is_one_span_with_its_unit(
    text: str, said: str, value: float, unit: str
) -> None:
    (span,) = voicelog.spoken_quantities(text)
    assert (text[span.start : span.end], span.value, span.unit) == (said, value, unit)


def test_a_repeat_has_a_rule_and_no_end_without_a_time() -> None:
    text = "🐔 clean it every other monday until june first"
    (plain,) = voicelog.spoken_repeats(text)
    (dated,) = voicelog.spoken_repeats(text, NOW)
    assert text[plain.start : plain.end].startswith("every other monday")
    rule = "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO"
    assert set(plain.rrule.split(";")) == set(rule.split(";"))
    assert "UNTIL=2027" in dated.rrule


@pytest.mark.parametrize("name", ["spoken_times", "spoken_quantities", "spoken_repeats"])
def test_nothing_said_gives_no_span(name: str) -> None:
    more = (NOW,) if name == "spoken_times" else ()
    for text in ("", "   ", "\x00\u2028", "the hens are happy"):
        assert getattr(voicelog, name)(text, *more) == ()


def test_now_must_have_a_zone() -> None:
    with pytest.raises(ValueError, match="aware"):
        voicelog.spoken_times("friday", NOW.replace(tzinfo=None))


def test_a_recording_is_transcribed() -> None:
    heard = voicelog.hearing.transcribe(RECORDINGS / "limping.ogg")
    assert isinstance(heard, Transcript)
    assert " ".join(word.text for word in heard.words) == heard.text
    assert heard.engine
    for word in heard.words:
        assert 0 <= word.from_s <= word.to_s
        assert 0 <= word.confidence <= 1
