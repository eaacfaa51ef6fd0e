"""Birds lost and birds alive, and whether the deaths of the last week call for somebody."""

from __future__ import annotations

from voicelog.app.reporting.flock_book import FlockBook, FlockDays, birds_said
from voicelog.app.reporting.gathered import Gathered
from voicelog.app.reporting.page import Fact, Section, Table
from voicelog.app.reporting.wording import cited, cited_rows, day
from voicelog.husbandry import Death, DeathAlarm, death_alarm
from voicelog.sentences import cautions_of, counted, listed, value_text
from voicelog.types import Record


def losses_section(gathered: Gathered, book: FlockBook) -> Section | None:
    """Losses, arrivals and birds alive; None where none was lost or came."""
    lost, came = gathered.of("lost"), gathered.of("came")
    if not lost and not came:
        return None
    alarm = _alarm(gathered, book)
    facts = []
    if lost:
        facts.append(_lost_fact(gathered, lost))
    if came:
        facts.append(_came_fact(gathered, came))
    if alarm is not None and alarm.advice:
        facts.append(_alarm_fact(gathered, alarm))
    advice = alarm.advice if alarm is not None else ()
    named = [gathered.catalogue.caution(one.caution) for one in advice if one.caution]
    tables = [_lost_table(gathered, lost)] if lost else []
    return Section(
        facts=tuple(facts),
        tables=(*tables, *_alive_table(gathered, book)),
        notes=(*_notes(gathered, book), *(one.text for one in advice)),
        cautions=(*named, *cautions_of(record.draft for record in lost)),
        sources=(
            *(cited(gathered, "alarm") if advice else ()),
            *cited_rows(death_alarm.__name__, (one.source for one in advice)),
        ),
    )


def _lost_fact(gathered: Gathered, lost: tuple[Record, ...]) -> Fact:
    total = sum(birds_said(gathered, record, "lost") or 0 for record in lost)
    unit = gathered.say("one_bird")
    return Fact(
        name="lost",
        label=gathered.say("lost"),
        text=counted(total, unit),
        value=total,
        unit=unit,
    )


def _came_fact(gathered: Gathered, came: tuple[Record, ...]) -> Fact:
    total = sum(birds_said(gathered, record, "came") or 0 for record in came)
    whom = dict.fromkeys(record.draft.flock for record in came if record.draft.flock)
    unit = gathered.say("one_bird")
    text = f"{counted(total, unit)} ({listed(tuple(whom))})" if whom else counted(total, unit)
    return Fact(name="came", label=gathered.say("came"), text=text, value=total, unit=unit)


def _lost_table(gathered: Gathered, lost: tuple[Record, ...]) -> Table:
    rows = []
    for record in lost:
        draft, count = record.draft, birds_said(gathered, record, "lost")
        about = (draft.flock, *draft.birds, draft.place)
        rows.append(
            (
                day(gathered.day(record)),
                "—" if count is None else str(count),
                ", ".join(part for part in about if part) or "—",
                value_text(gathered.slot(record, "cause")),
            )
        )
    keys = ("day", "birds", "what", "cause")
    return Table(
        name="lost",
        title=gathered.say("lost_table"),
        columns=tuple(gathered.say(key) for key in keys),
        rows=tuple(rows),
    )


def _alive_table(gathered: Gathered, book: FlockBook) -> tuple[Table, ...]:
    rows = []
    for flock in book.flocks:
        if not flock.groups:
            continue
        start, end = _at_ends(gathered, flock)
        rows.append((flock.flock.name, str(start), str(end)))
    if not rows:
        return ()
    keys = ("flock", "at_start", "at_end")
    return (
        Table(
            name="alive",
            title=gathered.say("alive_table"),
            columns=tuple(gathered.say(key) for key in keys),
            rows=tuple(rows),
        ),
    )


def _at_ends(gathered: Gathered, flock: FlockDays) -> tuple[int, int]:
    """Birds there on the first day, and those left now, today's losses taken off."""
    (start,) = flock.alive(gathered.first, gathered.first)
    came = sum(group.count for group in flock.groups if group.came <= gathered.last)
    lost = sum(loss.count for group in flock.groups for loss in group.lost)
    return start, came - lost


def _alarm(gathered: Gathered, book: FlockBook) -> DeathAlarm | None:
    birds = sum(flock.alive(gathered.last, gathered.last)[0] for flock in book.flocks)
    deaths = [
        Death(at=gathered.at(record), count=birds_said(gathered, record, "lost") or 1)
        for record in book.losses
        if gathered.says(record, "cause", "died")
    ]
    return death_alarm(deaths, gathered.now, birds) if birds else None


def _alarm_fact(gathered: Gathered, alarm: DeathAlarm) -> Fact:
    return Fact(
        name="found_dead_in_7_days",
        label=gathered.say("alarm"),
        text=gathered.say(f"alarm_{alarm.level}", week=alarm.in_a_week, day=alarm.in_a_day),
        value=alarm.in_a_week,
        unit=gathered.say("one_bird"),
    )


def _notes(gathered: Gathered, book: FlockBook) -> tuple[str, ...]:
    found = []
    if book.lost_of_none:
        birds = counted(book.lost_of_none, gathered.say("one_bird"))
        found.append(gathered.say("no_flock_note", birds=birds))
    if book.largest_taken:
        found.append(gathered.say("largest_note"))
    if book.unnumbered:
        found.append(gathered.say("no_number_note"))
    return tuple(found)
