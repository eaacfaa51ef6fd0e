"""The sums of the trade: pure functions over plain numbers.

    laying.py       how well a flock lays
    feed.py         what is eaten, how long it lasts, what it gives
    measures.py     an amount in another unit, through what the farm's own measures hold
    holds.py        until when food is kept back after a treatment
    incubation.py   the days of a setting of eggs

Every function says its unit, the range in which its result is usual, its source and how far the
source carries: A law, standard, peer-reviewed, university or agency text; B such a text read in
a copy, or the trade press; C a vendor, breed guide, forum or student paper; D derived here from
what is named; M from memory, no source. A range is what is usual, never a limit that is enforced:
a small mixed flock need not meet it.

Sources:
    S1    Layer production indices, IASRI/TANUVAS e-course, 2012
    S3    Hen housed production, DAGRIS/ILRI
    S4    "Fertility and Herbatility", student paper (arithmetic only)
    S6    Feed efficiency, IASRI e-course, 2012
    S7    Why Did My Chickens Stop Laying? PNW 565, Oregon State University, 2003 (read in a copy)
    S20   7 Pa. Code § 87.42, weight classes for consumer grades of shell eggs
    S22   Egg sizes, grams an egg (a forum's table; agrees with arithmetic)
    S35   Poultry Manure Management, Bulletin 804, Ohio State University
    S41   Monitoring chick water usage, University of Georgia
    S42   National Research Council, nutrient tables, 8th edition, 1984 (read in a copy)
    S44   Broiler performance targets, livestocking.com
    S55   Change in feed density, ANS 312, Oregon State University
    S94   Incubation period of other species, poultryproducer.com
    S95   Incubation duration, Mississippi State University
    S98   Incubation science, Virginia Tech
    S101  Day 0 (weight loss), scratchcradle.wordpress.com, 2011
    S103  Fertility rate and hatch rate, ajfarmsllc.com
    S105  Hatch statistics, forum
    S126  FARAD Digest, Marmulak and others, JAVMA 247:1388, 2015

A number that makes no sense raises `voicelog.errors.RequestError`, which says what to give.
"""

from __future__ import annotations

from voicelog.husbandry.feed import (
    days_left,
    feed_conversion,
    feed_per_day,
    feed_per_dozen,
    feed_per_dozen_at,
    running_totals,
    weekly_amounts,
)
from voicelog.husbandry.holds import Course, days_still_held, held_through, last_day_given
from voicelog.husbandry.incubation import (
    IncubationCalendar,
    fertility_percent,
    hatch_percent,
    incubation_calendar,
)
from voicelog.husbandry.laying import (
    LaidRow,
    LayingPeriod,
    RowSum,
    hen_day_percent,
    hen_housed_count,
    hen_housed_percent,
    laying_period,
    sum_of_rows,
)
from voicelog.husbandry.measures import (
    FarmMeasure,
    case_weight,
    convert,
    converted,
    mass_per_volume,
    weight_of_one,
)

__all__ = [
    "Course",
    "FarmMeasure",
    "IncubationCalendar",
    "LaidRow",
    "LayingPeriod",
    "RowSum",
    "case_weight",
    "convert",
    "converted",
    "days_left",
    "days_still_held",
    "feed_conversion",
    "feed_per_day",
    "feed_per_dozen",
    "feed_per_dozen_at",
    "fertility_percent",
    "hatch_percent",
    "held_through",
    "hen_day_percent",
    "hen_housed_count",
    "hen_housed_percent",
    "incubation_calendar",
    "last_day_given",
    "laying_period",
    "mass_per_volume",
    "running_totals",
    "sum_of_rows",
    "weekly_amounts",
    "weight_of_one",
]
