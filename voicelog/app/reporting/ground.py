"""Which piece of ground was used when, how long each has rested, and where to go next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.laid_plots import LEAST_DAYS
from voicelog.app.reporting.page import Fact, Plot, Section, Stay, Table
from voicelog.app.reporting.wording import cited, day
from voicelog.husbandry import NextMove, Paddock, next_move, paddock_rests
from voicelog.husbandry.pasture import GRASS_REST
from voicelog.sentences import value_text
from voicelog.types import Record

_LOOK_BACK = timedelta(days=60)
"""Longer than the rest that grass needs: who stood where when the period began."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Move:
    day: date
    who: str
    to: str


def ground_section(gathered: Gathered) -> Section | None:
    """The calendar of the ground; None where no use of it is noted in the period."""
    places = gathered.reporting.values["ground"]
    grounds = tuple(place.name for place in gathered.farm.places if place.kind in places)
    moves = _moves(gathered, grounds)
    stays = _stays(moves, gathered.last, gathered.say("unnamed"))
    shown = tuple(stay for stay in stays if stay.last >= gathered.first)
    if not shown:
        return None
    paddocks = tuple(_paddock(gathered, ground, stays) for ground in grounds)
    facts = tuple(_next_facts(gathered, paddocks, shown))
    return Section(
        facts=facts,
        tables=(_stay_table(gathered, shown), _rest_table(gathered, paddocks, shown)),
        plots=_plots(gathered, grounds, shown),
        notes=(gathered.say("flock_rest"),),
        sources=cited(gathered, "rest", *(("move",) if facts else ())),
    )


def _moves(gathered: Gathered, grounds: tuple[str, ...]) -> list[_Move]:
    kind = gathered.use("moved_to").kind
    found = []
    for record in gathered.since(kind, gathered.first - _LOOK_BACK):
        to = _ground(gathered, record, grounds)
        if to is not None:
            found.append(_Move(day=gathered.day(record), who=_who(gathered, record, to), to=to))
    return found


def _ground(gathered: Gathered, record: Record, grounds: tuple[str, ...]) -> str | None:
    """Where to; a pen moved on one piece of ground names that as its place."""
    to, place = gathered.slot(record, "moved_to"), record.draft.place
    named = (str(to) if to is not None else None, place)
    return next((name for name in named if name in grounds), None)


def _who(gathered: Gathered, record: Record, to: str) -> str:
    """Who was moved: the place that moves, the flock, or what is said to be moved."""
    draft = record.draft
    other = gathered.slot(record, "moved_to")
    movers = (draft.place if draft.place != to else None, draft.flock)
    if named := next((name for name in movers if name), None):
        return named
    kind = gathered.catalogue.kind(draft.kind)
    subjects = [
        draft.slots[slot.name]
        for slot in kind.slots
        if slot.from_place and slot.name in draft.slots
    ]
    said = subjects[0] if subjects else (other if other != to else None)
    return value_text(said) if said is not None else gathered.say("unnamed")


def _stays(moves: list[_Move], today: date, unnamed: str) -> tuple[Stay, ...]:
    """Each mover stays until it is moved to other ground; one not named is noted for that day."""
    found = [
        Stay(row=move.to, who=unnamed, first=move.day, last=move.day)
        for move in moves
        if move.who == unnamed
    ]
    for who in dict.fromkeys(move.who for move in moves if move.who != unnamed):
        mine = [move for move in moves if move.who == who]
        changes = [move for at, move in enumerate(mine) if not at or mine[at - 1].to != move.to]
        ends = [move.day for move in changes[1:]] + [today]
        found.extend(
            Stay(row=move.to, who=who, first=move.day, last=end)
            for move, end in zip(changes, ends, strict=True)
        )
    return tuple(sorted(found, key=lambda stay: (stay.first, stay.who)))


def _paddock(gathered: Gathered, ground: str, stays: tuple[Stay, ...]) -> Paddock:
    used = [stay.last for stay in stays if stay.row == ground]
    if not used:
        use = gathered.use("moved_to")
        older = gathered.newest_before(use.kind, **{use.slot: ground})
        used = [gathered.day(older)] if older is not None else []
    return Paddock(name=ground, last_used=max(used, default=None))


def _stay_table(gathered: Gathered, shown: tuple[Stay, ...]) -> Table:
    still = _now(gathered, shown)
    rows = [
        (
            stay.row,
            stay.who,
            day(stay.first),
            gathered.say("still_there") if stay in still else day(stay.last),
            str((stay.last - stay.first).days),
        )
        for stay in shown
    ]
    keys = ("stays_axis", "who", "from_day", "to_day", "days")
    return Table(
        name="stays",
        title=gathered.say("stays_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(rows),
    )


def _rest_table(
    gathered: Gathered, paddocks: tuple[Paddock, ...], shown: tuple[Stay, ...]
) -> Table:
    in_use = {stay.row for stay in _now(gathered, shown)}
    by_name = {paddock.name: paddock for paddock in paddocks}
    rows = []
    for rest in paddock_rests(paddocks, gathered.last):
        last = by_name[rest.name].last_used
        if rest.name in in_use:
            used, rested, told = gathered.say("in_use"), "0", "—"
        elif last is None or rest.days_rested is None:
            used, rested, told = gathered.say("never_used"), "—", "—"
        else:
            used, rested = day(last), str(rest.days_rested)
            key = "short_of_rest" if rest.days_short else "enough_rest"
            told = gathered.say(key, least=GRASS_REST.least)
        rows.append((rest.name, used, rested, told))
    keys = ("stays_axis", "last_used", "rested", "grass")
    return Table(
        name="rests",
        title=gathered.say("rests_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(rows),
    )


def _now(gathered: Gathered, shown: tuple[Stay, ...]) -> tuple[Stay, ...]:
    """The last stay of each mover with a name: where it stands now."""
    last = {stay.who: stay for stay in shown}
    return tuple(stay for who, stay in last.items() if who != gathered.say("unnamed"))


def _next_facts(
    gathered: Gathered, paddocks: tuple[Paddock, ...], shown: tuple[Stay, ...]
) -> list[Fact]:
    here: dict[str, list[Stay]] = {}
    for stay in _now(gathered, shown):
        here.setdefault(stay.row, []).append(stay)
    facts = []
    free = tuple(paddock for paddock in paddocks if paddock.name not in here)
    for ground, stays in here.items():
        since = min(stay.first for stay in stays)
        move = next_move(free, gathered.last, here=ground, since=since)
        if move is not None:
            facts.append(_next_fact(gathered, move, ", ".join(stay.who for stay in stays)))
    return facts


def _next_fact(gathered: Gathered, move: NextMove, who: str) -> Fact:
    return Fact(
        name="next",
        label=gathered.say("next_ground"),
        text=gathered.say(
            "next_ground_text",
            who=who,
            to=move.to,
            earliest=day(move.earliest),
            latest=day(move.latest),
        ),
    )


def _plots(
    gathered: Gathered, grounds: tuple[str, ...], shown: tuple[Stay, ...]
) -> tuple[Plot, ...]:
    if len(gathered.days) < LEAST_DAYS:
        return ()
    used = {stay.row for stay in shown}
    return (
        Plot(
            name="stays",
            title=gathered.say("stays_plot"),
            x_label=gathered.day_axis,
            y_label=gathered.say("stays_axis"),
            days=gathered.days,
            stays=tuple(
                Stay(
                    row=stay.row,
                    who=stay.who,
                    first=max(stay.first, gathered.first),
                    last=stay.last,
                )
                for stay in shown
            ),
            rows=tuple(ground for ground in grounds if ground in used),
        ),
    )
