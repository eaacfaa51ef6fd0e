"""What was laid by place, what is held back, and what is to be known about the rate."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta

from voicelog.app.reporting.flock_book import FlockDays
from voicelog.app.reporting.gathered import Gathered, plain_number
from voicelog.app.reporting.gatherings import Gathering, Rates, not_all_gathered
from voicelog.app.reporting.holding import Holds
from voicelog.app.reporting.laid_plots import rates_by_day
from voicelog.app.reporting.page import Table
from voicelog.app.reporting.wording import day, day_list, laid_text, rounded
from voicelog.sentences import counted, listed, value_text

_MOST = 100


def place_table(gathered: Gathered, found: tuple[Gathering, ...]) -> Table:
    """By place, with the other counts that were said; columns without any are left out."""
    kind = gathered.catalogue.kind(gathered.laying.kind)
    others = [slot for slot in kind.slots if slot.adds_up and slot.name != gathered.laying.slot]
    records = gathered.by_kind.get(kind.name, ())
    totals = Counter[str]()
    for one in found:
        totals[one.place] += one.laid
    places = [place for place, _ in totals.most_common()]
    counts: dict[tuple[str, str], float] = {}
    for record in records:
        where = record.draft.place or gathered.say("elsewhere")
        for slot in others:
            said = plain_number(record.draft.slots.get(slot.name)) or 0
            counts[where, slot.name] = counts.get((where, slot.name), 0) + said
    shown = [s for s in others if any(counts.get((place, s.name)) for place in places)]
    held = any(one.held for one in found)
    rows = []
    for place in places:
        mine = [one for one in found if one.place == place]
        days = len({one.day for one in mine})
        row = [place, str(days), rounded(totals[place])]
        row += [rounded(sum(one.laid for one in mine if one.held))] if held else []
        row += [rounded(counts.get((place, slot.name), 0)) for slot in shown]
        rows.append(tuple(row))
    columns = [gathered.say(key) for key in ("place", "days", "laid_column")]
    columns += [gathered.say("held_column")] if held else []
    columns += [slot.title for slot in shown]
    return Table(
        name="by_place",
        title=gathered.say("by_place"),
        columns=tuple(columns),
        rows=tuple(rows),
    )


def held_table(gathered: Gathered, holds: Holds, found: tuple[Gathering, ...]) -> Table:
    rows = []
    for hold in holds.holds:
        if not hold.meets(gathered.first, gathered.last):
            continue
        homes = [place for place, flock in holds.homes if flock == hold.flock.name]
        meanwhile = sum(
            one.laid for one in found if hold.on(one.day) and (not homes or one.place in homes)
        )
        through = hold.kept.through
        rows.append(
            (
                ", ".join((hold.flock.name, *homes)),
                f"{listed(hold.what)}, {day(hold.first)}",
                day(through) if through else gathered.say("held_ask"),
                laid_text(gathered, meanwhile),
            )
        )
    keys = ("flock", "held_given", "held_through", "held_in_period")
    return Table(
        name="held",
        title=gathered.say("held_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(rows),
    )


def held_notes(gathered: Gathered, holds: Holds) -> tuple[str, ...]:
    """Treatments that say too little to hold anything back by."""
    return tuple(
        gathered.say(
            "held_vague",
            what=value_text(gathered.slot(record, "given")),
            day=day(gathered.day(record)),
        )
        for record in holds.vague
    )


def laid_notes(
    gathered: Gathered,
    layers: tuple[FlockDays, ...],
    found: tuple[Gathering, ...],
    rates: Rates | None,
) -> tuple[str, ...]:
    uncounted = [flock.flock.name for flock in layers if not flock.groups]
    if rates is None:
        named = listed(uncounted)
        return (gathered.say("no_count", flocks=named),) if uncounted and found else ()
    notes = [gathered.say("alive_basis")]
    days = [rates.first + timedelta(days=at) for at in range(len(rates.rows))]
    last = len(days) - rates.period.uncovered
    missed = [
        on for on, row in zip(days[:last], rates.rows[:last], strict=True) if row.laid is None
    ]
    if carried := [on for on in missed if on < gathered.first]:
        notes.append(gathered.say("carried_in", days=counted(len(carried), "day")))
    if inside := [on for on in missed if on >= gathered.first]:
        notes.append(gathered.say("missing_days", days=day_list(inside)))
    if rates.period.uncovered:
        is_or_are = "is" if rates.period.uncovered == 1 else "are"
        late = f"{counted(rates.period.uncovered, 'day')} {is_or_are}"
        notes.append(gathered.say("uncovered", days=late))
    if above := [on for on, rate in rates_by_day(rates.first, rates.rows).items() if rate > _MOST]:
        notes.append(gathered.say("above_all", days=day_list(above)))
    if not_all_gathered(gathered, found):
        notes.append(gathered.say("today_part"))
    ageless = [flock.flock.name for flock in layers if flock.flock.hatched is None]
    if ageless:
        notes.append(gathered.say("no_age", flocks=listed(ageless)))
    elif gathered.farm.latitude is not None:
        notes.append(gathered.say("sun_only"))
    return tuple(notes)
