"""What a stretch of a memo holds, whatever kind it is read as; found once a stretch."""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.understanding.mentions import Amount, Mentions, Name, TimeSaid


@dataclass(frozen=True, slots=True)
class Ground:
    """One stretch: its names, amounts and times, and the words that steer it."""

    names: list[Name]
    amounts: list[Amount]
    times: list[TimeSaid]
    undone: bool
    """True where a word of not doing stands in it."""
    steered: bool
    """True where a word of not doing or of a plan stands in it."""
    again: bool
    """True where it says that something is the same as before."""
    shared: bool
    """True where it says that one thing holds for several places: each, both, none."""


class GroundSurvey:
    """The grounds of one memo."""

    def __init__(self, mentions: Mentions) -> None:
        self._mentions = mentions
        self._found: dict[tuple[int, int], Ground] = {}

    def of(self, first: int, last: int) -> Ground:
        """The ground from token `first` to `last` (exclusive)."""
        span = (first, last)
        if span not in self._found:
            mentions = self._mentions
            undone = mentions.says(first, last, "not_done")
            steered = undone or mentions.says(first, last, "planned")
            self._found[span] = Ground(
                names=mentions.names_in(first, last),
                amounts=mentions.amounts_in(first, last),
                times=mentions.times_in(first, last),
                undone=undone,
                steered=steered,
                again=mentions.says(first, last, "same_again", "as_well"),
                shared=steered or mentions.says(first, last, "each", "both", "negative_count"),
            )
        return self._found[span]
