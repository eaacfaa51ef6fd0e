"""One event of a memo, while what it means is being settled."""

from __future__ import annotations

from dataclasses import dataclass, field

from voicelog.catalogue import Kind
from voicelog.types import Status
from voicelog.understanding.mentions import Name, TimeSaid
from voicelog.understanding.reading import Reading, SaidSlot
from voicelog.understanding.stretches import Stretch


@dataclass(slots=True)
class Event:
    """One thing that happened, was left undone or is planned."""

    kind: Kind
    first: int
    last: int
    reading: Reading
    slots: dict[str, SaidSlot] = field(default_factory=dict)
    places: list[Name] = field(default_factory=list)
    flocks: list[Name] = field(default_factory=list)
    birds: list[Name] = field(default_factory=list)
    time: TimeSaid | None = None
    status: Status = Status.DONE
    follows: bool = False
    spans: list[tuple[int, int]] = field(default_factory=list)
    """Stretches of tokens that say it."""
    used: set[int] = field(default_factory=set)
    """Tokens of those stretches that say something of it."""
    doubts: list[str] = field(default_factory=list)

    @property
    def can_be_placed(self) -> bool:
        """Whether a place that was said before can be its own."""
        return self.kind.per_place or self.kind.flock_subject

    @staticmethod
    def of(stretch: Stretch, reading: Reading) -> Event:
        """The event of a stretch, with what its own words say."""
        left = set() if stretch.follows else reading.lent
        unused = {at for name in left & set(reading.slots)
                  for at in range(reading.slots[name].first, reading.slots[name].last)}  # fmt: skip
        return Event(
            kind=reading.kind,
            first=stretch.first,
            last=stretch.last,
            reading=reading,
            slots={name: said for name, said in reading.slots.items() if name not in left},
            places=list(reading.places),
            flocks=list(reading.flocks),
            birds=list(reading.birds),
            time=reading.time,
            follows=stretch.follows,
            spans=[(stretch.first, stretch.last)],
            used=reading.used - unused,
        )
