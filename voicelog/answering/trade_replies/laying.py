"""How the flock lays, and whether it lays less."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from voicelog.answering import sentences
from voicelog.answering.trade_replies.birds import Alive, alive
from voicelog.answering.trade_replies.footing import Footing, number_of, rounded, shown
from voicelog.catalogue.laying import load_laying
from voicelog.husbandry import (
    LaidRow,
    RecentRate,
    laying_birds,
    laying_days,
    laying_drop,
    recent_rates,
)
from voicelog.husbandry.laying_days import RECENT_DAYS
from voicelog.types import Answer, Record

_DAYS = 28
"""About four weeks are enough to compare with; see `laying_drop`."""
_WEEK = 7
_PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class LayingBook:
    """The days of the laying book up to the last one that is whole."""

    rows: tuple[LaidRow, ...]
    last: date
    records: tuple[Record, ...]
    """Gatherings, the newest first."""
    alive: Alive


def rate(footing: Footing) -> Answer:
    """The rates of the last 3, 7 and 14 days; the value is that of the days named, else of 7."""
    book = laying_book(footing)
    if isinstance(book, Answer):
        return book
    rates = recent_rates(book.rows)
    wished = _days_named(footing)
    chosen = next((one for one in rates if one.days == wished and one.period), None)
    chosen = chosen or next((one for one in rates if one.period is not None), None)
    if chosen is None or chosen.period is None:
        return footing.untold([footing.say("no_gatherings", days=max(RECENT_DAYS))])
    laying = load_laying()
    parts = [
        footing.say(
            "rate",
            title=laying.title[:1].upper() + laying.title[1:],
            rates="; ".join(_rate(footing, r) for r in rates),
        )
    ]
    parts.append(footing.say("rate_basis", birds=_birds(book), last=sentences.day(book.last)))
    parts += _left_open(footing, book)
    parts.append(footing.sourced("S1"))
    first = book.last - timedelta(days=chosen.days - 1)
    return footing.told(
        rounded(chosen.period.percent),
        parts,
        [r for r in book.records if footing.day_of(r) >= first],
        unit=footing.declared.units["percent"],
        from_=footing.midnight(first),
        to=footing.midnight(book.last + timedelta(days=1)),
    )


def drop(footing: Footing) -> Answer:
    """Whether fewer were laid than chance explains; one low gathering alone is no fall."""
    book = laying_book(footing)
    if isinstance(book, Answer):
        return book
    told = laying_drop(book.rows)
    if told.before_percent is None or told.latest_percent is None:
        return footing.untold([footing.say("too_few_days", days=_WEEK)])
    name = told.verdict.replace(" ", "_")
    parts = [
        footing.say(
            f"drop_{name}",
            before=shown(told.before_percent),
            latest=shown(told.latest_percent),
            change=shown(abs(told.change_percent or 0.0), 0),
        )
    ]
    if told.chance is not None and told.verdict != "steady":
        parts.append(footing.say("drop_chance", percent=_small(told.chance * _PERCENT)))
    parts += _left_open(footing, book)
    parts.append(footing.say("drop_rule"))
    fell = told.verdict in ("fall", "slow fall")
    if fell:
        parts.append(footing.say("drop_look"))
    return footing.told(fell, parts, book.records[: _WEEK * 2])


def laying_book(footing: Footing) -> LayingBook | Answer:
    """The book of the last days; an answer that says what is missing where it cannot be made."""
    values = footing.declared.values
    farm = footing.ground.farm
    layers = [f for f in farm.flocks if f.class_ in values["layers"]]
    growing = [f for f in farm.flocks if f.class_ in values["growing"] and f.hatched is not None]
    birds = alive(footing, (*layers, *growing))
    if not layers or any(f.name in birds.uncounted for f in layers):
        return footing.untold([footing.say("no_count")])
    start = footing.midnight(footing.today - timedelta(days=_DAYS))
    records = tuple(
        r
        for r in footing.done("laid", since=start)
        if number_of(footing.slot(r, "laid")) is not None
    )
    last = _last_whole_day(footing, records)
    records = tuple(r for r in records if footing.day_of(r) <= last)
    if not records:
        return footing.untold([footing.say("no_gatherings", days=_DAYS)])
    gathered: dict[date, int] = {}
    for record in records:
        day = footing.day_of(record)
        gathered[day] = gathered.get(day, 0) + int(number_of(footing.slot(record, "laid")) or 0)
    first = min(gathered)
    counted = laying_birds(birds.groups, first, last)
    if not any(counted):
        return footing.untold([footing.say("none_of_age")])
    rows = laying_days(counted, first, gathered)
    return LayingBook(rows=rows, last=last, records=records, alive=birds)


def _last_whole_day(footing: Footing, records: Sequence[Record]) -> date:
    """Today only where every place gathered from in the last week has been gathered today."""
    today = footing.today
    week = today - timedelta(days=_WEEK)
    usual = {r.draft.place for r in records if week <= footing.day_of(r) < today}
    seen = {r.draft.place for r in records if footing.day_of(r) == today}
    return today if seen and usual <= seen else today - timedelta(days=1)


def _days_named(footing: Footing) -> int:
    """How many days the question names; a week where it names none of those reckoned."""
    period = footing.asked.question.period
    if period is None or period.from_ is None:
        return _WEEK
    end = period.to or footing.ground.now
    days = round((end - period.from_) / timedelta(days=1))
    return days if days in RECENT_DAYS else _WEEK


def _rate(footing: Footing, one: RecentRate) -> str:
    if one.period is None:
        return footing.say("rate_none", days=one.days)
    return footing.say(
        "rate_of_days",
        days=one.days,
        percent=shown(one.period.percent),
        laid=one.period.laid,
        bird_days=shown(one.period.hen_days),
    )


def _birds(book: LayingBook) -> str:
    return shown(book.rows[-1].hen_days)


def _left_open(footing: Footing, book: LayingBook) -> list[str]:
    parts = []
    missing = sum(row.laid is None for row in book.rows[-max(RECENT_DAYS) :])
    if missing:
        parts.append(footing.say("days_missing", days=missing))
    if book.alive.unplaced:
        parts.append(footing.say("lost_unplaced", birds=book.alive.unplaced))
    return parts


def _small(percent: float) -> str:
    """A chance in percent, without pretending to more than is known."""
    return "less than 0.1" if percent < 0.1 else f"about {percent:.1f}"
