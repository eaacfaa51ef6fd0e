"""What every pass over one memo gave, kept together so that the way to a record can be told.

`Parser.passes` fills it; `explaining.py` reads it.
"""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.types import Parse
from voicelog.understanding.event import Event
from voicelog.understanding.filling import Reader
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.steering import Steered
from voicelog.understanding.stretches import Stretch


@dataclass(frozen=True, slots=True, kw_only=True)
class Passes:
    """One memo on its way through the passes, in their order."""

    found: Mentions
    """All that is mentioned."""
    mentions: Mentions
    """The same without what was taken back."""
    corrected: frozenset[int]
    """Tokens that fell away with what was taken back."""
    reader: Reader
    steered: Steered
    stretches: tuple[Stretch, ...]
    """What was told, cut up."""
    events: tuple[Event, ...]
    """In the order of the first records of `parse`."""
    remarks: tuple[tuple[int, int], ...]
    """Ranges of tokens kept as remarks: the records after those of the events."""
    left: tuple[int, ...]
    """Tokens that nothing used."""
    parse: Parse
