"""What a flock leaves on its ground: manure and nitrogen, each for a stay."""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.catalogue.stated import Advice, load_stated
from voicelog.errors import RequestError
from voicelog.husbandry.bounds import above_zero, at_least_zero

_MANURE_OF_FEED = 1.15
"""Fresh manure for one of dry feed, S35, A."""
_PROTEIN_OF_NITROGEN = 6.25
"""Standard conversion of nitrogen to crude protein, from memory, M."""
_NITROGEN_OF_EGG = 0.0182
"""ASABE D384.2, from memory, M."""
_OUTSIDE_SHARE = 0.6
"""Share dropped on pasture by birds housed at night; derived example, from memory, M."""
GRASS_NEED_POUNDS = (50.0, 150.0)
"""Nitrogen that grass takes up, pounds an acre and year; typical, from memory, M. A soil test
says better."""
_PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundLoad:
    """What one stay leaves."""

    pounds_an_acre: float
    share_of_need: tuple[float, float]
    """Of what grass takes up in a year: by the most it may take, and by the least. Watch
    phosphorus as well: a soil test says."""
    advice: tuple[Advice, ...]
    """What goes with it, and its caution."""


def fresh_manure(dry_feed: float) -> float:
    """Fresh manure from dry feed eaten.

    Unit: that of `dry_feed`.
    Range: laying hens 20 to 34 lb a hundred and day, meat birds of six weeks 30 to 35.
    Source: S35, grade A.

    Raises:
        RequestError: the weight is below 0.
    """
    return at_least_zero(dry_feed, "The weight eaten") * _MANURE_OF_FEED


def nitrogen_each(
    feed: float, protein_percent: float, hen_day_percent: float = 0, egg: float = 0
) -> float:
    """Nitrogen that one bird leaves in a day: what it eats less what goes into eggs.

    Growth is left out, so of young birds it says somewhat too much.

    Unit: that of `feed` and `egg`, which must be the same; a day.
    Range: 2.1 g (0.0047 lb) for 113 g of 16 percent and 75 percent lay of 57 g; a table of the
        trade has 0.0035 lb (from memory, M): they disagree.
    Source: mass balance, grade D; nitrogen of eggs from memory (ASABE D384.2), grade M.

    Args:
        feed: eaten by one bird in a day.
        protein_percent: crude protein of the feed.
        hen_day_percent: rate of lay; 0 for birds that do not.
        egg: mean weight of one egg.

    Raises:
        RequestError: a number is below 0, or more goes out than was eaten.
    """
    protein = at_least_zero(protein_percent, "The protein in percent") / _PERCENT
    eaten = at_least_zero(feed, "The weight eaten") * protein / _PROTEIN_OF_NITROGEN
    rate = at_least_zero(hen_day_percent, "The rate of lay") / _PERCENT
    laid = rate * at_least_zero(egg, "The weight of one") * _NITROGEN_OF_EGG
    if laid > eaten:
        raise RequestError(
            "More nitrogen would go into what is laid than is eaten.",
            kept="Nothing was reckoned.",
            todo="Give both weights in the same unit, and all that is eaten.",
        )
    return eaten - laid


def manure_on_ground(
    birds: int, days: float, dry_feed: float, acres: float, outside_share: float = _OUTSIDE_SHARE
) -> float:
    """Fresh manure that a stay leaves on its ground.

    Unit: that of `dry_feed`, an acre.
    Range: thirty hens for a week at a quarter pound on a net of 1,681 square feet: about 940 lb
        an acre.
    Source: S35, grade A, for manure of feed; the share dropped outside from memory, grade M.

    Args:
        birds: on it.
        days: of the stay.
        dry_feed: eaten by one bird in a day.
        acres: of the ground.
        outside_share: dropped on the ground and not in the coop, 0 to 1.

    Raises:
        RequestError: a number is below 0, the ground not above 0, or the share above 1.
    """
    return _spread(birds, days, fresh_manure(dry_feed), acres, outside_share)


def nitrogen_on_ground(
    birds: int, days: float, pounds_each: float, acres: float, outside_share: float = _OUTSIDE_SHARE
) -> GroundLoad:
    """Nitrogen that a stay leaves on its ground; stays of one year on it add up.

    Unit: pounds an acre.
    Range: 15 for thirty hens, a week, 0.0047 lb each, a net of 1,681 square feet. Grass takes up
        50 to 150 in a year (from memory, M).
    Source: arithmetic, grade D; the share dropped outside and the need of grass from memory,
        grade M.

    Args:
        birds: on it.
        days: of the stay.
        pounds_each: nitrogen one bird leaves in a day, see `nitrogen_each`.
        acres: of the ground.
        outside_share: dropped on the ground and not in the coop, 0 to 1.

    Raises:
        RequestError: a number is below 0, the ground not above 0, or the share above 1.
    """
    each = at_least_zero(pounds_each, "What one bird leaves in a day")
    load = _spread(birds, days, each, acres, outside_share)
    least, most = GRASS_NEED_POUNDS
    return GroundLoad(
        pounds_an_acre=load,
        share_of_need=(load / most, load / least),
        advice=load_stated("care").advice_of("load"),
    )


def _spread(birds: int, days: float, each: float, acres: float, share: float) -> float:
    if at_least_zero(share, "The share dropped outside") > 1:
        raise RequestError(
            f"The share dropped outside is given as {share:g}.",
            kept="Nothing was reckoned.",
            todo="Give a number from 0 to 1.",
        )
    at_least_zero(birds, "The number of birds")
    at_least_zero(days, "The number of days")
    return birds * days * each * share / above_zero(acres, "The ground in acres")
