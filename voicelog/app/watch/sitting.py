"""What is due of eggs that were set: candling, the last turning, the hatch.

One sitting is told from another by the bird or the place named. A later record that names neither
is taken for the only sitting there is; where there are several it shows none of them done, so that
something is rather shown once too often than forgotten.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from voicelog.app.watch.ground import Due, Ground
from voicelog.catalogue.asking import load_asking
from voicelog.sentences import counted
from voicelog.types import Draft, Record, SlotValue

if TYPE_CHECKING:
    from voicelog.catalogue.species import Species
    from voicelog.husbandry import IncubationCalendar


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sitting:
    record: Record
    set_on: date
    looked: tuple[Record, ...]
    """Records that the eggs were looked at, since."""


def sittings_due(ground: Ground) -> Iterator[Due]:
    """What is due today of every sitting that has not ended."""
    begun = ground.records("sitting_begun", ground.watching.days("sitting_days"))
    if not begun:
        return
    from voicelog.husbandry import incubation_calendar

    for sitting in _going_on(ground, begun):
        species = _species(sitting.record.draft)
        due = _due(ground, sitting, incubation_calendar(sitting.set_on, species))
        if due is not None:
            yield due


def _going_on(ground: Ground, begun: Sequence[Record]) -> Iterator[_Sitting]:
    days = ground.watching.days("sitting_days")
    ended = ground.records("sitting_ended", days)
    looked = ground.records("sitting_looked", days)
    open_: list[Record] = []
    for record in begun:
        # Eggs said to be under the same bird again are the same sitting, begun when first said.
        before = [other for other in open_ if _is_same(other.draft, record.draft)]
        if before and not any(
            _is_same(end.draft, record.draft) and ground.day(end) >= ground.day(before[0])
            and ground.day(end) <= ground.day(record)
            for end in ended
        ):  # fmt: skip
            continue
        open_.append(record)
    for record in open_:
        if _later(ground, record, open_, ended):
            continue
        yield _Sitting(
            record=record,
            set_on=ground.day(record),
            looked=_later(ground, record, open_, looked),
        )


def _later(
    ground: Ground, sitting: Record, all_: Sequence[Record], records: Sequence[Record]
) -> tuple[Record, ...]:
    """Of the records, those that came after a sitting began and are about it."""
    return tuple(
        record
        for record in records
        if ground.begins(record) > ground.begins(sitting)
        and _about(sitting, record, alone=len(all_) == 1)
    )


def _about(sitting: Record, record: Record, *, alone: bool) -> bool:
    same = _is_same(sitting.draft, record.draft)
    return alone if same is None else same


def _is_same(one: Draft, other: Draft) -> bool | None:
    """Whether two records name the same bird or place; None where that cannot be told."""
    if one.birds and other.birds:
        return bool(set(one.birds) & set(other.birds))
    if one.place is not None and other.place is not None:
        return one.place == other.place
    return None


def _due(ground: Ground, sitting: _Sitting, calendar: IncubationCalendar) -> Due | None:
    today = ground.today
    if today >= calendar.hatch:
        last = calendar.window[1]
        lapses = last + timedelta(days=ground.watching.days("hatch_lapses"))
        if today > lapses:
            return None
        return _told(ground, sitting, calendar, "hatch", calendar.hatch, last)
    if today >= calendar.lockdown:
        return _told(ground, sitting, calendar, "lockdown", calendar.lockdown, calendar.hatch)
    looks = [day for day in calendar.candle if day <= today]
    if not looks:
        return None
    # A look counts for the day it lies nearer to: a few days early or late are as good.
    before = looks[-2] if len(looks) > 1 else calendar.set_on
    nearer = before + (looks[-1] - before) / 2
    if any(ground.day(record) >= nearer for record in sitting.looked):
        return None
    return _told(ground, sitting, calendar, "candle", looks[-1], looks[-1])


def _told(
    ground: Ground,
    sitting: _Sitting,
    calendar: IncubationCalendar,
    what: str,
    on: date,
    last: date,
) -> Due:
    from voicelog.husbandry import publications

    line = ground.line(what)
    species = calendar.species
    ages, source = {
        "candle": (species.candle, species.candle_source),
        "lockdown": (species.last_turn, species.source),
        "hatch": (species.hatch, species.source),
    }[what]
    draft = sitting.record.draft
    count = ground.watching.said("sitting_count", draft)
    return Due(
        what=what,
        chore=line.words,
        place=draft.place,
        birds=draft.birds or ((draft.flock,) if draft.flock else ()),
        on=on,
        overdue_days=max(0, (ground.today - last).days),
        because=line.because.format(
            count=_count_text(ground, count),
            day=ground.day_text(sitting.set_on),
            age=(ground.today - sitting.set_on).days,
            days=" and ".join(str(day) for day in dict.fromkeys(ages)),
            source="; ".join(publications(source)),
        ),
        caution=ground.caution(line),
        evidence=(sitting.record.id, *(record.id for record in sitting.looked)),
    )


def _count_text(ground: Ground, count: SlotValue | None) -> str:
    """How many were set, with what is counted."""
    if not isinstance(count, int | float):
        return ""
    mark = ground.watching.marks["sitting_count"][0]
    each = load_asking().counted[mark.kind, mark.slot or ""]
    return f"{counted(round(count), each)} "


def _species(draft: Draft) -> Species | None:
    """The sort of bird that the words name, other than the commonest; None where they name none.

    A word that means two sorts, such as quail, is taken for the one that hatches first: rather
    too early a look than too late a one.
    """
    from voicelog.husbandry import species_named

    words = draft.text.casefold().replace(",", " ").split()
    phrases = (*(f"{a} {b}" for a, b in pairwise(words)), *words)
    for phrase in phrases:
        named = species_named(phrase)
        if named and not _is_commonest(named):
            return min(named, key=lambda species: species.hatch[0])
    return None


def _is_commonest(named: Sequence[Species]) -> bool:
    from voicelog.catalogue.species import load_species

    return named[0].name == load_species()[0].name
