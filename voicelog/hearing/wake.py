"""Words that a spoken memo must begin with to count, so that talk to others is not kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from voicelog.types import Transcript


def is_called(text: str, wake: Sequence[str]) -> bool:
    """Whether words begin with the wake words, or, being fewer, with the first of them."""
    said = text.split()[: len(wake)]
    return said == list(wake[: len(said)])


def without_wake(transcript: Transcript, wake: Sequence[str]) -> Transcript | None:
    """The transcript without its wake words; None where it does not begin with them.

    None as well where nothing follows them. Readings that begin otherwise are left out.
    """
    count = len(wake)
    words = transcript.words[count:]
    if [word.text for word in transcript.words[:count]] != list(wake) or not words:
        return None
    others = (
        replace(other, text=" ".join(other.text.split()[count:]))
        for other in transcript.alternatives
        if other.text.split()[:count] == list(wake)
    )
    return replace(
        transcript,
        text=" ".join(word.text for word in words),
        words=words,
        alternatives=tuple(other for other in others if other.text),
    )
