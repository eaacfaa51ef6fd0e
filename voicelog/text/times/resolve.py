"""Fourth pass: what a phrase says is put on the calendar, by the lean of the memo."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from voicelog.text.sun import sun_time
from voicelog.text.times.calendar import (
    add_months,
    at_hour,
    before,
    day_of,
    instant,
    month_of,
    shifted,
    stretch,
    unit_of,
)  # fmt: skip
from voicelog.text.times.figures import valid
from voicelog.text.times.terms import ClockSaid, DateLike, DateSaid, PartSaid, Said, Setting
from voicelog.types import Interval, Precision

_YEARS_SEARCHED = 9
"""A leap day comes back within eight years, or nine from the day after one."""
_MONTHS_SEARCHED = 60
_WAKING_HOURS = range(5, 13)
"""Of a day that is named, an hour from five on is taken as before noon, an earlier one after."""


def settle(said: Said, setting: Setting) -> Interval | None:
    """The interval that a phrase means, or None where the calendar has no such date."""
    strict = isinstance(said.date, DateSaid) and said.date.month is None and said.date.day is None
    nearest: Interval | None = None
    for day, known in _days_said(said.date, setting):
        for option in _on(day, said, setting, known=known):
            nearest = nearest or option
            if _leans(option, setting, strict=strict, fresh=said.date is None):
                return option
    return nearest


def whole_hour(said: Said, when: Interval | None) -> Interval | None:
    """A bare hour ("at seven") as the stretch it names; minutes, noon and dawn are instants."""
    if when is None or when.from_ is None or when.precision is not Precision.HOUR:
        return when
    if said.clock is None or said.clock.exact or when.from_ != when.to:
        return when
    return Interval(
        from_=when.from_, to=shifted(when.from_, timedelta(hours=1)), precision=when.precision
    )


def settle_date(said: DateLike, setting: Setting) -> Interval | None:
    """The interval of a date alone."""
    return settle(Said(first=0, after=0, date=said), setting)


def is_day(said: DateLike | None) -> bool:
    """Whether a date is a single day, so that a clock time may stand with it."""
    if said is None or isinstance(said, DateSaid):
        return said is None or said.day is not None or said.weekday is not None
    if said.from_ is None or said.to is None or said.precision is not Precision.DAY:
        return False
    return said.to.date() - said.from_.date() == timedelta(days=1)


def _leans(option: Interval, setting: Setting, *, strict: bool, fresh: bool) -> bool:
    """Whether an interval has begun (past), or is still to come (future)."""
    start, end = option.from_, option.to
    if start is None or end is None:
        return True
    if setting.lean != "future":
        return not before(setting.now, start)
    if fresh:
        return before(setting.now, start)
    if strict and option.precision is not Precision.MONTH:
        return start.date() > setting.today
    return before(setting.now, end)


def _days_said(said: DateLike | None, setting: Setting) -> Iterator[tuple[Interval, bool]]:
    """The stretches a date may be, the likeliest first, and whether a date was said at all."""
    step = 1 if setting.lean == "future" else -1
    if said is None:
        for days in range(-1, 3):
            yield day_of(setting.today + timedelta(days=step * days), setting.zone), False
    elif isinstance(said, Interval):
        yield said, True
    else:
        for found in _dates(said, setting, step):
            yield found, True


def _dates(said: DateSaid, setting: Setting, step: int) -> Iterator[Interval]:
    zone, today = setting.zone, setting.today
    if said.nth is not None:
        yield from _nth_weekdays(said, setting, step)
    elif said.month is not None:
        years = [said.year] if said.year else [
            today.year + step * turn for turn in range(-1, _YEARS_SEARCHED)
        ]  # fmt: skip
        for year in years:
            if said.day is None:
                yield month_of(date(year, said.month, 1), zone)
            elif valid(year, said.month, said.day):
                yield day_of(date(year, said.month, said.day), zone)
    elif said.year is not None:
        yield unit_of("year", date(said.year, 1, 1), zone)
    elif said.day is not None:
        yield from _month_days(said, said.day, setting, step)
    elif said.weekday is not None:
        first = today + timedelta(days=(said.weekday - today.weekday()) % 7 - 7)
        weeks = (1, 0, -1) if step < 0 else (0, 1, 2)
        for week in weeks:
            yield day_of(first + timedelta(days=7 * week), zone)


def _month_days(said: DateSaid, day: int, setting: Setting, step: int) -> Iterator[Interval]:
    """The N-th of a month, on the weekday said where one was."""
    first = setting.today.replace(day=1)
    for months in range(-1, _MONTHS_SEARCHED):
        month = add_months(first, step * months)
        if not valid(month.year, month.month, day):
            continue
        found = month.replace(day=day)
        if said.weekday is None or found.weekday() == said.weekday:
            yield day_of(found, setting.zone)


def _nth_weekdays(said: DateSaid, setting: Setting, step: int) -> Iterator[Interval]:
    if said.month is None:
        months = [add_months(setting.today.replace(day=1), step * turn) for turn in range(-1, 13)]
    else:
        years = [said.year] if said.year else [setting.today.year + step * n for n in range(-1, 3)]
        months = [date(year, said.month, 1) for year in years]
    for month in months:
        found = nth_weekday(month, said.weekday or 0, said.nth or 1)
        if found is not None:
            yield day_of(found, setting.zone)


def nth_weekday(month: date, weekday: int, nth: int) -> date | None:
    """The N-th such weekday of a month, counted from its end where N is negative."""
    first = month.replace(day=1)
    if nth > 0:
        found = first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (nth - 1))
    else:
        last = add_months(first, 1) - timedelta(days=1)
        found = last - timedelta(days=(last.weekday() - weekday) % 7 + 7 * (-nth - 1))
    return found if found.month == month.month else None


def _on(day: Interval, said: Said, setting: Setting, *, known: bool) -> list[Interval]:
    """A part of the day and a clock time put on a day; a clock time may be read in two ways."""
    if day.from_ is None or (said.part is None and said.clock is None):
        return [day]
    on = day.from_.date()
    if said.clock is None:
        return [_part_of(on, said.part, setting)] if said.part else [day]
    clock = said.clock
    if clock.sun:
        moment = sun_time(clock.sun, on, setting.zone, setting.sky)
        return [instant(moment, clock.precision)]
    hours = _hours(clock, said.part, setting, other_day=known and on != setting.today)
    return [
        instant(at_hour(on, setting.zone, hour, clock.minute, clock.second), clock.precision)
        for hour in hours
    ]


def _part_of(day: date, part: PartSaid, setting: Setting) -> Interval:
    """A part of a day, or the beginning, middle or end of it in whole hours."""
    first, last = part.first, part.last
    if part.third is not None:
        length = last - first
        first, last = (
            first + length * part.third // 3,
            first + length * (part.third + 1) // 3,
        )
    return Interval(
        from_=at_hour(day, setting.zone, first),
        to=at_hour(day, setting.zone, last),
        precision=Precision.PART_OF_DAY,
    )


def _hours(
    clock: ClockSaid, part: PartSaid | None, setting: Setting, *, other_day: bool
) -> list[int]:
    """The hours of the day that a clock time may mean, the likelier first."""
    if clock.exact:
        return [clock.hour]
    hour = clock.hour % 12
    if clock.half is not None:
        night = part is not None and part.last > 24 and clock.half == 0
        return [hour + clock.half + (24 if night else 0)]
    if part is not None:
        return [_hour_in_part(hour, part)]
    waking = hour if clock.hour in _WAKING_HOURS and clock.hour != 12 else hour + 12
    if other_day:
        return [waking]
    return [hour + 12, hour] if setting.lean != "future" else [hour, hour + 12]


def _hour_in_part(hour: int, part: PartSaid) -> int:
    """The reading of an hour that lies in or nearest to a part of the day."""
    if part.last <= 12:
        return hour
    if part.last > 24:
        return hour + 12 if hour >= 6 else hour + 24
    return hour + 12


def season_begun(index: int, setting: Setting) -> date:
    """The first day of the latest season of a name (0 spring .. 3 winter) begun by today."""
    south = setting.sky is not None and setting.sky.latitude < 0
    month = (3, 6, 9, 12)[(index + 2) % 4 if south else index]
    first = date(setting.today.year, month, 1)
    return first if first <= setting.today else add_months(first, -12)


def season(first: date, setting: Setting) -> Interval:
    """The season that begins on a day."""
    return stretch(first, add_months(first, 3), setting.zone, Precision.SEASON)


def moment_now(setting: Setting) -> Interval:
    """The very minute of the memo."""
    return instant(setting.now)


def day_at(setting: Setting, offset: int) -> Interval:
    """The day that lies so many days after today."""
    return day_of(setting.today + timedelta(days=offset), setting.zone)
