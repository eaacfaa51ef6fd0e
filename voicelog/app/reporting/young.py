"""The calendars of eggs that are sat on, and of the young: what is due when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.app.reporting.flock_book import FlockBook
from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.page import Fact, Section, Table
from voicelog.app.reporting.wording import cited, cited_rows, day, day_span, rounded
from voicelog.husbandry import (
    DatedStep,
    breaking_up,
    hatch_percent,
    incubation_calendar,
    rearing_steps,
    week_of_life,
)
from voicelog.sentences import listed
from voicelog.types import Record

_LOOK_BACK = timedelta(days=60)
"""Longer than any setting lasts."""
_LOOK_AHEAD = timedelta(days=14)
_GROWN = timedelta(days=26 * 7)
"""Steps end before; longer ago hatched birds are not young any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Setting:
    """Eggs set under a bird, and what came of it."""

    who: str
    on: date
    under: int | None
    end: Record | None
    """The record that it hatched or was given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Young:
    """Birds that hatched together."""

    name: str
    class_: str
    hatched: date


def young_section(gathered: Gathered, book: FlockBook) -> Section | None:
    """Both calendars; None where nothing is sat on and nothing young is there."""
    records = gathered.since(gathered.use("sat").kind, gathered.first - _GROWN)
    settings = [s for s in _settings(gathered, records) if _shown(gathered, s)]
    broken = [
        record
        for record in records
        if gathered.says(record, "sat", "broken_up") and gathered.day(record) >= gathered.first
    ]
    young = _young(gathered, book, records)
    steps = {one.name: _steps(gathered, one) for one in young}
    shown = [one for one in young if steps[one.name]]
    if not (settings or broken or shown):
        return None
    advice = [step.advice for one in shown for step in steps[one.name]]
    named = dict.fromkeys(one.caution for one in advice if one.caution)
    tables = [_set_table(gathered, settings)] if settings else []
    tables += [_step_table(gathered, one, steps[one.name]) for one in shown]
    sources = [*(["hatching"] if settings else []), *(["breaking"] if broken else [])]
    return Section(
        facts=(
            *_rate_facts(gathered, settings),
            *(_broken_fact(gathered, record) for record in broken),
            *(_age_fact(gathered, one) for one in shown),
        ),
        tables=tuple(tables),
        cautions=tuple(gathered.catalogue.caution(name) for name in named),
        sources=(
            *cited(gathered, *sources),
            *cited_rows(rearing_steps.__name__, (one.source for one in advice)),
        ),
    )


def _who(record: Record) -> tuple[str, ...]:
    """Which bird, or else where."""
    draft = record.draft
    return draft.birds or tuple(name for name in (draft.place, draft.flock) if name)


def _settings(gathered: Gathered, records: tuple[Record, ...]) -> list[_Setting]:
    found = []
    for at, record in enumerate(records):
        if not gathered.says(record, "sat", "set"):
            continue
        later = [other for other in records[at + 1 :] if _who(other) == _who(record)]
        ends = (
            other
            for other in later
            if gathered.says(other, "sat", "hatched") or gathered.says(other, "sat", "broken_up")
        )
        under = gathered.number(record, "under")
        found.append(
            _Setting(
                who=listed(_who(record)) or gathered.say("unnamed"),
                on=gathered.day(record),
                under=None if under is None else round(under),
                end=next(ends, None),
            )
        )
    return found


def _shown(gathered: Gathered, setting: _Setting) -> bool:
    """Whether it ended, or should have hatched, in the period or lately."""
    ended = None if setting.end is None else gathered.day(setting.end)
    return (ended or setting.on + _LOOK_BACK) >= gathered.first


def _set_table(gathered: Gathered, settings: list[_Setting]) -> Table:
    rows = []
    for setting in settings:
        calendar = incubation_calendar(setting.on)
        eggs = "" if setting.under is None else f" ({setting.under})"
        rows.append(
            (
                setting.who,
                day(setting.on) + eggs,
                ", ".join(day(on) for on in calendar.candle),
                day(calendar.lockdown),
                day_span(calendar.hatch, calendar.hatch_last),
                _outcome(gathered, setting),
            )
        )
    keys = ("bird", "set_on", "candle", "lockdown", "hatch", "outcome")
    return Table(
        name="settings",
        title=gathered.say("sets_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(rows),
    )


def _outcome(gathered: Gathered, setting: _Setting) -> str:
    if setting.end is None:
        return gathered.say("open_text", day=(gathered.last - setting.on).days)
    on = day(gathered.day(setting.end))
    if gathered.says(setting.end, "sat", "broken_up"):
        return gathered.say("given_up_text", day=on)
    count = gathered.number(setting.end, "young")
    return gathered.say("hatched_text", count="?" if count is None else count, day=on)


def _rate_facts(gathered: Gathered, settings: list[_Setting]) -> list[Fact]:
    facts = []
    for setting in settings:
        if setting.end is None or not setting.under:
            continue
        count = gathered.number(setting.end, "young")
        if count is None or not 0 <= count <= setting.under:
            continue
        percent = hatch_percent(round(count), setting.under)
        facts.append(
            Fact(
                name="hatch_rate",
                label=gathered.say("hatch_rate"),
                text=gathered.say(
                    "out_of",
                    who=setting.who,
                    hatched=count,
                    set=setting.under,
                    percent=rounded(percent, 0),
                ),
                value=round(percent, 1),
                unit="percent",
            )
        )
    return facts


def _broken_fact(gathered: Gathered, record: Record) -> Fact:
    dates = breaking_up(gathered.day(record))
    return Fact(
        name="breaking_up",
        label=gathered.say("breaking"),
        text=gathered.say(
            "breaking_text",
            bird=listed(_who(record)) or gathered.say("unnamed"),
            caged=day(dates.caged_on),
            look=day(dates.look),
            out=day(dates.let_out),
            lays_from=day(dates.lays_from),
            lays_by=day(dates.lays_by),
        ),
    )


def _young(gathered: Gathered, book: FlockBook, records: tuple[Record, ...]) -> list[_Young]:
    """Flocks of the farm file that are young, and what hatched under birds."""
    classes = gathered.reporting.values["young_classes"]
    found = [
        _Young(name=flock.flock.name, class_=flock.flock.class_, hatched=flock.flock.hatched)
        for flock in book.of_class(classes)
        if flock.flock.hatched is not None and flock.flock.hatched <= gathered.last
        if not flock.groups or flock.alive(gathered.last, gathered.last)[0]
    ]
    for record in records:
        if gathered.says(record, "sat", "hatched") and gathered.number(record, "young"):
            who = listed(_who(record)) or gathered.say("unnamed")
            name = gathered.say("hatched_under", who=who)
            found.append(_Young(name=name, class_=classes[0], hatched=gathered.day(record)))
    return found


def _steps(gathered: Gathered, young: _Young) -> list[DatedStep]:
    """What falls into the period or the next days."""
    until = gathered.last + _LOOK_AHEAD
    return [
        step
        for step in rearing_steps(young.hatched, young.class_)
        if step.from_ <= until and step.to >= gathered.last
    ]


def _age_fact(gathered: Gathered, young: _Young) -> Fact:
    week = week_of_life(young.hatched, gathered.last)
    return Fact(
        name="week_of_life",
        label=gathered.say("age"),
        text=gathered.say("steps_first", name=young.name, week=week),
        value=week,
        unit="week",
    )


def _step_table(gathered: Gathered, young: _Young, steps: list[DatedStep]) -> Table:
    keys = ("when", "what", "source")
    return Table(
        name="steps",
        title=gathered.say("steps_table", name=young.name, hatched=day(young.hatched)),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(
            (day_span(step.from_, step.to), step.advice.text, step.advice.source) for step in steps
        ),
    )
