"""How many birds of the farm are alive, by the farm file and by what came and was lost since.

A flock whose count has a day (`since`) had so many on it; what came later is added, what was lost
from then on is taken off. A count without a day is taken to be today's, so that what came and
what was lost before is reckoned back from it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.answering.trade_replies.footing import Footing, number_of
from voicelog.farm import Flock
from voicelog.husbandry import BirdGroup, BirdsLost, converted
from voicelog.types import Quantity, Record

_LONG_AGO = date(1970, 1, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Alive:
    """The birds of some flocks."""

    groups: tuple[BirdGroup, ...]
    records: tuple[Record, ...]
    """What came and what was lost."""
    unplaced: int
    """Birds lost of which nobody said from which flock."""
    uncounted: tuple[str, ...]
    """Flocks whose number the farm file does not give."""

    def on(self, day: date) -> int:
        """Birds at the end of a day, of whatever age."""
        return sum(
            group.count - sum(loss.count for loss in group.lost if loss.day <= day)
            for group in self.groups
            if group.came <= day
        )


def flock_of(footing: Footing, record: Record) -> Flock | None:
    """The one flock of the farm file that a record can be about, or None."""
    farm, draft = footing.ground.farm, record.draft
    named = {bird.flock for bird in farm.birds if bird.name in draft.birds}
    if len(named) == 1:
        return next((flock for flock in farm.flocks if flock.name in named), None)
    fitting = list(farm.flocks)
    if draft.flock is not None:
        own = [flock for flock in farm.flocks if flock.name == draft.flock]
        class_ = footing.ground.class_of(draft.flock)
        general = class_ in footing.declared.values["any_class"]
        fitting = own or [f for f in farm.flocks if general or f.class_ == class_]
    if len(fitting) > 1 and draft.place is not None:
        fitting = [flock for flock in fitting if flock.place == draft.place]
    return fitting[0] if len(fitting) == 1 else None


def alive(footing: Footing, flocks: Iterable[Flock]) -> Alive:
    """The birds of these flocks, with what came to them and what they lost."""
    listed = tuple(flocks)
    names = {flock.name for flock in listed}
    lost, came = footing.done("lost"), footing.done("came")
    counted = [(r, number_of(footing.slot(r, "lost"))) for r in lost]
    groups: list[BirdGroup] = []
    used: list[Record] = []
    for flock in listed:
        losses = [(r, int(n)) for r, n in counted if n and flock_of(footing, r) == flock]
        arrivals = [r for r in came if flock_of(footing, r) == flock]
        found, rests_on = _groups_of(footing, flock, losses, arrivals)
        groups += found
        used += rests_on
    unplaced = sum(int(n) for r, n in counted if n and _may_be(footing, r, names))
    return Alive(
        groups=tuple(groups),
        records=tuple(used),
        unplaced=unplaced,
        uncounted=tuple(flock.name for flock in listed if flock.count is None),
    )


def _may_be(footing: Footing, record: Record, names: set[str]) -> bool:
    """Whether a loss may be of these flocks, and of which is not said."""
    if flock_of(footing, record) is not None:
        return False
    said = record.draft.flock
    class_ = None if said is None else footing.ground.class_of(said)
    general = class_ is None or class_ in footing.declared.values["any_class"]
    return any(f.name in names and (general or f.class_ == class_)
               for f in footing.ground.farm.flocks)  # fmt: skip


def _groups_of(
    footing: Footing, flock: Flock, losses: list[tuple[Record, int]], arrivals: list[Record]
) -> tuple[list[BirdGroup], list[Record]]:
    if flock.count is None:
        return [], []
    after = [r for r in arrivals if flock.since is None or footing.day_of(r) > flock.since]
    added = [_came(footing, record, flock) for record in after]
    added = [group for group in added if group.count]
    if flock.since is not None:
        losses = [(r, n) for r, n in losses if footing.day_of(r) >= flock.since]
    gone = tuple(BirdsLost(day=footing.day_of(r), count=n) for r, n in losses)
    count = flock.count
    if flock.since is None:
        count = flock.count + sum(n for _, n in losses) - sum(group.count for group in added)
        if count < sum(n for _, n in losses):
            # More came than the file counts: it was not written after they came.
            added, after, count = [], [], flock.count + sum(n for _, n in losses)
    first = BirdGroup(count=count, came=flock.since or _LONG_AGO, hatched=flock.hatched, lost=gone)
    return [first, *added], [*(r for r, _ in losses), *after]


def _came(footing: Footing, record: Record, flock: Flock) -> BirdGroup:
    day = footing.day_of(record)
    return BirdGroup(
        count=int(number_of(footing.slot(record, "came")) or 0),
        came=day,
        hatched=_hatched(footing, record, day, flock),
    )


def _hatched(footing: Footing, record: Record, day: date, flock: Flock) -> date | None:
    """When birds that came had hatched; None where it was not said and they are full-grown."""
    if footing.is_one_of(record, "came_how", "hatched_how"):
        return day
    age = footing.slot(record, "came_age")
    if isinstance(age, Quantity):
        days = converted(age.value, age.unit, footing.declared.units["day"])
        if days is not None:
            return day - timedelta(days=round(days))
    return None if flock.class_ in footing.declared.values["layers"] else flock.hatched
