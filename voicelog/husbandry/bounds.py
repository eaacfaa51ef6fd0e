"""Numbers that make no sense are refused before anything is reckoned from them."""

from __future__ import annotations

from math import isfinite

from voicelog.errors import RequestError


def at_least_zero(value: float, what: str) -> float:
    """The value, where it is a finite number of 0 or more.

    Raises:
        RequestError: it is not; `what` names it in the sentence.
    """
    if not isfinite(value) or value < 0:
        raise RequestError(
            f"{what} is given as {value}, which is no amount.",
            kept="Nothing was reckoned.",
            todo="Give a number of 0 or more.",
        )
    return value


def above_zero(value: float, what: str) -> float:
    """The value, where it is a finite number above 0.

    Raises:
        RequestError: it is not; `what` names it in the sentence.
    """
    if not isfinite(value) or value <= 0:
        raise RequestError(
            f"{what} is given as {value}, and nothing can be divided by that.",
            kept="Nothing was reckoned.",
            todo="Give a number above 0.",
        )
    return value
