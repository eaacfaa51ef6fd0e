"""What holds for every text: spans slice back, reading is settled, fillers change nothing."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.text.repeats import find_repeats
from voicelog.text.times import TIME_WORDS, cut_off, find_times
from voicelog.text.times.words import FILLERS

ZONES = ("Pacific/Auckland", "America/St_Johns", "America/New_York", "UTC")
SAID = (
    "at seven", "last night", "this morning", "two days ago", "yesterday at half past six",
    "on friday", "the third of may", "since monday", "from monday to wednesday", "tomorrow",
    "the last ten days", "last week", "in april", "early this morning", "at ten to eight",
)  # fmt: skip

zones = st.sampled_from(ZONES).map(ZoneInfo)
moments = st.builds(
    lambda moment, zone: moment.astimezone(zone).replace(second=0, microsecond=0),
    st.integers(0, 4_000_000_000).map(lambda seconds: datetime.fromtimestamp(seconds, UTC)),
    zones,
)
wordy = st.lists(
    st.sampled_from([*sorted(TIME_WORDS), "eggs", "coop", ",", "-", "3", "15", "7:30", "2027"]),
    max_size=14,
).map(" ".join)
texts = st.one_of(st.text(max_size=80), wordy)
leans = st.sampled_from(["past", "future", "none"])


@given(text=texts, now=moments, lean=leans)
def test_any_text_is_read_without_fault_and_the_same_again(
    text: str, now: datetime, lean: str
) -> None:
    spans = find_times(text, now, lean)  # type: ignore[arg-type]
    assert spans == find_times(text, now, lean)  # type: ignore[arg-type]
    end = 0
    for span in spans:
        assert end <= span.start < span.end <= len(text)
        assert text[span.start : span.end] == text[span.start : span.end].strip()
        end = span.end


@given(text=texts, now=moments)
def test_no_interval_ends_before_it_begins(text: str, now: datetime) -> None:
    for span in find_times(text, now):
        for when in (span.when, cut_off(span.when, now)):
            if when.from_ is not None and when.to is not None:
                assert when.from_.astimezone(UTC) <= when.to.astimezone(UTC)
            for moment in (when.from_, when.to):
                assert moment is None or moment.tzinfo is now.tzinfo


@given(text=texts, now=st.none() | moments)
def test_any_text_gives_repetitions_or_none(text: str, now: datetime | None) -> None:
    spans = find_repeats(text, now)
    assert spans == find_repeats(text, now)
    end = 0
    for span in spans:
        assert end <= span.start < span.end <= len(text)
        assert span.rrule.startswith("FREQ=")
        end = span.end


@given(said=st.sampled_from(SAID), now=moments, filler=st.sampled_from(sorted(FILLERS)))
def test_a_filler_between_the_words_changes_nothing(said: str, now: datetime, filler: str) -> None:
    stumbled = f" {filler} ".join(said.split())
    assert [span.when for span in find_times(stumbled, now)] == [
        span.when for span in find_times(said, now)
    ]


@given(said=st.sampled_from(SAID), now=moments)
def test_case_changes_nothing(said: str, now: datetime) -> None:
    assert find_times(said.upper(), now) == find_times(said, now)


@given(said=st.sampled_from(SAID), now=moments)
def test_words_around_change_nothing(said: str, now: datetime) -> None:
    text = f"collected twenty eggs {said}, and the rest was fine"
    spans = find_times(text, now)
    assert [span.when for span in spans] == [span.when for span in find_times(said, now)]
    assert text[spans[0].start : spans[0].end] in said


@given(said=st.sampled_from(SAID), now=moments)
def test_what_is_done_begins_by_now(said: str, now: datetime) -> None:
    if said in ("tomorrow", "this morning", "early this morning"):
        return
    for span in find_times(said, now):
        assert span.when.from_ is None or span.when.from_.astimezone(UTC) <= now.astimezone(UTC)


@given(count=st.integers(1, 400), now=moments)
def test_days_ago_count_back_on_the_calendar(count: int, now: datetime) -> None:
    (span,) = find_times(f"{count} days ago", now)
    assert span.when.from_ is not None
    assert span.when.from_.date() == now.date() - timedelta(days=count)


@pytest.mark.parametrize(
    "piece", ["end of the ", "1 day 1 hour ", "two days before ", "from 1 to ", "every day except "]
)
def test_no_text_makes_the_reading_fail_by_its_depth(piece: str) -> None:
    now = datetime(2027, 5, 4, 8, 10, tzinfo=ZoneInfo("UTC"))
    text = piece * 300
    assert all(span.end <= len(text) for span in find_times(text, now))
    assert all(span.end <= len(text) for span in find_repeats(text, now))
