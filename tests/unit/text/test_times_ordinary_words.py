"""Words of time in another sense, and numbers that count something: none of them is a time."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from voicelog.text.times import TIME_WORDS, find_times

NOW = datetime(2027, 5, 4, 8, 10, tzinfo=ZoneInfo("America/New_York"))

NO_TIME = """
we may be out of feed
may need more shavings
this may take longer than planned
march the hens over to the other pen
a second coop
the second hen is limping
give it a second
one second please
the feeder took a fall
spring is broken on the door
the spring on the latch
filled it from the spring
august is broody
june went broody again
april laid one
the sun was out and the hen sat
in the sun
sat on the nest
day old chicks
one day old chicks
the old days
good day
three weeks old
seven eggs
six point four
coop two
coop b five eggs
fence reads six point four kilovolts
fence at six point five kilovolts
fence at six feet
the lamp at ninety five
got five from coop a and six from coop b
nine in the north coop four in the south
from six to eight eggs a day
four to five eggs
production went from six to eight
collected ten to twelve
five of seven hatched
one half of a bale
a quarter of a bale
half a scoop
at least two
at most six
moved it by ten feet
a ten by twelve pen
gave 1/2 cup
on 1/2 acre
two dozen
after lunch
before feeding
for three days
every morning
each friday
every day at six
on mondays
three times a day
happy easter
on good friday
easter monday
at christmas
then again
last egg of the tray
the last hen
past the gate
next to the coop
coop a m
i am
room 1230
call 555 1212
""".strip().splitlines()  # fmt: skip


def read(text: str) -> list[str]:
    return [text[span.start : span.end] for span in find_times(text, NOW)]


@pytest.mark.parametrize("text", [line for line in NO_TIME if line != "every day at six"])
def test_ordinary_words_are_no_time(text: str) -> None:
    assert read(text) == []


def test_only_the_clock_of_a_repetition_is_left() -> None:
    assert read("every day at six") == ["at six"]


def test_a_dose_between_two_days_is_left_alone() -> None:
    assert read("gave 2 ml on monday and 3 ml on wednesday") == ["monday", "wednesday"]


@pytest.mark.parametrize("text", ["02/30/2027", "13/31/2027", "25:12", "8/32", "june 31 2027"])
def test_dates_that_no_calendar_has_are_none(text: str) -> None:
    assert read(text) == []


def test_the_recogniser_is_told_every_word_of_time() -> None:
    spoken = "half past quarter to o'clock noon midnight dawn dusk tonight yesterday tuesday may"
    assert set(spoken.split()) <= TIME_WORDS
    assert all(word == word.lower() for word in TIME_WORDS)
