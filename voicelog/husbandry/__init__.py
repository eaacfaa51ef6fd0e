"""The sums of the trade: pure functions over plain numbers.

    laying.py       how well a flock lays
    laying_days.py  how many could lay on each day, and rates of the last days
    laying_curve.py how well a flock of an age may be expected to lay
    laying_drop.py  whether fewer are a fall, chance, or one gathering missed
    egg_size.py     weight classes, grades, and shares with a fault
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
    water.py        what a flock drinks, and whether it drank less
    cleaning.py     bleach in drinking water
    heat.py         heat and damp, what is done at each step, air in the cold
    daylight.py     how long the day is, and light to add
    pasture.py      room, rest of the ground, and where to go next
    manure.py       what a flock leaves on its ground
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
from voicelog.husbandry.cleaning import BleachDose, bleach_dose, chlorine_ppm
from voicelog.husbandry.daylight import LightToAdd, day_falls_below, day_length, light_to_add
from voicelog.husbandry.egg_size import (
    EggShares,
    EggTally,
    FaultShare,
    egg_grade,
    egg_mass,
    egg_shares,
    grade_mark_days_left,
    single_in_class,
    size_of_dozen,
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
from voicelog.husbandry.heat import (
    ColdAir,
    HeatStep,
    cold_air,
    heat_step,
    hen_heat_index,
    humidity_index,
    meat_bird_heat_index,
    wet_bulb,
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
from voicelog.husbandry.laying_curve import ExpectedRate, expected_rate
from voicelog.husbandry.laying_days import (
    BirdGroup,
    BirdsLost,
    RecentRate,
    laying_birds,
    laying_days,
    rate_of_year,
    recent_rate,
    recent_rates,
)
from voicelog.husbandry.laying_drop import LayingDrop, laying_drop, shortfall_chance
from voicelog.husbandry.losses import (
    Death,
    DeathAlarm,
    chance_of_losses,
    death_alarm,
    livability_percent,
    signs_to_report,
    usual_losses,
)
from voicelog.husbandry.manure import (
    GroundLoad,
    fresh_manure,
    manure_on_ground,
    nitrogen_each,
    nitrogen_on_ground,
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
from voicelog.husbandry.pasture import (
    DayRange,
    NettingArea,
    NextMove,
    Paddock,
    PaddockRest,
    netting_area,
    next_move,
    paddock_rests,
    pasture_needed,
    square_feet_each,
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
from voicelog.husbandry.water import (
    DrinkBySource,
    Drinkers,
    WaterAmount,
    WaterChange,
    WaterNeed,
    water_change,
    water_for_gain,
    water_in,
    water_need,
    water_to_feed,
)
from voicelog.husbandry.withholding import FoodHold, KeptBack, Treatment, food_holds
from voicelog.husbandry.within import Compared, compared, of_week

__all__ = [
    "Account", "Advice", "BirdGroup", "BirdsLost", "BleachDose", "BreakingUp", "BuyingDay",
    "ColdAir", "Compared", "Course", "DatedStep", "DayRange", "Death", "DeathAlarm",
    "DrinkBySource", "Drinkers", "EggShares", "EggTally", "ExpectedRate", "FarmMeasure",
    "FaultShare", "FeedPart", "FenceLevel", "FenceReading", "FenceTrend", "Figure", "FirstWeek",
    "FoodHold", "GroundLoad", "GroundRods", "Guess", "HatchRates", "HeatStep", "IncubationCalendar",
    "IncubatorSettings", "KeptBack", "LaidRow", "LayingDrop", "LayingPeriod", "LightToAdd",
    "NettingArea", "NextMove", "Paddock", "PaddockRest", "PredatorSign", "RecentRate", "Room",
    "RowSum", "SittingSeen", "Species", "Stock", "Suspect", "Treatment", "WaterAmount",
    "WaterChange", "WaterNeed", "account", "area_covered", "bales_needed", "bedding_depth",
    "bedding_needed", "bleach_dose", "box_volume", "boxes_filled", "breaking_up", "brooder_heat",
    "buying_day", "calcium_needed", "calcium_percent_needed", "case_weight", "chance_of_losses",
    "chlorine_ppm", "cold_air", "compared", "conversion_usual", "convert", "converted",
    "cost_of_one", "daily_use", "day_falls_below", "day_length", "days_left", "days_since_tested",
    "days_still_held", "death_alarm", "egg_grade", "egg_mass", "egg_shares", "eggs_covered",
    "expected_rate", "expected_weight_loss", "falls_to", "feed_conversion", "feed_cost",
    "feed_needed", "feed_per_day", "feed_per_dozen", "feed_per_dozen_at", "fence_level",
    "fence_trend", "fence_uses", "fertility_percent", "first_week_rates", "food_holds",
    "fresh_manure", "grade_mark_days_left", "ground_rods", "hatch_percent", "hatch_rates",
    "heat_step", "held_through", "hen_day_percent", "hen_heat_index", "hen_housed_count",
    "hen_housed_percent", "humidity_index", "incubation_calendar", "incubator_settings",
    "intake_compared", "intake_range", "keeping_out", "last_day_given", "laying_birds",
    "laying_days", "laying_drop", "laying_period", "light_to_add", "listed_publications",
    "livability_percent", "manure_on_ground", "margin_percent", "mass_per_volume",
    "meat_bird_heat_index", "move_order", "netting_area", "next_move", "nitrogen_each",
    "nitrogen_on_ground", "nutrient_eaten", "of_week", "open_questions", "paddock_rests",
    "pasture_needed", "per_dozen", "per_dozen_usual", "predator_signs", "price_to_cover",
    "protected_by_law", "protein_of_mix", "protein_range", "publications", "ranked_suspects",
    "rate_of_year", "rearing_steps", "recent_rate", "recent_rates", "room_needed", "running_totals",
    "shortfall_chance", "signs_said", "signs_to_report", "single_in_class", "sitting_advice",
    "sitting_seen", "size_of_dozen", "species_named", "square_feet_each", "stock_on_hand",
    "sum_of_rows", "tested_every", "treats_share", "usual_losses", "water_change", "water_for_gain",
    "water_in", "water_need", "water_to_feed", "week_of_life", "weekly_amounts",
    "weight_lost_percent", "weight_of_one", "wet_bulb",
]  # fmt: skip
