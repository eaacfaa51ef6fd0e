"""Watches what an answer asks of the store, and tells which conditions left which records out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from voicelog.explanations import Look, TakenOut
from voicelog.records.wanted import DayTotal, Extremes, PlaceRecord, UnitSum, Wanted
from voicelog.types import Quantity, Record

if TYPE_CHECKING:
    from voicelog.records.store import Store


class WatchedStore:
    """A store that remembers what was asked of it; everything else is the store's own."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._gave: dict[str, tuple[Wanted, dict[str, None]]] = {}

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)

    def find(
        self, wanted: Wanted, *, newest_first: bool = True, limit: int | None = None
    ) -> tuple[Record, ...]:
        """The store's answer, remembered."""
        found = self._store.find(wanted, newest_first=newest_first, limit=limit)
        order = "newest" if newest_first else "oldest"
        most = "" if limit is None else f" (at most {limit})"
        self._note(wanted, f"{order}{most}: {_records(len(found))}")
        return found

    def count(self, wanted: Wanted) -> int:
        """The store's answer, remembered."""
        found = self._store.count(wanted)
        self._note(wanted, f"counted: {_records(found)}")
        return found

    def sums(self, wanted: Wanted, slot: str) -> tuple[UnitSum, ...]:
        """The store's answer, remembered."""
        found = self._store.sums(wanted, slot)
        for part in found:
            total = f"{part.total:g} {part.unit or ''}".rstrip()
            self._note(wanted, f"sum of {slot}: {total} in {_records(part.records)}")
        if not found:
            self._note(wanted, f"sum of {slot}: no number")
        return found

    def extremes(self, wanted: Wanted, slot: str) -> tuple[Extremes, ...]:
        """The store's answer, remembered."""
        found = self._store.extremes(wanted, slot)
        self._note(wanted, f"lowest and highest {slot}: in {len(found)} units")
        return found

    def latest_by_place(self, wanted: Wanted) -> tuple[PlaceRecord, ...]:
        """The store's answer, remembered."""
        found = self._store.latest_by_place(wanted)
        self._note(wanted, f"newest at each place: {len(found)} places")
        return found

    def day_totals(self, wanted: Wanted, slot: str, zone: ZoneInfo) -> tuple[DayTotal, ...]:
        """The store's answer, remembered."""
        found = self._store.day_totals(wanted, slot, zone)
        self._note(wanted, f"sum of {slot} a day: {len(found)} days")
        return found

    def looks(self) -> tuple[Look, ...]:
        """Everything that was asked, in order; what was asked twice stands once."""
        return tuple(self._look(wanted, tuple(gave)) for wanted, gave in self._gave.values())

    def _note(self, wanted: Wanted, gave: str) -> None:
        # A wanted holds a mapping and has no hash; its text tells it from others.
        self._gave.setdefault(repr(wanted), (wanted, {}))[1][gave] = None

    def _look(self, wanted: Wanted, gave: tuple[str, ...]) -> Look:
        so_far = Wanted(
            kinds=wanted.kinds,
            as_of=wanted.as_of,
            include_withdrawn=wanted.include_withdrawn,
        )
        looked_at = left = self._store.count(so_far)
        taken_out = []
        for by, asked, further in _conditions(wanted):
            so_far = replace(so_far, **further)
            before, left = left, self._store.count(so_far)
            if before != left:
                taken_out.append(TakenOut(by=by, wanted=asked, records=before - left))
        return Look(
            kinds=wanted.kinds,
            looked_at=looked_at,
            taken_out=tuple(taken_out),
            left=left,
            gave=gave,
        )


def _records(count: int) -> str:
    return f"{count} record{'' if count == 1 else 's'}"


def _conditions(wanted: Wanted) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """What is asked besides the kind, a condition at a time."""
    if wanted.statuses:
        yield "status", ", ".join(wanted.statuses), {"statuses": wanted.statuses}
    if wanted.when_from is not None or wanted.when_to is not None:
        yield "time", _time(wanted), {"when_from": wanted.when_from, "when_to": wanted.when_to}
    if wanted.places:
        yield "place", _names(wanted.places), {"places": wanted.places}
    if wanted.flocks:
        yield "flock", _names(wanted.flocks), {"flocks": wanted.flocks}
    if wanted.other_than_flocks:
        names = f"not {_names(wanted.other_than_flocks)}"
        yield "flock", names, {"other_than_flocks": wanted.other_than_flocks}
    if wanted.bird is not None:
        yield "bird", wanted.bird, {"bird": wanted.bird}
    if wanted.slots:
        said = ", ".join(f"{name} = {_value(value)}" for name, value in wanted.slots.items())
        yield "slots", said, {"slots": wanted.slots}
    if wanted.text is not None:
        yield "words", wanted.text, {"text": wanted.text}


def _value(value: object) -> str:
    return f"{value.value:g} {value.unit}" if isinstance(value, Quantity) else str(value)


def _names(names: tuple[str | None, ...]) -> str:
    return ", ".join("none named" if name is None else name for name in names)


def _time(wanted: Wanted) -> str:
    start, end = (
        "" if at is None else f"{at:%Y-%m-%dT%H:%M}" for at in (wanted.when_from, wanted.when_to)
    )
    return " ".join(part for part in (start and f"from {start}", end and f"before {end}") if part)
