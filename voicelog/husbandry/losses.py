"""Deaths: what part of a flock lives, and from how many on somebody is called.

A small flock is judged by counts: of thirty birds one is three percent, so the percentages by
which large flocks are judged would call for every one, or for none. Who is called, and what is
done meanwhile, is told in general words; a vet or the agency decides.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import exp, expm1, fsum, lgamma, log, log1p

from voicelog.catalogue.stated import Advice, Figure, load_stated
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero
from voicelog.husbandry.within import of_week

_STATED = "losses"
_DAY = timedelta(days=1)
_WEEK = timedelta(days=7)
_PERCENT = 100
_ONE_AT_LEAST = 200
"""From this many birds on half a percent (S123, A) is one bird or more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Death:
    """Birds found dead at one time; those sold, culled or taken by an animal do not belong."""

    at: datetime
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DeathAlarm:
    """What the deaths of the last week call for."""

    level: str
    """`none`, `look` or `call`."""
    in_a_day: int
    """The most that died within any 24 hours of the week."""
    in_a_week: int
    reached: tuple[Figure, ...]
    """The figures that were reached."""
    advice: tuple[Advice, ...]
    """What to do; each names its caution."""


def livability_percent(start: int, lost: int) -> float:
    """Which part of a flock is alive.

    Unit: percent.
    Range: 96 to 98 and above to the seventeenth week (S111, C; S109, C).
    Source: S111, grade C.

    Raises:
        RequestError: `start` is not above 0, or `lost` is below 0 or more than there were.
    """
    _part(lost, start, "lost")
    return (start - lost) / start * _PERCENT


def usual_losses(class_: str, week: float) -> tuple[Figure, ...]:
    """What part of young birds is usually lost; each figure says of which time.

    Unit: percent of the birds at the beginning of that time.
    Range: 0.5 to 0.7 and less in the first week, 2 to 4 from then to the seventeenth.
    Source: S109, S110, S111 and S44, grade C; S112, grade B, of a century ago. They disagree.

    Args:
        class_: of birds, as in the farm file.
        week: of life, the first one being 1.

    Raises:
        RequestError: the week is not above 0.
    """
    above_zero(week, "The week of life")
    return of_week(load_stated(_STATED).figures_of(f"usual.{class_}"), week)


def death_alarm(deaths: Iterable[Death], now: datetime, birds: int) -> DeathAlarm:
    """Whether the deaths of the last seven days call for a look, or for a vet or the agency.

    Unit: birds within 24 hours and within seven days.
    Range: 1 is looked into; 2 within 24 hours or 3 in a week are told. Above 200 birds also half
        a percent on two days running.
    Source: S116, grade B, for two in a day (it adds "with the rest ill", which is left out here
        to be safe); S123, grade A, for large flocks; 1 and 3 from memory, grade M.

    Args:
        deaths: what was found dead; later and older ones are left out.
        now: the time of asking.
        birds: in the flock before these deaths.

    Raises:
        RequestError: `birds` is not above 0, or a count is below 0.
    """
    above_zero(birds, "The number of birds")
    listed = [d for d in deaths if at_least_zero(d.count, "A count") and now - _WEEK < d.at <= now]
    stated = load_stated(_STATED)
    in_a_week = sum(death.count for death in listed)
    in_a_day = max((_within_a_day(listed, death.at) for death in listed), default=0)
    (look,) = stated.figures_of("count_looked_into")
    (a_day,) = stated.figures_of("count_in_a_day")
    (a_week,) = stated.figures_of("count_in_a_week")
    reached = [
        figure for figure, count in ((a_day, in_a_day), (a_week, in_a_week)) if count >= figure.low
    ]
    percent = stated.figures_of("percent_a_day")[0]
    if birds >= _ONE_AT_LEAST and _two_days_running(listed, birds, percent.low):
        reached.append(percent)
    level = "call" if reached else "look" if in_a_week >= look.low else "none"
    return DeathAlarm(
        level=level,
        in_a_day=in_a_day,
        in_a_week=in_a_week,
        reached=tuple(reached) or ((look,) if level == "look" else ()),
        advice=_advice(level),
    )


def signs_to_report() -> tuple[Advice, ...]:
    """Signs of diseases that must be told at once, in general words.

    Unit: none.
    Range: none.
    Source: S116, grade B; S117, grade A; S118, grade C.
    """
    return load_stated(_STATED).advice_of("signs")


def chance_of_losses(lost: int, birds: int, days: float, usual_percent_a_day: float) -> float:
    """How likely so many losses or more are, if birds die one by one at the usual rate.

    An exact binomial tail, which holds for a small flock too. A small chance says that the usual
    rate no longer explains it; it does not say what does.

    Unit: none (0 to 1).
    Range: below 0.05 is seldom chance alone (common practice, no source).
    Source: arithmetic, grade D; the usual rate is the keeper's own, or from `usual_losses`.

    Args:
        lost: in the time.
        birds: at its beginning.
        days: length of the time.
        usual_percent_a_day: what part of the birds dies in a day.

    Raises:
        RequestError: a number is below 0, the rate is above 100, or more were lost than there were.
    """
    _part(lost, birds, "lost")
    at_least_zero(days, "The number of days")
    _part(at_least_zero(usual_percent_a_day, "The usual rate"), _PERCENT, "percent a day")
    rate = usual_percent_a_day / _PERCENT
    if lost == 0:
        return 1.0
    if rate == 1:
        return 1.0 if days else 0.0
    survived = days * log1p(-rate)
    if survived == 0:
        return 0.0
    died = log(-expm1(survived))
    return min(1.0, fsum(_chance(dead, birds, died, survived) for dead in range(lost, birds + 1)))


def _chance(dead: int, birds: int, died: float, survived: float) -> float:
    """That exactly so many die; `died` and `survived` are logarithms of the chances of one bird."""
    ways = lgamma(birds + 1) - lgamma(dead + 1) - lgamma(birds - dead + 1)
    return exp(ways + dead * died + (birds - dead) * survived)


def _part(part: float, whole: float, what: str) -> None:
    at_least_zero(part, f"The number {what}")
    if part > above_zero(whole, "The number there were"):
        raise RequestError(
            f"{part} {what} is more than the {whole} there were.",
            kept="Nothing was reckoned.",
            todo="Count both again.",
        )


def _within_a_day(deaths: list[Death], from_: datetime) -> int:
    """Deaths in the 24 hours that begin then."""
    return sum(death.count for death in deaths if from_ <= death.at < from_ + _DAY)


def _two_days_running(deaths: list[Death], birds: int, percent: float) -> bool:
    """Whether that part of the birds or more died on each of two days in a row."""
    by_day: dict[date, int] = {}
    for death in deaths:
        by_day[death.at.date()] = by_day.get(death.at.date(), 0) + death.count
    bad = {day for day, count in by_day.items() if count * _PERCENT >= percent * birds}
    return any(day + _DAY in bad for day in bad)


def _advice(level: str) -> tuple[Advice, ...]:
    """What to do; birds to be tested are kept, not buried, so a call has advice of its own."""
    stated = load_stated(_STATED)
    return {
        "none": (),
        "look": stated.advice_of("look"),
        "call": stated.advice_of("call"),
    }[level]
