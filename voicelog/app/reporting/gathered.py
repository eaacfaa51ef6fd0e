"""What a page is made from: the farm, and the records of the period, read once.

Only the period is read. What a calendar needs from before it (eggs set three weeks ago, where the
birds stood) is asked for by kind and with a limit to how far back.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

from voicelog.app.notebook import Notebook
from voicelog.catalogue import Catalogue, load_catalogue
from voicelog.catalogue.laying import Laying, load_laying
from voicelog.catalogue.reporting import Reporting, Use, load_reporting
from voicelog.catalogue.units import find_unit, singular
from voicelog.farm import Farm
from voicelog.husbandry import converted
from voicelog.records import Wanted
from voicelog.types import Quantity, Record, SlotValue, Status

INSTANT = timedelta(microseconds=1)


@dataclass(frozen=True, kw_only=True)
class Gathered:
    """One farm's records of a period, as they were known at `now`."""

    notebook: Notebook
    first: date
    now: datetime
    """Aware, on the farm's clock."""
    catalogue: Catalogue = field(default_factory=load_catalogue)
    reporting: Reporting = field(default_factory=load_reporting)
    laying: Laying = field(default_factory=load_laying)

    @property
    def farm(self) -> Farm:
        """The farm file."""
        return self.notebook.setting.farm

    @cached_property
    def zone(self) -> ZoneInfo:
        """In which days begin and end."""
        return ZoneInfo(self.farm.timezone)

    @property
    def last(self) -> date:
        """The day of `now`, the last one of the period."""
        return self.now.date()

    @cached_property
    def days(self) -> tuple[date, ...]:
        """Every day of the period since anything was noted: before that nothing was missed."""
        return days_between(self.noted_from, self.last)

    @cached_property
    def noted_from(self) -> date:
        """The first day of the period, or that of the oldest record where it is later."""
        wanted = Wanted(statuses=(Status.DONE,), when_to=self.now + INSTANT, as_of=self.now)
        oldest = self.notebook.reading.find(wanted, newest_first=False, limit=1)
        return max([self.first, *(self.day(record) for record in oldest)])

    @property
    def day_axis(self) -> str:
        """What the days beside a plot are called, with their years."""
        years = dict.fromkeys((self.first.year, self.last.year))
        return self.say("day_axis", years="–".join(str(year) for year in years))

    @cached_property
    def by_kind(self) -> dict[str, tuple[Record, ...]]:
        """Done records of the period by kind, oldest first."""
        found: dict[str, list[Record]] = {}
        for record in self._find((), self.first):
            found.setdefault(record.draft.kind, []).append(record)
        return {kind: tuple(records) for kind, records in found.items()}

    def use(self, name: str) -> Use:
        """The slot that numbers are read from under a name."""
        return self.reporting.uses[name]

    def of(self, name: str) -> tuple[Record, ...]:
        """Records of the period of the kind that a named slot belongs to."""
        return self.by_kind.get(self.use(name).kind, ())

    def since(self, kind: str, first: date | None) -> tuple[Record, ...]:
        """Done records of a kind from a day until now, oldest first; all where it is None."""
        if first is not None and first >= self.first:
            records = self.by_kind.get(kind, ())
            return tuple(record for record in records if self.day(record) >= first)
        return self._find((kind,), first)

    def newest_before(self, kind: str, **slots: SlotValue) -> Record | None:
        """The newest done record of a kind before the period with these slots."""
        wanted = Wanted(
            kinds=(kind,),
            statuses=(Status.DONE,),
            slots=slots,
            when_to=self.begin(self.first),
            as_of=self.now,
        )
        return next(iter(self.notebook.reading.find(wanted, limit=1)), None)

    def begin(self, day: date) -> datetime:
        """When a day begins on the farm."""
        return datetime.combine(day, time(), tzinfo=self.zone)

    def at(self, record: Record) -> datetime:
        """When a record begins, on the farm's clock."""
        when = record.draft.when
        return (when.from_ or when.to or record.memo_said_at).astimezone(self.zone)

    def day(self, record: Record) -> date:
        """The day on which a record begins."""
        return self.at(record).date()

    def slot(self, record: Record, name: str) -> SlotValue | None:
        """What a record says in a named slot."""
        return record.draft.slots.get(self.use(name).slot)

    def says(self, record: Record, name: str, value: str) -> bool:
        """Whether a record's named slot has one of the values declared under a name."""
        return self.slot(record, name) in self.reporting.values[value]

    def number(self, record: Record, name: str) -> int | float | None:
        """A number in a named slot; None where none was said."""
        return plain_number(self.slot(record, name))

    def amount(self, record: Record, name: str, wish: str, of: Iterable[str] = ()) -> float | None:
        """An amount in a wished unit by the farm's own measures; None where that cannot be."""
        said = self.slot(record, name)
        if not isinstance(said, Quantity):
            return None
        return converted(said.value, said.unit, wish, self.farm.measures, tuple(of))

    def unit_of(self, value: str) -> str:
        """Which of the units declared under a name the farm's own measures are held in."""
        wishes = self.reporting.values[value]
        known = [find_unit(wish) for wish in wishes]
        for measure in self.farm.measures:
            held = find_unit(measure.holds.strip().partition(" ")[2].strip())
            for wish, unit in zip(wishes, known, strict=True):
                if held is not None and unit is not None and held.name == unit.name:
                    return wish
        return singular(wishes[0]) or wishes[0]

    def say(self, key: str, **fields: object) -> str:
        """A label or sentence of the page."""
        return self.reporting.say(key, **fields)

    def _find(self, kinds: tuple[str, ...], first: date | None) -> tuple[Record, ...]:
        wanted = Wanted(
            kinds=kinds,
            statuses=(Status.DONE,),
            when_from=None if first is None else self.begin(first),
            when_to=self.now + INSTANT,
            as_of=self.now,
        )
        return self.notebook.reading.find(wanted, newest_first=False)


def plain_number(value: SlotValue | None) -> int | float | None:
    """A number that is neither a truth value nor an amount; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return value


def days_between(first: date, last: date) -> tuple[date, ...]:
    """Every day from the first to the last, both included."""
    return tuple(first + timedelta(days=ahead) for ahead in range((last - first).days + 1))
