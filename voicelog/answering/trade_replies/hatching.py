"""When eggs that were set hatch, and when they are candled and left alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.answering import sentences
from voicelog.answering.trade_replies.footing import Footing
from voicelog.catalogue import expand_all
from voicelog.catalogue.species import Species, load_species
from voicelog.husbandry import IncubationCalendar, incubation_calendar
from voicelog.types import Answer, Record

_Day = Callable[[IncubationCalendar, date], date]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Setting:
    """Eggs that were set and, as far as is recorded, have not come out yet."""

    record: Record
    calendar: IncubationCalendar
    by: str
    """Who sits on them, as closely as was said."""


def hatch(footing: Footing) -> Answer:
    """When they hatch."""
    return _told(footing, _hatching)


def candle(footing: Footing) -> Answer:
    """When to candle next; the last of the days where all are past."""
    return _told(footing, _next_candling)


def lockdown(footing: Footing) -> Answer:
    """From when they are left alone."""
    return _told(footing, _last_turning)


def _hatching(calendar: IncubationCalendar, _today: date) -> date:
    return calendar.hatch


def _last_turning(calendar: IncubationCalendar, _today: date) -> date:
    return calendar.lockdown


def _next_candling(calendar: IncubationCalendar, today: date) -> date:
    return next((day for day in calendar.candle if day >= today), calendar.candle[-1])


def _told(footing: Footing, which: _Day) -> Answer:
    if footing.asked.unknown and not footing.asked.question.birds:
        return footing.unnamed()
    species = _species(footing)
    if len(species) > 1:
        names = sentences.either(one.name for one in species)
        return footing.untold([footing.say("which_species", species=names)])
    records = _set(footing)
    if not records:
        return footing.untold([footing.say("none_set", by=_asked_by(footing))])
    open_ = [r for r in records if _is_open(footing, r)]
    if not open_:
        over = records[0]
        set_on = sentences.day(footing.day_of(over))
        return footing.untold([footing.say("set_and_over", by=_by(footing, over), day=set_on)])
    settings = [
        _Setting(
            record=record,
            calendar=incubation_calendar(footing.day_of(record), _of(record, species)),
            by=_by(footing, record),
        )
        for record in open_
    ]
    # What is due next comes first; eggs of which nothing was noted any more come last.
    settings.sort(
        key=lambda one: (one.calendar.window[1] < footing.today, which(one.calendar, footing.today))
    )
    first = settings[0].calendar
    day = which(first, footing.today)
    parts = [_sentence(footing, one) for one in settings]
    parts.append(footing.say("hatch_habit"))
    kinds = [one.calendar.species for one in settings]
    parts.append(footing.sourced(*(s for k in kinds for s in (k.source, k.candle_source))))
    if (past := _past(footing, settings[0], day, which)) is not None:
        return footing.untold([past, *parts[1:]])
    evidence = [one.record for one in settings]
    if footing.asked.has("how_long"):
        days = max(0, (day - footing.today).days)
        return footing.told(days, parts, evidence, unit=footing.declared.units["day"],
                            to=footing.midnight(day))  # fmt: skip
    window = first.window if which is _hatching else (day, day)
    return footing.told(
        footing.midnight(day),
        parts,
        evidence,
        from_=footing.midnight(window[0]),
        to=footing.midnight(window[1] + timedelta(days=1)),
    )


def _past(footing: Footing, one: _Setting, day: date, which: _Day) -> str | None:
    """That the day is over, where it is; eggs may hatch late, so theirs ends with the window."""
    calendar = one.calendar
    if (calendar.window[1] if which is _hatching else day) >= footing.today:
        return None
    told = sentences.day(day)
    if which is _next_candling and calendar.window[1] >= footing.today:
        lockdown_ = sentences.day(calendar.lockdown)
        return footing.say("candle_past", by=one.by, day=told, lockdown=lockdown_)
    if which is _last_turning and calendar.window[1] >= footing.today:
        return None
    due = sentences.day(calendar.hatch)
    return footing.say("hatch_past", by=one.by, set_on=sentences.day(calendar.set_on), day=due)


def _sentence(footing: Footing, one: _Setting) -> str:
    calendar = one.calendar
    days = [sentences.day(day) for day in dict.fromkeys((calendar.hatch, calendar.hatch_last))]
    return footing.say(
        "setting",
        by=one.by,
        set_on=sentences.day(calendar.set_on),
        species=calendar.species.name,
        hatch=" to ".join(days),
        candle=sentences.listed(sentences.day(day) for day in calendar.candle),
        lockdown=sentences.day(calendar.lockdown),
    )


def _set(footing: Footing) -> list[Record]:
    """The last setting of each bird, the newest first; with birds named only theirs."""
    wanted = set(footing.asked.question.birds)
    found: dict[tuple[object, ...], Record] = {}
    for record in footing.done("sat"):
        draft = record.draft
        if not footing.is_one_of(record, "sat", "set_action"):
            continue
        if wanted and not wanted & set(draft.birds):
            continue
        found.setdefault((draft.birds, None if draft.birds else draft.place), record)
    return list(found.values())


def _is_open(footing: Footing, record: Record) -> bool:
    """Whether nothing later says that it hatched or that the bird gave up."""
    for later in footing.done("sat", since=footing.ground.begins(record)):
        if later.id == record.id or not footing.is_one_of(later, "sat", "sat_over"):
            continue
        birds, place = set(record.draft.birds), record.draft.place
        if birds & set(later.draft.birds) or (not birds and place == later.draft.place):
            return False
    return True


def _species(footing: Footing) -> tuple[Species, ...]:
    """The sorts of bird whose eggs the question names; none where it names none."""
    words = set(footing.asked.heard.words)
    plain = {word.removesuffix("'s") for word in words}
    named = [s for s in load_species()[1:] if plain & set(expand_all(s.words))]
    return tuple(named)


def _of(record: Record, asked: tuple[Species, ...]) -> Species | None:
    """The sort of bird that the question or the memo names; else the commonest."""
    if asked:
        return asked[0]
    words = set(record.draft.text.casefold().split())
    named = [s for s in load_species()[1:] if words & set(expand_all(s.words))]
    return named[0] if len(named) == 1 else None


def _by(footing: Footing, record: Record) -> str:
    draft = record.draft
    return sentences.listed(draft.birds) if draft.birds else draft.place or footing.say("someone")


def _asked_by(footing: Footing) -> str:
    birds = footing.asked.question.birds
    return footing.say("of_birds", birds=sentences.listed(birds)) if birds else ""
