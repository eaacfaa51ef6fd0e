"""Which birds' eggs and meat are kept back, until when: for each bird, and for each flock.

As in `holds`, no number of days is in here: the label of what was given or a licensed vet gives
them, for eggs and for meat apart. Where they were not said, the food stays kept back until they
are. Eggs of a flock cannot be told apart, so one treated bird keeps back those of all of it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from voicelog.husbandry.holds import Course, held_through


@dataclass(frozen=True, slots=True, kw_only=True)
class Treatment:
    """What was given to a flock or to some of its birds."""

    what: str
    flock: str
    """The flock, also where only some of its birds had it."""
    birds: tuple[str, ...] = ()
    """The birds by name; empty for the whole flock."""
    last_day: date
    """The last day on which it was given; see `last_day_given`."""
    egg_days: float | None
    """Days for eggs by the label or a licensed vet; None where they were not said."""
    meat_days: float | None
    """Days for meat likewise; one never stands for the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptBack:
    """Until when one kind of food is kept back."""

    through: date | None
    """The last day by the days that were said, the latest of all treatments; None for none."""
    unsaid: tuple[str, ...]
    """What was given without days being said: kept back until the label or a vet has been asked."""

    def on(self, day: date) -> bool:
        """Whether it is kept back on a day after the treatments."""
        return bool(self.unsaid) or (self.through is not None and day <= self.through)


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodHold:
    """What is kept back of one flock, or of one bird."""

    flock: str
    bird: str | None
    """None for the flock as a whole."""
    eggs: KeptBack
    meat: KeptBack
    treatments: tuple[Treatment, ...]
    """On which it rests."""


def food_holds(treatments: Iterable[Treatment]) -> tuple[FoodHold, ...]:
    """What is kept back of each flock and of each bird that was treated.

    Of several treatments the one that holds the longest decides. A bird's own hold counts what
    its whole flock was given; the flock's eggs count what any of its birds was given; the
    flock's meat likewise, since a carcass without a name may be that bird's.

    Unit: dates.
    Range: the last day of treatment or later; the label or a licensed vet gives the days.
    Source: S126, grade A, for who sets the days, and S127, grade A, that days for meat are none
        for eggs; the sums are arithmetic, grade D.

    Raises:
        RequestError: days are below 0 or run past the end of the calendar.
    """
    listed = tuple(treatments)
    holds = []
    for flock in dict.fromkeys(treatment.flock for treatment in listed):
        given = tuple(treatment for treatment in listed if treatment.flock == flock)
        holds.append(_hold(flock, None, given))
        for bird in dict.fromkeys(name for treatment in given for name in treatment.birds):
            own = tuple(t for t in given if not t.birds or bird in t.birds)
            holds.append(_hold(flock, bird, own))
    return tuple(holds)


def _hold(flock: str, bird: str | None, given: tuple[Treatment, ...]) -> FoodHold:
    return FoodHold(
        flock=flock,
        bird=bird,
        eggs=_kept_back([(t.what, t.last_day, t.egg_days) for t in given]),
        meat=_kept_back([(t.what, t.last_day, t.meat_days) for t in given]),
        treatments=given,
    )


def _kept_back(given: list[tuple[str, date, float | None]]) -> KeptBack:
    courses = [Course(last_day=last, held_days=days) for _, last, days in given if days is not None]
    return KeptBack(
        through=held_through(*courses) if courses else None,
        unsaid=tuple(dict.fromkeys(what for what, _, days in given if days is None)),
    )
