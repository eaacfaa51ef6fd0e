"""What readings say of a word, and that more agreement never makes it less likely."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog.hearing.confidence import LARGEST_LEAD, TEMPERATURE, Evidence, evidence
from voicelog.hearing.readings import Reading, TimedWord


def reading(text: str, score: float) -> Reading:
    words = tuple(
        TimedWord(text=word, from_s=number * 0.5, to_s=(number + 1) * 0.5)
        for number, word in enumerate(text.split())
    )
    return Reading(words=words, score=score)


def told(*readings: Reading, full: bool = False) -> tuple[Evidence, ...]:
    return evidence(readings[0], readings, full=full)


def test_a_word_leads_by_the_best_reading_without_it() -> None:
    first, second = told(
        reading("two hens", 10.0), reading("two pens", 9.0), reading("too hens", 7.5)
    )
    assert (first.lead, second.lead) == (2.5, 1.0)
    assert first.stretch_lead == second.stretch_lead == 1.75


def test_the_agreement_is_the_share_of_the_weight() -> None:
    one, _ = told(reading("six eggs", 10.0), reading("sick eggs", 10.0 - TEMPERATURE))
    assert one.agreement == pytest.approx(1.0)  # log odds of 1 / (1 + 1/e)


def test_a_word_of_all_readings_leads_by_the_most() -> None:
    one = told(reading("six", 10.0))[0]
    assert one.lead == LARGEST_LEAD


def test_behind_the_end_of_a_list_cut_short_nothing_is_known() -> None:
    readings = (reading("six eggs", 10.0), reading("six ex", 9.0))
    assert told(*readings)[0].lead == LARGEST_LEAD
    assert told(*readings, full=True)[0].lead == 1.0


def test_the_same_word_elsewhere_does_not_agree() -> None:
    one, other, _ = told(reading("ten one hens", 10.0), reading("one ten hens", 9.0))
    assert (one.lead, other.lead) == (1.0, 1.0)


ODDS = st.floats(-6.0, 6.0)
LEADS = st.floats(0.0, LARGEST_LEAD)


@given(ODDS, LEADS, LEADS, st.floats(0.01, 1.0))
def test_more_of_anything_makes_a_word_likelier(
    agreement: float, lead: float, stretch: float, more: float
) -> None:
    less = Evidence(agreement=agreement, lead=lead, stretch_lead=stretch).confidence
    assert 0.0 < less < 1.0
    for better in (
        Evidence(agreement=agreement + more, lead=lead, stretch_lead=stretch),
        Evidence(agreement=agreement, lead=lead + more, stretch_lead=stretch),
        Evidence(agreement=agreement, lead=lead, stretch_lead=stretch + more),
    ):
        assert less < better.confidence < 1.0


def test_a_word_nothing_speaks_against_is_trusted_and_one_that_is_open_is_not() -> None:
    sure = Evidence(agreement=6.0, lead=LARGEST_LEAD, stretch_lead=LARGEST_LEAD).confidence
    even = Evidence(agreement=math.log(1.0), lead=0.0, stretch_lead=1.0).confidence
    assert sure > 0.95
    assert even < 0.5
