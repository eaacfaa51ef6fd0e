"""What every answer stands on: the store, the farm, what is declared, and the moment asked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from voicelog.catalogue import Catalogue, expand
from voicelog.catalogue.asking import Asking
from voicelog.farm import Farm
from voicelog.records.moments import begins
from voicelog.types import Record

if TYPE_CHECKING:
    from voicelog.records.store import Store

_ANY_CLASS = "other"
INSTANT = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The ground of one answer."""

    store: Store
    farm: Farm
    catalogue: Catalogue
    asking: Asking
    now: datetime
    """Aware, in the farm's zone: later records and memos are not seen."""

    @property
    def zone(self) -> ZoneInfo:
        """The farm's own."""
        return ZoneInfo(self.farm.timezone)

    def begins(self, record: Record) -> datetime:
        """When a record begins, in the farm's zone."""
        return begins(record.draft.when, record.memo_said_at).astimezone(self.zone)

    def day_start(self, moment: datetime) -> datetime:
        """Midnight at the beginning of the calendar day of a moment."""
        return datetime.combine(moment.astimezone(self.zone).date(), time(), tzinfo=self.zone)

    def class_of(self, flock: str) -> str | None:
        """The class of a farm's flock or of a class word; None where it is neither."""
        for own in self.farm.flocks:
            if own.name == flock:
                return own.class_
        return next((c.name for c in self.catalogue.classes if c.word == flock), None)

    def is_class_word(self, flock: str) -> bool:
        """Whether the word means a class of birds and no flock alone."""
        return any(c.word == flock for c in self.catalogue.classes)

    def one_of_class(self, flock: str) -> str | None:
        """One bird of a class, by the word for it; None for a flock by its own name."""
        return next(
            (expand(c.words[0])[0] for c in self.catalogue.classes if c.word == flock), None
        )

    @property
    def any_birds(self) -> str:
        """The word for birds of no class in particular."""
        return next((c.word for c in self.catalogue.classes if c.name == _ANY_CLASS), "")

    def farm_name(self, folded: str) -> str:
        """A place's, bird's or flock's name as the farm file prints it, given as it is compared."""
        names = [place.name for place in self.farm.places]
        names += [bird.name for bird in self.farm.birds]
        return next((name for name in names if name.casefold() == folded), folded)
