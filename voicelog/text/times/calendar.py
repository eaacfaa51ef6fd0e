"""Stretches of the calendar, with correct offsets over changes of the clock.

Every function is pure. Days, weeks, months and so on are intervals from midnight to midnight
in the zone of the date-time they are built from; a length in hours is counted in real time.
"""

from __future__ import annotations

from calendar import monthrange
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from voicelog.types import Interval, Precision


def at_hour(
    day: date, zone: tzinfo | None, hour: int, minute: int = 0, second: int = 0
) -> datetime:
    """The date-time at a wall-clock hour of `day`; hours from 24 on are those of the next day.

    A wall time that a change of the clock leaves out becomes the real time that follows it.
    """
    later, hour = divmod(hour, 24)
    wall = datetime.combine(day + timedelta(days=later), time(hour, minute, second), tzinfo=zone)
    return wall.astimezone(UTC).astimezone(zone)


def shifted(moment: datetime, length: timedelta) -> datetime:
    """`moment` moved by a real length of time, in its own zone."""
    return (moment.astimezone(UTC) + length).astimezone(moment.tzinfo)


def before(one: datetime, other: datetime) -> bool:
    """Whether `one` is really earlier; equal wall times on both sides of a change differ."""
    return one.astimezone(UTC) < other.astimezone(UTC)


def add_months(day: date, months: int) -> date:
    """The same day of the month `months` later, or the month's last day where it has none."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def stretch(first: date, end: date, zone: tzinfo | None, precision: Precision) -> Interval:
    """From the beginning of `first` to the beginning of `end`."""
    return Interval(from_=at_hour(first, zone, 0), to=at_hour(end, zone, 0), precision=precision)


def instant(moment: datetime, precision: Precision = Precision.MINUTE) -> Interval:
    """An interval that begins and ends at `moment`."""
    return Interval(from_=moment, to=moment, precision=precision)


def day_of(day: date, zone: tzinfo | None) -> Interval:
    """The whole of a day."""
    return stretch(day, day + timedelta(days=1), zone, Precision.DAY)


def monday_of(day: date) -> date:
    """The Monday of the day's week."""
    return day - timedelta(days=day.weekday())


def week_of(day: date, zone: tzinfo | None) -> Interval:
    """The calendar week of a day, Monday first."""
    monday = monday_of(day)
    return stretch(monday, monday + timedelta(days=7), zone, Precision.WEEK)


def weekend_of(day: date, zone: tzinfo | None) -> Interval:
    """Saturday and Sunday of the day's week."""
    saturday = monday_of(day) + timedelta(days=5)
    return stretch(saturday, saturday + timedelta(days=2), zone, Precision.DAY)


def months_of(first: date, months: int, zone: tzinfo | None, precision: Precision) -> Interval:
    """A run of whole months that begins with the month of `first`."""
    begin = first.replace(day=1)
    return stretch(begin, add_months(begin, months), zone, precision)


def month_of(day: date, zone: tzinfo | None) -> Interval:
    """The calendar month of a day."""
    return months_of(day, 1, zone, Precision.MONTH)


def season_start(day: date) -> date:
    """The first day of the season that `day` lies in: 1 March, June, September or December."""
    return add_months(day.replace(day=1), -(day.month % 3))


def unit_of(unit: str, day: date, zone: tzinfo | None) -> Interval:
    """The calendar unit (day, week, weekend, month, season, year) of a day.

    Raises:
        KeyError: the unit has no place in the calendar, as an hour.
    """
    match unit:
        case "day":
            return day_of(day, zone)
        case "week":
            return week_of(day, zone)
        case "weekend":
            return weekend_of(day, zone)
        case "month":
            return month_of(day, zone)
        case "season":
            return months_of(season_start(day), 3, zone, Precision.SEASON)
        case "year":
            return months_of(day.replace(month=1, day=1), 12, zone, Precision.YEAR)
    raise KeyError(unit)


def moved(day: date, unit: str, count: int) -> date:
    """`day` moved by a number of days, weeks, months, seasons or years."""
    months = {"month": 1, "season": 3, "year": 12}
    if unit in months:
        return add_months(day, count * months[unit])
    days = {"day": 1, "week": 7, "weekend": 7, "fortnight": 14}
    return day + timedelta(days=count * days[unit])


def third(interval: Interval, which: int) -> Interval:
    """Beginning (0), middle (1) or end (2) of a period, cut at whole days or whole months.

    A third of a month has the precision of a week, of a season or a year that of a month, and
    of a week that of a day.
    """
    if interval.from_ is None or interval.to is None:
        return interval
    first, end, zone = interval.from_.date(), interval.to.date(), interval.from_.tzinfo
    months = (end.year - first.year) * 12 + end.month - first.month
    if months >= 3 and first.day == 1 and end.day == 1:
        cuts = [add_months(first, months * step // 3) for step in range(4)]
        return stretch(cuts[which], cuts[which + 1], zone, Precision.MONTH)
    days = (end - first).days
    if days >= 3:
        bounds = [first + timedelta(days=days * step // 3) for step in range(4)]
        finer = Precision.WEEK if days > 7 else Precision.DAY
        return stretch(bounds[which], bounds[which + 1], zone, finer)
    length = interval.to.astimezone(UTC) - interval.from_.astimezone(UTC)
    return Interval(
        from_=shifted(interval.from_, length * which / 3),
        to=shifted(interval.from_, length * (which + 1) / 3),
        precision=Precision.PART_OF_DAY,
    )


def cut_off(interval: Interval, now: datetime) -> Interval:
    """The part of an interval that is over by `now`; one that begins later is left as it is.

    For things done: they cannot lie after the moment they are told of.
    """
    if interval.from_ is not None and before(now, interval.from_):
        return interval
    if interval.to is None or before(now, interval.to):
        return Interval(from_=interval.from_, to=now, precision=interval.precision)
    return interval
