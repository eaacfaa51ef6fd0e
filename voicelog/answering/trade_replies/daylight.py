"""How long the day is on the farm, and when it becomes shorter than so many hours."""

from __future__ import annotations

from datetime import timedelta

from voicelog.answering import sentences
from voicelog.answering.trade_replies.footing import Footing, rounded, shown
from voicelog.husbandry import day_falls_below, day_length, light_to_add
from voicelog.husbandry.daylight import KEEPS_FROM_H
from voicelog.types import Answer


def length(footing: Footing) -> Answer:
    """Hours of the day named, else of today."""
    latitude = footing.ground.farm.latitude
    if latitude is None:
        return footing.untold([footing.say("no_latitude")])
    day = footing.today
    named = (*footing.asked.question.coming, *footing.asked.question.periods)
    times = footing.asked.heard.mentions.times
    if times and times[0].to_come and times[0].ahead.from_ is not None:
        day = times[0].ahead.from_.date()
    elif named and named[0].from_ is not None:
        day = named[0].from_.date()
    hours = day_length(day, latitude)
    tomorrow = day_length(day + timedelta(days=1), latitude)
    add = light_to_add(hours)
    parts = [
        footing.say(
            "day_length",
            day=sentences.day(day),
            hours=_clock(footing, hours),
            latitude=f"{latitude:g}",
            change=shown(abs(tomorrow - hours) * 60),
            way=footing.say("longer" if tomorrow >= hours else "shorter"),
        ),
        footing.say("light_to_add", least=shown(add.least), most=shown(add.most))
        if add.least
        else footing.say("light_enough"),
        footing.sourced("S11", "S10", "from memory"),
    ]
    return footing.told(rounded(hours, 2), parts, (), unit=footing.declared.units["hour"])


def falls_below(footing: Footing) -> Answer:
    """The next day shorter than the hours named, else than those that keep a flock laying."""
    latitude = footing.ground.farm.latitude
    if latitude is None:
        return footing.untold([footing.say("no_latitude")])
    unit = footing.declared.units["hour"]
    named = [amount.value for amount in footing.asked.numbers if amount.unit in (unit, "")]
    hours = float(named[0]) if named else KEEPS_FROM_H
    day = day_falls_below(hours, latitude, footing.today)
    now = day_length(footing.today, latitude)
    today = footing.say("day_now", hours=_clock(footing, now))
    if day is None:
        return footing.untold([footing.say("never_below", hours=shown(hours)), today])
    parts = [
        footing.say("falls_below", hours=shown(hours), day=sentences.day(day),
                    latitude=f"{latitude:g}"),
        today,
        footing.say("light_rule"),
        footing.sourced("S11", "S10", "from memory"),
    ]  # fmt: skip
    return footing.told(footing.midnight(day), parts, ())


def _clock(footing: Footing, hours: float) -> str:
    minutes = round(hours * 60)
    return footing.say("hours_minutes", hours=minutes // 60, minutes=minutes % 60)
