"""The words of spoken time, each standing in one table.

The tables are read by the grammar, and their words make up `TIME_WORDS`, which a recogniser
must be able to hear.
"""

from __future__ import annotations

from voicelog.text import number_words
from voicelog.types import Precision


def listed(text: str) -> frozenset[str]:
    """The words of a text as a set."""
    return frozenset(text.split())


WEEKDAYS = {
    "monday": 0, "tuesday": 1, "wednesday": 2, "thursday": 3, "friday": 4, "saturday": 5,
    "sunday": 6, "wednsday": 2,
}  # fmt: skip
SHORT_WEEKDAYS = {
    "mon": 0, "tue": 1, "tues": 1, "wed": 2, "weds": 2, "thu": 3, "thur": 3, "thurs": 3,
    "fri": 4, "sat": 5, "sun": 6,
}  # fmt: skip
"""Written only; some are words of their own ("sat", "sun"), so they need a date beside them."""

MONTHS = {
    "january": 1, "february": 2, "march": 3, "april": 4, "may": 5, "june": 6, "july": 7,
    "august": 8, "september": 9, "october": 10, "november": 11, "december": 12,
}  # fmt: skip
SHORT_MONTHS = {
    "jan": 1, "feb": 2, "mar": 3, "apr": 4, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "sept": 9,
    "oct": 10, "nov": 11, "dec": 12,
}  # fmt: skip
DOUBTFUL_MONTHS = frozenset({"may", "march", "april", "june", "august", *SHORT_MONTHS})
"""Also verbs and given names: alone they are no month, a preposition or a date makes them one."""

SEASONS = {"spring": 0, "summer": 1, "autumn": 2, "fall": 2, "winter": 3}

UNITS = {
    "second": "second", "seconds": "second", "sec": "second", "secs": "second",
    "minute": "minute", "minutes": "minute", "min": "minute", "mins": "minute",
    "hour": "hour", "hours": "hour", "hr": "hour", "hrs": "hour",
    "day": "day", "days": "day", "week": "week", "weeks": "week", "fortnight": "fortnight",
    "weekend": "weekend", "weekends": "weekend", "month": "month", "months": "month",
    "season": "season", "seasons": "season", "year": "year", "years": "year",
}  # fmt: skip
UNIT_PRECISION = {
    "second": Precision.MINUTE, "minute": Precision.MINUTE, "hour": Precision.HOUR,
    "day": Precision.DAY, "week": Precision.WEEK, "fortnight": Precision.WEEK,
    "weekend": Precision.DAY, "month": Precision.MONTH, "season": Precision.SEASON,
    "year": Precision.YEAR,
}  # fmt: skip

PARTS = {
    "mornin": (5, 12), "evenin": (17, 21),
    "morning": (5, 12), "afternoon": (12, 17), "evening": (17, 21), "night": (21, 29),
    "tonight": (21, 29), "tonite": (21, 29), "overnight": (21, 29),
    "mornings": (5, 12), "afternoons": (12, 17), "evenings": (17, 21), "nights": (21, 29),
    "nighttime": (21, 29), "daytime": (5, 21),
}  # fmt: skip
"""Hours of the day at which a part begins and ends; past 24 they are those of the next day."""

SUN_WORDS = {
    "dawn": "dawn", "daybreak": "dawn", "sunup": "sunrise", "sunrise": "sunrise",
    "dusk": "dusk", "nightfall": "dusk", "dark": "dusk", "sundown": "sunset", "sunset": "sunset",
}  # fmt: skip

NAMED_HOURS = {"noon": 12, "midday": 12, "noontime": 12, "midnight": 24}
DAY_WORDS = {"today": 0, "yesterday": -1, "tomorrow": 1, "tmrw": 1, "tomorrer": 1}

LAST = frozenset({"last", "previous"})
PAST = frozenset({"past"})
THIS = frozenset({"this", "current", "same"})
NEXT = frozenset({"next", "coming", "following"})
EARLY = frozenset({"early", "beginning", "start"})
MIDDLE = frozenset({"mid", "middle"})
LATE = frozenset({"late", "end"})
THIRDS = {**dict.fromkeys(EARLY, 0), **dict.fromkeys(MIDDLE, 1), **dict.fromkeys(LATE, 2)}

ABOUT = frozenset({"around", "about", "roughly", "approximately", "circa", "near"})
SINCE = frozenset({"since"})
UNTIL = frozenset({"until", "till", "til"})
BEFORE = frozenset({"before"})
AFTER = frozenset({"after"})
TO = frozenset({"to", "through", "thru", "until", "till", "til", "-", "–", "—", "~"})

FUNCTION_WORDS = listed(
    "i we he she they it you and but or so then at in on from to until till through was were is "
    "are had have has did for with because when while that this a an the as not my our all still "
    "already again before after by please"
)
"""After one of these a number stands for itself and counts nothing."""

BEFORE_A_CLOCK = listed("at @ by since around about until till before after it's its was is")

FILLERS = frozenset({"uh", "um", "er", "ah", "hmm", "erm"})
"""Heard inside a phrase they change nothing."""

FEASTS = frozenset({"good", "black", "ash", "easter", "palm", "shrove", "cyber", "maundy", "whit"})
"""Before a weekday they make a feast of it, and a feast is no time."""

REPEAT_WORDS = frozenset({"every", "each", "per"})
"""What follows these is a repetition, not a time."""

SMALL_NUMBERS = {"zero": 0} | number_words.ONES | number_words.TEENS
TENS = number_words.TENS
SMALL_ORDINALS = number_words.ORDINALS
ORDINAL_ENDINGS = frozenset({"st", "nd", "rd", "th"})

_JOINING = listed(
    "a an the at on in of from for by since until till before after ago between and to through "
    "around about past half quarter o'clock oclock am pm now just right earlier later first "
    "thing light moment present week's rest all during within over beginning starting oh "
    "couple few several last next this coming previous following current same early late mid "
    "middle end start beginning"
)

_ONLY_WRITTEN = listed("wednsday tonite sec secs min mins hr hrs")

TIME_WORDS: frozenset[str] = frozenset(
    word
    for word in (
        *WEEKDAYS, *MONTHS, *SEASONS, *UNITS, *PARTS, *SUN_WORDS, *NAMED_HOURS, *DAY_WORDS,
        *SMALL_NUMBERS, *TENS, *SMALL_ORDINALS, *_JOINING, *REPEAT_WORDS, "hundred", "thousand",
        "other", "daily", "weekly", "monthly", "yearly", "once", "twice", "times",
    )
    if word not in _ONLY_WRITTEN
)  # fmt: skip
"""Every word a recogniser must hear for the grammar to be of use."""
