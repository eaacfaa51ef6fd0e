"""The sounds that the acoustic models tell apart, and the numbers they have in a model.

A phone is one of the 39 of the ARPAbet or silence. Written with its position in a word (begin,
end, internal, singleton) it has a number of its own, so that the recogniser finds the edges of
words; how it sounds depends on the phone and on the one before it, not on the position. Each such
pair has a state that is entered once (forward) and repeated (self-loop); the two transitions out
of it are numbered through all pairs, in the order of the numbered phones and then of the phone
before.

The phones and their letters are those of CMUdict (Carnegie Mellon University).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Pronunciation = tuple[str, ...]
"""The phones of a word without stress: ("K", "UW", "P")."""

_VOWELS = ("AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW")
_STOPS = ("B", "CH", "D", "G", "JH", "K", "P", "T")
_FRICATIVES = ("DH", "F", "HH", "S", "SH", "TH", "V", "Z", "ZH")
_OTHERS = ("L", "M", "N", "NG", "R", "W", "Y")

ARPABET = tuple(sorted(_VOWELS + _STOPS + _FRICATIVES + _OTHERS))

BASE_PHONES = ("SIL", *ARPABET)
"""Place in it: the number of a phone without position."""

SILENCE = 0

BEGIN, END, INTERNAL, SINGLETON = range(4)
POSITIONS = ("begin", "end", "internal", "singleton")
_SUFFIXES = ("_B", "_E", "_I", "_S")

_FIRST_PLACED = 2
"""Number of the first phone with a position; 0 is no phone, 1 is silence."""

PHONE_COUNT = _FIRST_PLACED - 1 + len(POSITIONS) * len(ARPABET)
Number = TypeVar("Number", int, "NDArray[np.int64]")


def phone_number(base: Number, position: Number) -> Number:
    """The number of a phone at a position of a word; not for silence."""
    return _FIRST_PLACED + len(POSITIONS) * (base - 1) + position


SILENCE_NUMBER = 1
"""The number of silence, which has no position."""


def forward_transition(phone: Number, before: Number) -> Number:
    """The transition into a numbered phone said after a base phone; its label in the graph."""
    return 2 * ((phone - 1) * len(BASE_PHONES) + before) + 2


def self_loop(forward: Number) -> Number:
    """The transition that prolongs what a forward transition began."""
    return forward - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class TransitionState:
    """One line of a model's list of transition states, in the order of their transitions."""

    phone: int
    """Numbered phone."""
    forward_output: int
    """Output of the network that scores the entering frame."""
    loop_output: int
    """Output of the network that scores the frames after it."""


def transition_states() -> Iterator[TransitionState]:
    """All states of a model: each numbered phone after each base phone."""
    for phone in range(1, PHONE_COUNT + 1):
        for before in range(len(BASE_PHONES)):
            pair = before * len(BASE_PHONES) + _base(phone)
            yield TransitionState(phone=phone, forward_output=2 * pair, loop_output=2 * pair + 1)


def phone_names() -> Iterator[tuple[str, int]]:
    """Names and numbers of all phones, from nothing (0) on, as a graph folder lists them."""
    yield "<eps>", 0
    yield BASE_PHONES[SILENCE], SILENCE_NUMBER
    for base, name in enumerate(ARPABET, start=1):
        for position, suffix in enumerate(_SUFFIXES):
            yield name + suffix, phone_number(base, position)


def word_boundaries() -> Iterator[tuple[int, str]]:
    """For each numbered phone where in a word it stands, in the recogniser's words."""
    yield SILENCE_NUMBER, "nonword"
    for phone in range(_FIRST_PLACED, PHONE_COUNT + 1):
        yield phone, POSITIONS[(phone - _FIRST_PLACED) % len(POSITIONS)]


def _base(phone: int) -> int:
    if phone == SILENCE_NUMBER:
        return SILENCE
    return 1 + (phone - _FIRST_PLACED) // len(POSITIONS)
