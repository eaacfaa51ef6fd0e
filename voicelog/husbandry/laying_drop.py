"""Whether fewer eggs are a fall, chance, or one gathering missed.

Small counts swing: thirty birds that lay at 80 percent give 20 to 28 on nineteen days of twenty, by
chance alone. So no percentage is compared; each gathering is asked how probable so few would be if
nothing had changed since the days before (exact test of two shares: no curve is fitted, and the
chance in the days before counts too). Three rules of a control chart follow (Shewhart's and
Western Electric's, from memory, M):

- low once: the latest gathering alone lies beyond the three-sigma limit. It may be a gathering
  missed or written down elsewhere, so it asks for a look and for the next gathering.
- fall: two of the last three gatherings each lie beyond the two-sigma limit, the latest one of
  them. One missed gathering can never do that, and one made good the next day takes it back.
- slow fall: eight gatherings in a row lie below the rate of the days before them, and together
  beyond the two-sigma limit; without the second half chance alone calls one every two months.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, lgamma
from typing import Literal

from voicelog.husbandry.bounds import above_zero, at_least_zero
from voicelog.husbandry.laying import LaidRow

BEFORE_DAYS = 14
"""Days compared with; derived from alarm rules for small flocks, D."""
_LEAST_BEFORE_DAYS = 7
"""Fewer days before say too little; from memory, M."""
_THREE_SIGMA = 0.00135
_TWO_SIGMA = 0.0228
"""Chances of a value that far below, one side of the normal curve."""
_FALL_OF = 3
_FALL_LOW = 2
"""Western Electric rule 2, from memory, M: two of three beyond two sigma."""
_RUN = 8
"""Western Electric rule 4, from memory, M: eight in a row on one side."""
_PERCENT = 100

Verdict = Literal["too few days", "steady", "low once", "fall", "slow fall"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LayingDrop:
    """What the latest gatherings say against the days before them."""

    verdict: Verdict
    before_percent: float | None
    """Rate of the days before; None where they are too few."""
    latest_percent: float | None
    """Rate of the gatherings that the verdict stands on."""
    change_percent: float | None
    """By how much the one differs from the other, as a share of it: -20 is a fifth fewer."""
    chance: float | None
    """How probable so few, or fewer, would be in them if nothing had changed, 0 to 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Gathering:
    laid: float
    hen_days: float
    days: int
    """Days that it covers: 1, and the days nobody gathered before it."""


def shortfall_chance(
    laid: float, hen_days: float, laid_before: float, hen_days_before: float
) -> float:
    """How probable so few, or fewer, would be if the rate were that of the days before.

    The one-sided exact test of two shares (Fisher's): all eggs of both stretches are thought
    spread over all hen-days by chance. Birds that lay on alternate days together swing a little
    less, weather makes them swing more; neither is taken into account.

    Unit: probability, 0 to 1.
    Range: below 0.00135 beyond three sigma, below 0.0228 beyond two.
    Source: Fisher's exact test, from memory, grade M.

    Args:
        laid: eggs of the stretch in question.
        hen_days: birds alive, added up over its days.
        laid_before: eggs of the days compared with.
        hen_days_before: their birds alive, added up.

    Raises:
        RequestError: eggs are below 0, or hen-days not above 0.
    """
    few = round(at_least_zero(laid, "The number laid"))
    many = round(at_least_zero(laid_before, "The number laid before"))
    # More eggs than hen-days (a gathering late by some hours) is a full house, not an error.
    here = max(few, round(above_zero(hen_days, "The sum of birds alive each day")))
    there = max(many, round(above_zero(hen_days_before, "The sum of birds alive before")))
    drawn = few + many
    whole = _log_ways(here + there, drawn)
    least = max(0, drawn - there)
    return min(
        1.0,
        sum(
            exp(_log_ways(here, taken) + _log_ways(there, drawn - taken) - whole)
            for taken in range(least, few + 1)
        ),
    )


def laying_drop(rows: Sequence[LaidRow]) -> LayingDrop:
    """Whether the latest gatherings are a fall against the 14 days before them.

    Days without a gathering are never a fall: the next gathering answers for their birds too.

    Unit: a verdict, percent and a probability.
    Range: false alarms, simulated for flocks of 6 to 60 birds at 60 to 90 percent that lay by
        chance alone: a fall on at most 1 day in 700, low once on 1 in 700, a slow fall on 1 in
        200. Of thirty birds at 80 percent a lasting loss of a quarter is found within four days
        three times in four, one of 15 percent within eight days two times in three.
    Source: control chart rules, from memory, grade M.

    Args:
        rows: one a day, the latest last; about four weeks of them.

    Raises:
        RequestError: a number is below 0.
    """
    gatherings = _gatherings(rows)
    if _is_fall(gatherings):
        return _told("fall", gatherings, _FALL_OF)
    if _is_slow_fall(gatherings):
        return _told("slow fall", gatherings, _RUN)
    return _told("low once" if _is_low_once(gatherings) else "steady", gatherings, 1)


def _gatherings(rows: Sequence[LaidRow]) -> list[_Gathering]:
    made: list[_Gathering] = []
    hen_days, days = 0.0, 0
    for row in rows:
        hen_days += at_least_zero(row.hen_days, "The number of birds alive")
        days += 1
        if row.laid is None:
            continue
        laid = at_least_zero(row.laid, "The number laid")
        if hen_days:
            made.append(_Gathering(laid=laid, hen_days=hen_days, days=days))
        hen_days, days = 0.0, 0
    return made


def _before(gatherings: Sequence[_Gathering], latest: int) -> _Gathering | None:
    """The 14 days before the latest gatherings, summed; None where they are too few."""
    laid, hen_days, days = 0.0, 0.0, 0
    for gathering in reversed(gatherings[: len(gatherings) - latest]):
        if days >= BEFORE_DAYS:
            break
        laid += gathering.laid
        hen_days += gathering.hen_days
        days += gathering.days
    if days < _LEAST_BEFORE_DAYS:
        return None
    return _Gathering(laid=laid, hen_days=hen_days, days=days)


def _chance(gathering: _Gathering, before: _Gathering) -> float:
    return shortfall_chance(gathering.laid, gathering.hen_days, before.laid, before.hen_days)


def _is_low_once(gatherings: Sequence[_Gathering]) -> bool:
    before = _before(gatherings, 1)
    return before is not None and _chance(gatherings[-1], before) < _THREE_SIGMA


def _is_fall(gatherings: Sequence[_Gathering]) -> bool:
    before = _before(gatherings, _FALL_OF)
    if before is None:
        return False
    low = [_chance(one, before) < _TWO_SIGMA for one in gatherings[-_FALL_OF:]]
    return low[-1] and sum(low) >= _FALL_LOW


def _is_slow_fall(gatherings: Sequence[_Gathering]) -> bool:
    before = _before(gatherings, _RUN)
    if before is None:
        return False
    run, rate = gatherings[-_RUN:], before.laid / before.hen_days
    below = all(one.laid / one.hen_days < rate for one in run)
    return below and _chance(_sum(run), before) < _TWO_SIGMA


def _told(verdict: Verdict, gatherings: Sequence[_Gathering], latest: int) -> LayingDrop:
    before = _before(gatherings, latest)
    if before is None:
        return LayingDrop(
            verdict="too few days",
            before_percent=None,
            latest_percent=None,
            change_percent=None,
            chance=None,
        )
    stretch = _sum(gatherings[-latest:])
    was, now = before.laid / before.hen_days, stretch.laid / stretch.hen_days
    return LayingDrop(
        verdict=verdict,
        before_percent=was * _PERCENT,
        latest_percent=now * _PERCENT,
        change_percent=(now / was - 1) * _PERCENT if was else None,
        chance=_chance(stretch, before),
    )


def _sum(gatherings: Sequence[_Gathering]) -> _Gathering:
    return _Gathering(
        laid=sum(one.laid for one in gatherings),
        hen_days=sum(one.hen_days for one in gatherings),
        days=sum(one.days for one in gatherings),
    )


def _log_ways(of: int, taken: int) -> float:
    """Logarithm of the number of ways to take some of so many."""
    return lgamma(of + 1) - lgamma(taken + 1) - lgamma(of - taken + 1)
