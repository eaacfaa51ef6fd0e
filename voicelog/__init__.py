"""Speak the chores of a small flock; get records, answers, what is left, and a review. Offline.

    parse_memo("two scoops for coop b", farm, now)   -> Parse
    spoken_times("last friday", now)                 -> TimeSpan, ...
    spoken_numbers("twenty, no, twenty-two")         -> NumberSpan, ...
    spoken_quantities("two and a half scoops")       -> QuantitySpan, ...
    spoken_repeats("every other monday")             -> RepeatSpan, ...
    hearing.transcribe(path)                         -> Transcript, ...
    hearing.build_model(sentences, words, out)       a speech model for any words
    husbandry                                        the sums of the trade

Importing this package loads none of the libraries behind these; each loads what it needs when
it is first called.
"""

from __future__ import annotations

from datetime import datetime
from importlib import import_module
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from voicelog.farm import Farm
    from voicelog.types import (
        NumberSpan,
        Parse,
        QuantitySpan,
        RepeatSpan,
        TimeSpan,
        Transcript,
    )

__all__ = [
    "__version__",
    "parse_memo",
    "spoken_numbers",
    "spoken_quantities",
    "spoken_repeats",
    "spoken_times",
]

__version__ = "0.1.0"

_ROOMS = frozenset({"answering", "catalogue", "errors", "farm", "hearing", "husbandry", "types"})


def parse_memo(
    text_or_transcript: str | Transcript, farm: Farm | None = None, now: datetime | None = None
) -> Parse:
    """Understand a memo; nothing is stored.

    Args:
        text_or_transcript: what was typed or heard.
        farm: whose names are known; None for a farm about which nothing was written down.
        now: aware, when it was said; None for the present in the farm's time zone.
    """
    from voicelog import clock, understanding
    from voicelog.farm import EMPTY_FARM

    said_at = now or clock.now_in((farm or EMPTY_FARM).timezone)
    return understanding.parse_memo(text_or_transcript, farm, said_at)


def spoken_times(
    text: str, now: datetime, lean: Literal["past", "future"] = "past"
) -> tuple[TimeSpan, ...]:
    """The times said in a text, in order.

    Args:
        text: what was said.
        now: aware; intervals come back in its zone.
        lean: which way "friday" points where the words leave it open.
    """
    from voicelog.text.times import find_times

    return find_times(text, now, lean)


def spoken_numbers(text: str) -> tuple[NumberSpan, ...]:
    """The numbers said or written in a text, in order."""
    from voicelog.text.numbers import find_numbers

    return find_numbers(text)


def spoken_quantities(text: str) -> tuple[QuantitySpan, ...]:
    """The amounts with a unit said or written in a text, in order."""
    from voicelog.text.quantities import find_quantities

    return find_quantities(text)


def spoken_repeats(text: str, now: datetime | None = None) -> tuple[RepeatSpan, ...]:
    """The repetitions said in a text, in order; without `now`, UNTIL is left out."""
    from voicelog.text.repeats import find_repeats

    return find_repeats(text, now)


def __getattr__(name: str) -> object:
    """Load a room when it is first asked for, as in `voicelog.hearing`."""
    if name in _ROOMS:
        return import_module(f"voicelog.{name}")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
