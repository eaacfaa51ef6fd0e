"""The sums of the trade: pure functions over plain numbers.

    laying.py       how well a flock lays
    feed.py         what is eaten, how long it lasts, what it gives
    measures.py     an amount in another unit, through what the farm's own measures hold
    holds.py        until when food is kept back after a treatment
    withholding.py  the same for each bird and each flock, eggs and meat apart
    incubation.py   the days of a setting of eggs, and how it came out
    brood.py        a hen that wants to sit
    chicks.py       warmth, room and what is due when, by age
    rations.py      what a bird should eat, and what is in it
    fencing.py      whether a fence will do, where it is going, the order of a move
    losses.py       what part of a flock lives, and when somebody is called
    predators.py    which animal it may have been
    bedding.py      how much bedding it takes
    money.py        what is in stock, and what comes of it
    within.py       a number held against what all sources give
    publications.py which publication an id stands for

Every function says its unit, the range in which its result is usual, its source and how far the
source carries: A law, standard, peer-reviewed, university or agency text; B such a text read in
a copy, or the trade press; C a vendor, breed guide, forum or student paper; D derived here from
what is named; M from memory, no source. A range is what is usual, never a limit that is enforced:
a small mixed flock need not meet it.

What stands beside a figure as its source is the id of a publication, S and a number:
`publications` gives its name, from `data/husbandry/sources.toml` of the catalogue, where every id
cited here or in the tables beside it is listed. Other sources are `from memory` and
`common practice, no source`.

A number that makes no sense raises `voicelog.errors.RequestError`, which says what to give.
"""

from __future__ import annotations

from voicelog.catalogue.predation import PredatorSign, Suspect
from voicelog.catalogue.species import Species
from voicelog.catalogue.stated import Advice, Figure
from voicelog.husbandry.bedding import (
    area_covered,
    bales_needed,
    bedding_depth,
    bedding_needed,
    box_volume,
    boxes_filled,
)
from voicelog.husbandry.brood import (
    BreakingUp,
    SittingSeen,
    breaking_up,
    eggs_covered,
    sitting_advice,
    sitting_seen,
)
from voicelog.husbandry.chicks import (
    DatedStep,
    FirstWeek,
    Room,
    brooder_heat,
    first_week_rates,
    rearing_steps,
    room_needed,
    week_of_life,
)
from voicelog.husbandry.feed import (
    BuyingDay,
    buying_day,
    days_left,
    feed_conversion,
    feed_cost,
    feed_per_day,
    feed_per_dozen,
    feed_per_dozen_at,
    running_totals,
    weekly_amounts,
)
from voicelog.husbandry.fencing import (
    FenceLevel,
    FenceReading,
    FenceTrend,
    GroundRods,
    days_since_tested,
    falls_to,
    fence_level,
    fence_trend,
    fence_uses,
    ground_rods,
    move_order,
    tested_every,
)
from voicelog.husbandry.holds import Course, days_still_held, held_through, last_day_given
from voicelog.husbandry.incubation import (
    HatchRates,
    IncubationCalendar,
    IncubatorSettings,
    expected_weight_loss,
    fertility_percent,
    hatch_percent,
    hatch_rates,
    incubation_calendar,
    incubator_settings,
    species_named,
    weight_lost_percent,
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
from voicelog.husbandry.losses import (
    Death,
    DeathAlarm,
    chance_of_losses,
    death_alarm,
    livability_percent,
    signs_to_report,
    usual_losses,
)
from voicelog.husbandry.measures import (
    FarmMeasure,
    case_weight,
    convert,
    converted,
    mass_per_volume,
    weight_of_one,
)
from voicelog.husbandry.money import (
    Account,
    Stock,
    account,
    cost_of_one,
    daily_use,
    margin_percent,
    per_dozen,
    price_to_cover,
    stock_on_hand,
)
from voicelog.husbandry.predators import (
    Guess,
    keeping_out,
    open_questions,
    predator_signs,
    protected_by_law,
    ranked_suspects,
    signs_said,
)
from voicelog.husbandry.publications import listed_publications, publications
from voicelog.husbandry.rations import (
    FeedPart,
    calcium_needed,
    calcium_percent_needed,
    conversion_usual,
    feed_needed,
    intake_compared,
    intake_range,
    nutrient_eaten,
    per_dozen_usual,
    protein_of_mix,
    protein_range,
    treats_share,
)
from voicelog.husbandry.withholding import FoodHold, KeptBack, Treatment, food_holds
from voicelog.husbandry.within import Compared, compared, of_week

__all__ = [
    "Account", "Advice", "BreakingUp", "BuyingDay", "Compared", "Course", "DatedStep", "Death",
    "DeathAlarm", "FarmMeasure", "FeedPart", "FenceLevel", "FenceReading", "FenceTrend", "Figure",
    "FirstWeek", "FoodHold", "GroundRods", "Guess", "HatchRates", "IncubationCalendar",
    "IncubatorSettings", "KeptBack", "LaidRow", "LayingPeriod", "PredatorSign", "Room", "RowSum",
    "SittingSeen", "Species", "Stock", "Suspect", "Treatment", "account", "area_covered",
    "bales_needed", "bedding_depth", "bedding_needed", "box_volume", "boxes_filled", "breaking_up",
    "brooder_heat", "buying_day", "calcium_needed", "calcium_percent_needed", "case_weight",
    "chance_of_losses", "compared", "conversion_usual", "convert", "converted", "cost_of_one",
    "daily_use", "days_left", "days_since_tested", "days_still_held", "death_alarm", "eggs_covered",
    "expected_weight_loss", "falls_to", "feed_conversion", "feed_cost", "feed_needed",
    "feed_per_day", "feed_per_dozen", "feed_per_dozen_at", "fence_level", "fence_trend",
    "fence_uses", "fertility_percent", "first_week_rates", "food_holds", "ground_rods",
    "hatch_percent", "hatch_rates", "held_through", "hen_day_percent", "hen_housed_count",
    "hen_housed_percent", "incubation_calendar", "incubator_settings", "intake_compared",
    "intake_range", "keeping_out", "last_day_given", "laying_period", "listed_publications",
    "livability_percent", "margin_percent", "mass_per_volume", "move_order", "nutrient_eaten",
    "of_week", "open_questions", "per_dozen", "per_dozen_usual", "predator_signs", "price_to_cover",
    "protected_by_law", "protein_of_mix", "protein_range", "publications", "ranked_suspects",
    "rearing_steps", "room_needed", "running_totals", "signs_said", "signs_to_report",
    "sitting_advice", "sitting_seen", "species_named", "stock_on_hand", "sum_of_rows",
    "tested_every", "treats_share", "usual_losses", "week_of_life", "weekly_amounts",
    "weight_lost_percent", "weight_of_one",
]  # fmt: skip
