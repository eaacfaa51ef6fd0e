"""The line that is to be tested, and the ground that birds have stood on long enough.

What is a chore of the farm already stands in the lists of the chores, and not here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from voicelog.app.watch.ground import Due, Ground
from voicelog.catalogue.stated import Figure
from voicelog.records import Wanted
from voicelog.sentences import number_text
from voicelog.types import Record, Status, frozen_slots


def tests_due(ground: Ground) -> Iterator[Due]:
    """Lines that were tested before, and not for longer than is usual.

    A line that was switched off after its last test, and not on again, waits for nothing.
    """
    lapses = ground.watching.days("test_lapses")
    tested = ground.latest_by_place("tested", lapses)
    if not tested or _is_chore(ground, "tested", None):
        return
    from voicelog.husbandry import days_since_tested, publications, tested_every

    off = ground.latest_by_place("switched_off", lapses)
    on = ground.latest_by_place("switched_on", lapses)
    (every,) = tested_every()
    line = ground.line("test")
    for place, record in tested.items():
        last = ground.day(record)
        days = days_since_tested(last, ground.today)
        if days <= every.high or _is_off(ground, place, record, off, on):
            continue
        yield Due(
            what="test",
            chore=line.words,
            place=place,
            birds=(),
            on=last + timedelta(days=round(every.high)),
            overdue_days=days - round(every.high),
            because=line.because.format(
                day=ground.day_text(last),
                days=days,
                every=_span(every),
                source="; ".join(publications(every.source)),
            ),
            caution=ground.caution(line),
            evidence=(record.id,),
        )


def moves_due(ground: Ground) -> Iterator[Due]:
    """What has stood on the same ground for longer than is usual, and where it might go."""
    moved = ground.latest_by_place("moved", ground.watching.days("stay_lapses"))
    if not moved:
        return
    from voicelog.husbandry.pasture import STAY

    line = ground.line("next_ground")
    left: dict[str, date | None] = {}
    for place, record in moved.items():
        days = (ground.today - ground.day(record)).days
        if days <= STAY.most or _is_chore(ground, "moved", place):
            continue
        here = ground.watching.said("moved_to", record.draft)
        last = ground.day(record) + timedelta(days=STAY.most)
        yield Due(
            what="next_ground",
            chore=line.words,
            place=place,
            birds=(),
            on=last,
            overdue_days=(ground.today - last).days,
            because=line.because.format(
                days=days,
                at=f", {here}" if here else "",
                least=STAY.least,
                most=STAY.most,
                source="from memory",
                next=_next(ground, None if here is None else str(here), ground.day(record), left),
            ),
            caution=ground.caution(line),
            evidence=(record.id,),
        )


def _is_off(
    ground: Ground,
    place: str | None,
    test: Record,
    off: dict[str | None, Record],
    on: dict[str | None, Record],
) -> bool:
    """Whether the line was switched off since its test, and not on again since then."""
    offs = [ground.begins(off[at]) for at in (place, None) if at in off]
    ons = [ground.begins(on[at]) for at in (place, None) if at in on]
    if not offs or max(offs) <= ground.begins(test):
        return False
    return not ons or max(ons) <= max(offs)


def _is_chore(ground: Ground, name: str, place: str | None) -> bool:
    """Whether a chore of the farm asks for it already."""
    marks = ground.watching.marks[name]
    return any(
        chore.record == mark.kind
        and chore.match.get(mark.slot or "", mark.value) == mark.value
        and (place is None or not chore.places or place in chore.places)
        for chore in ground.farm.chores
        for mark in marks
    )


def _span(figure: Figure) -> str:
    low, high = number_text(figure.low), number_text(figure.high)
    return low if low == high else f"{low} to {high}"


def _next(ground: Ground, here: str | None, since: date, left: dict[str, date | None]) -> str:
    """The ground that rested longest, where the farm has other ground of its sort; else nothing.

    `left` remembers when each was left, for the coops after this one.
    """
    kind = next((place.kind for place in ground.farm.places if place.name == here), None)
    names = [place.name for place in ground.farm.places if place.kind == kind]
    if here is None or len(names) < 2:
        return ""
    from voicelog.husbandry import Paddock, next_move

    left |= {name: _left(ground, name) for name in names if name not in left}
    paddocks = [Paddock(name=name, last_used=left[name]) for name in names]
    proposed = next_move(paddocks, ground.today, here=here, since=since)
    if proposed is None:
        return ""
    rested = proposed.rest.days_rested
    told = "no stay on record" if rested is None else f"{rested} days rested"
    return f"; {proposed.to} next ({told})"


def _left(ground: Ground, name: str) -> date | None:
    """The day on which a piece of ground was left: the next move of what had come there."""
    mark = ground.watching.marks["moved_to"][0]
    wanted = Wanted(
        kinds=(mark.kind,), statuses=(Status.DONE,), when_to=ground.now, as_of=ground.now
    )
    came = ground.store.find(replace(wanted, slots=frozen_slots({mark.slot or "": name})), limit=1)
    if not came:
        return None
    place = came[0].draft.place
    after = replace(wanted, places=(place,), when_from=ground.begins(came[0]))
    later = [
        record
        for record in ground.store.find(after, newest_first=False, limit=50)
        if ground.watching.said("moved_to", record.draft) not in (None, name)
    ]
    return ground.day(later[0]) if later else ground.today
