"""How many birds of each flock were alive on each day: the farm file's count, what came, what went.

The farm file's count holds for the flock's own `since`; birds that came after it are added and
birds lost after it taken off. Young ones hatched here are no layers: how many of them are females
is the keeper's to write down.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.app.reporting.gathered import Gathered
from voicelog.farm import Flock
from voicelog.husbandry import BirdGroup, BirdsLost, converted, laying_birds
from voicelog.types import Draft, Quantity, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class FlockDays:
    """One flock and the birds that came to it and left it."""

    flock: Flock
    groups: tuple[BirdGroup, ...]
    """Empty where the farm file does not say how many there are."""

    def alive(self, first: date, last: date, *, laying: bool = False) -> tuple[int, ...]:
        """Birds alive on each day; only those old enough where `laying`."""
        groups = self.groups
        if not laying:
            groups = tuple(
                BirdGroup(count=group.count, came=group.came, lost=group.lost) for group in groups
            )
        return laying_birds(groups, first, last)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlockBook:
    """All flocks of the farm, and what could not be told of their losses."""

    flocks: tuple[FlockDays, ...]
    losses: tuple[Record, ...]
    """Every loss since the flocks were counted."""
    lost_of_none: int
    """Birds lost in the period of which no flock is known."""
    largest_taken: bool
    """Whether some were taken off the largest of several flocks."""
    unnumbered: int
    """Losses of the period that say no number."""

    def of_class(self, classes: Iterable[str]) -> tuple[FlockDays, ...]:
        """Flocks of these classes."""
        wanted = set(classes)
        return tuple(days for days in self.flocks if days.flock.class_ in wanted)


def flocks_meant(gathered: Gathered, draft: Draft) -> tuple[Flock, ...]:
    """The flocks that a record may be about, by flock, bird, place or class; none if open."""
    farm = gathered.farm
    by_name = {flock.name: flock for flock in farm.flocks}
    if draft.flock in by_name:
        return (by_name[draft.flock],)
    homes = {bird.name: bird.flock for bird in farm.birds}
    of_birds = dict.fromkeys(homes.get(bird) for bird in draft.birds)
    named = tuple(by_name[name] for name in of_birds if name in by_name)
    if named:
        return named
    classes = {group.word: group.name for group in gathered.catalogue.classes}
    of_class = tuple(f for f in farm.flocks if f.class_ == classes.get(draft.flock or ""))
    there = tuple(f for f in farm.flocks if draft.place is not None and f.place == draft.place)
    both = tuple(flock for flock in there if flock in of_class)
    return both or of_class or (there if draft.flock is None else ())


def birds_said(gathered: Gathered, record: Record, name: str) -> int | None:
    """How many birds a record is about; those named where no number was said."""
    number = gathered.number(record, name)
    return round(number) if number is not None else len(record.draft.birds) or None


def flock_book(gathered: Gathered) -> FlockBook:
    """The flocks of a farm from the farm file and the records until now."""
    flocks = gathered.farm.flocks
    began = [flock.since for flock in flocks]
    first = None if None in began else min((day for day in began if day), default=None)
    losses = gathered.since(gathered.use("lost").kind, first)
    arrivals = gathered.since(gathered.use("came").kind, first)
    lost: dict[str, list[BirdsLost]] = {flock.name: [] for flock in flocks}
    of_none = unnumbered = 0
    largest = False
    for record in losses:
        day, count = gathered.day(record), birds_said(gathered, record, "lost")
        meant = [f for f in flocks_meant(gathered, record.draft) if not f.since or f.since <= day]
        if count is None or not meant:
            unnumbered += count is None and day >= gathered.first
            of_none += (count or 0) if day >= gathered.first else 0
            continue
        largest = largest or len(meant) > 1
        taken = max(meant, key=lambda flock: flock.count or 0)
        lost[taken.name].append(BirdsLost(day=day, count=count))
    return FlockBook(
        flocks=tuple(
            FlockDays(
                flock=flock,
                groups=_groups(gathered, flock, arrivals, lost[flock.name]),
            )
            for flock in flocks
        ),
        losses=losses,
        lost_of_none=of_none,
        largest_taken=largest,
        unnumbered=unnumbered,
    )


def _groups(
    gathered: Gathered, flock: Flock, arrivals: tuple[Record, ...], lost: list[BirdsLost]
) -> tuple[BirdGroup, ...]:
    if flock.count is None:
        return ()
    came = [(flock.count, flock.since or date.min, flock.hatched)]
    for record in arrivals:
        day, count = gathered.day(record), birds_said(gathered, record, "came")
        meant = flocks_meant(gathered, record.draft)
        # One that came on the day of the count, or before it, is in the count.
        if count and meant[:1] == (flock,) and flock.since is not None and day > flock.since:
            came.append((count, day, _hatched(gathered, record, day) or flock.hatched))
    left = sorted(lost, key=lambda loss: loss.day)
    groups = []
    for count, day, hatched in came:
        mine, left = _share(count, left)
        groups.append(BirdGroup(count=count, came=day, hatched=hatched, lost=mine))
    return tuple(groups)


def _share(count: int, losses: list[BirdsLost]) -> tuple[tuple[BirdsLost, ...], list[BirdsLost]]:
    """The losses that so many birds can have had, and those that are left for the next group."""
    mine, left, there = [], [], count
    for loss in losses:
        taken = min(there, loss.count)
        there -= taken
        if taken:
            mine.append(BirdsLost(day=loss.day, count=taken))
        if loss.count > taken:
            left.append(BirdsLost(day=loss.day, count=loss.count - taken))
    return tuple(mine), left


def _hatched(gathered: Gathered, record: Record, day: date) -> date | None:
    if gathered.says(record, "came_how", "hatched"):
        return day
    age = gathered.slot(record, "came_age")
    if not isinstance(age, Quantity):
        return None
    days = converted(age.value, age.unit, "day")
    return None if days is None else day - timedelta(days=round(days))
