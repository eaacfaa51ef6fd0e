"""What everything that is watched stands on: the records, the farm, and the moment asked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from voicelog.catalogue import load_catalogue
from voicelog.catalogue.watching import Line, Watching, load_watching
from voicelog.records import Wanted
from voicelog.records.moments import begins
from voicelog.sentences import day_text, listed
from voicelog.types import Draft, Record, Status, frozen_slots

if TYPE_CHECKING:
    from voicelog.app.notebook import Notebook
    from voicelog.farm import Farm
    from voicelog.records import Store

_INSTANT = timedelta(microseconds=1)
_ANY_CLASS = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """Something that is due today beside the chores."""

    what: str
    """Its name in the catalogue."""
    chore: str
    """Words to show."""
    place: str | None
    birds: tuple[str, ...]
    """Birds or flocks by name, or the word for their class."""
    on: date
    """The day from which it is due."""
    overdue_days: int
    """Days since the last day on which it was to be done; 0 where that is not past."""
    because: str
    caution: str | None
    """The words of the caution that goes with it."""
    evidence: tuple[int, ...]
    """Ids of the records it rests on; empty where it rests on the farm file alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The ground of one look; later records and memos are not seen."""

    store: Store
    farm: Farm
    now: datetime
    """Aware, in the farm's zone."""
    watching: Watching

    @property
    def today(self) -> date:
        """The farm's day."""
        return self.now.date()

    @property
    def zone(self) -> tzinfo:
        """The farm's own."""
        assert self.now.tzinfo is not None
        return self.now.tzinfo

    def wanted(self, name: str, days: float) -> tuple[Wanted, ...]:
        """Done records of the last days that say a mark, one question for each."""
        return tuple(
            Wanted(
                kinds=(mark.kind,),
                statuses=(Status.DONE,),
                slots=frozen_slots({mark.slot: mark.value} if mark.slot and mark.value else None),
                when_from=self.now - timedelta(days=days),
                when_to=self.now + _INSTANT,
                as_of=self.now,
            )
            for mark in self.watching.marks[name]
        )

    def records(self, name: str, days: float) -> tuple[Record, ...]:
        """Done records of the last days that say a mark of that name, the oldest first."""
        found = {
            record.id: record
            for wanted in self.wanted(name, days)
            for record in self.store.find(wanted)
            if self.watching.says(name, record.draft)
        }
        return tuple(sorted(found.values(), key=lambda r: (self.begins(r), r.id)))

    def latest_by_place(self, name: str, days: float) -> dict[str | None, Record]:
        """The newest such record at each place."""
        found: dict[str | None, Record] = {}
        for wanted in self.wanted(name, days):
            for at in self.store.latest_by_place(wanted):
                other = found.get(at.place)
                if other is None or self.begins(other) < self.begins(at.record):
                    found[at.place] = at.record
        return found

    def since(self, wanted: Wanted, moment: datetime) -> Wanted:
        """The same, from a moment on."""
        return replace(wanted, when_from=moment)

    def begins(self, record: Record) -> datetime:
        """When a record begins, in the farm's zone."""
        return begins(record.draft.when, record.memo_said_at).astimezone(self.zone)

    def day(self, record: Record) -> date:
        """The day on which a record begins."""
        return self.begins(record).date()

    def day_text(self, day: date) -> str:
        """A day as it is called now."""
        return day_text(day, self.now)

    def class_of(self, flock: str | None) -> str | None:
        """The class of a farm's flock or of a word for a class; None where it is neither."""
        if flock is None:
            return None
        own = (known.class_ for known in self.farm.flocks if known.name == flock)
        groups = (group.name for group in load_catalogue().classes if group.word == flock)
        return next(own, None) or next(groups, None)

    def flocks_of(self, draft: Draft) -> tuple[str, ...]:
        """The flocks a record is about: the one it names, and those of its birds."""
        named = (bird.flock for bird in self.farm.birds if bird.name in draft.birds)
        return tuple(dict.fromkeys(flock for flock in (draft.flock, *named) if flock))

    def homes_of(self, draft: Draft) -> tuple[str, ...]:
        """Where a record's birds live: the place it names, else the homes of its flocks."""
        if draft.place is not None:
            return (draft.place,)
        flocks = self.flocks_of(draft)
        homes = (flock.place for flock in self.farm.flocks if flock.name in flocks)
        return tuple(dict.fromkeys(home for home in homes if home))

    def whom(self, draft: Draft) -> str:
        """Whom a record is about, as closely as was said."""
        return listed(draft.birds) if draft.birds else draft.flock or draft.place or self.any_birds

    @property
    def any_birds(self) -> str:
        """The word for birds of no class in particular."""
        return next((c.word for c in load_catalogue().classes if c.name == _ANY_CLASS), "")

    def line(self, name: str) -> Line:
        """How something is told."""
        return self.watching.lines[name]

    def caution(self, line: Line) -> str | None:
        """The words of the caution that goes with a line."""
        return None if line.caution is None else load_catalogue().caution(line.caution).text


def ground_of(notebook: Notebook, now: datetime) -> Ground:
    """The ground of a notebook at a moment."""
    farm = notebook.setting.farm
    return Ground(
        store=notebook.reading,
        farm=farm,
        now=now.astimezone(ZoneInfo(farm.timezone)),
        watching=load_watching(),
    )
