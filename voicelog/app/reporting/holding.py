"""Which of what was laid is not for eating or selling, by the treatments that were recorded.

The days are those that were said from the label or by a vet; where none were said, it stays held
back until one of them has been asked. What lies in one place cannot be told apart, so one treated
bird holds back all that its flock lays there; what names no place may be of any flock.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from voicelog.app.reporting.flock_book import flocks_meant
from voicelog.app.reporting.gathered import Gathered, plain_number
from voicelog.catalogue.asking import load_asking
from voicelog.farm import Flock
from voicelog.husbandry import KeptBack, Treatment, food_holds, last_day_given
from voicelog.types import Draft, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """What one flock lays is held back from a day on."""

    flock: Flock
    what: tuple[str, ...]
    """What was given."""
    first: date
    """The first day of the treatment."""
    kept: KeptBack

    def on(self, day: date) -> bool:
        """Whether it is held back on a day."""
        return self.first <= day and self.kept.on(day)

    def meets(self, first: date, last: date) -> bool:
        """Whether it holds on any of these days."""
        return self.first <= last and self.kept.on(max(first, self.first))


@dataclass(frozen=True, slots=True, kw_only=True)
class Holds:
    """All holds of the flocks that lay."""

    holds: tuple[Hold, ...]
    homes: tuple[tuple[str, str], ...]
    """Place and flock of the flocks that lay and have a place."""
    vague: tuple[Record, ...]
    """Treatments of the period that say neither for how long nor to whom: they hold nothing
    back that could be named, so they are told instead."""

    def of(self, draft: Draft, day: date) -> Hold | None:
        """What holds back a gathering, the longest first; None where nothing does."""
        there = [flock for place, flock in self.homes if place == draft.place]
        holding = [
            hold
            for hold in self.holds
            if hold.on(day)
            and (hold.flock.name == draft.flock or not there or hold.flock.name in there)
        ]
        return max(holding, key=lambda hold: hold.kept.through or date.max, default=None)


def holds_of(gathered: Gathered) -> Holds:
    """The holds that the records tell of, whenever the treatment was."""
    records = gathered.since(gathered.use("given").kind, None)
    layers = [f for f in gathered.farm.flocks if f.class_ == gathered.laying.class_]
    told = [record for record in records if _tells(gathered, record)]
    found: list[Hold] = []
    for flock in layers:
        mine = [record for record in told if flock in _whose(gathered, record, layers)]
        found.extend(_holds(gathered, flock, mine))
    return Holds(
        holds=tuple(found),
        vague=tuple(
            record
            for record in told
            if _vague(gathered, record) and gathered.day(record) >= gathered.first
        ),
        homes=tuple((flock.place, flock.name) for flock in layers if flock.place is not None),
    )


def _tells(gathered: Gathered, record: Record) -> bool:
    """Whether it says what was given, or for how long what is laid is kept back."""
    names = ("given", "given_hold")
    return any(gathered.slot(record, name) is not None for name in names)


def _whose(gathered: Gathered, record: Record, layers: list[Flock]) -> tuple[Flock, ...]:
    """The flocks it was given to; all that lay where that is open and days were said."""
    if _vague(gathered, record):
        return ()
    draft = record.draft
    meant = flocks_meant(gathered, draft)
    return meant if meant or draft.flock or draft.birds else tuple(layers)


def _vague(gathered: Gathered, record: Record) -> bool:
    """Whether neither the birds nor the days are known."""
    draft = record.draft
    named = flocks_meant(gathered, draft) or draft.flock or draft.birds
    return not named and gathered.slot(record, "given_hold") is None


def _holds(gathered: Gathered, flock: Flock, records: list[Record]) -> Iterable[Hold]:
    """One hold for each thing that was given."""
    given = sorted(records, key=lambda record: str(gathered.slot(record, "given") or ""))
    for what, group in groupby(given, key=lambda r: str(gathered.slot(r, "given") or "")):
        course = sorted(group, key=gathered.at)
        said = [days for record in course if (days := _days(gathered, record)) is not None]
        lengths = [plain_number(gathered.slot(record, "given_days")) for record in course]
        first = gathered.day(course[0])
        last = max(
            last_day_given(gathered.day(record), days if days and days >= 1 else None)
            for record, days in zip(course, lengths, strict=True)
        )
        treatment = Treatment(
            what=what or gathered.catalogue.kind(course[0].draft.kind).title,
            flock=flock.name,
            last_day=last,
            egg_days=max(said, default=None),
            meat_days=None,
        )
        (hold,) = food_holds((treatment,))
        yield Hold(flock=flock, what=(treatment.what,), first=first, kept=hold.eggs)


def _days(gathered: Gathered, record: Record) -> float | None:
    """Days said for what is laid; days that were said for meat alone free nothing else."""
    days = plain_number(gathered.slot(record, "given_hold"))
    words = set(record.draft.text.casefold().split())
    meat = not words.isdisjoint(gathered.catalogue.lists["ask_meat"])
    laid = load_asking().withheld.produce
    if days is None or days < 0 or (meat and words.isdisjoint((laid, gathered.laying.each))):
        return None
    return days
