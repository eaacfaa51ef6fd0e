"""How much bedding boxes and floors take, and how many bales that is."""

from __future__ import annotations

from voicelog.catalogue.stated import Figure, load_stated
from voicelog.husbandry.bounds import above_zero, at_least_zero

_STATED = "depths"
_INCHES_A_FOOT = 12
_CUBIC_INCHES_A_CUBIC_FOOT = 1_728


def box_volume(length: float, width: float, height: float) -> float:
    """What a box holds, by its inner sides in inches.

    Unit: cubic feet.
    Range: 0 and up.
    Source: S85, grade B.

    Raises:
        RequestError: a side is below 0.
    """
    sides = (length, width, height)
    first, second, third = (at_least_zero(side, "A side") for side in sides)
    return first * second * third / _CUBIC_INCHES_A_CUBIC_FOOT


def bedding_needed(length: float, width: float, depth: float, boxes: int = 1) -> float:
    """What boxes, or a floor, take to be bedded to a depth; all in inches.

    Unit: cubic feet, loose.
    Range: depth as of `bedding_depth`.
    Source: S85, grade B, for the volume; arithmetic, grade D.

    Raises:
        RequestError: a number is below 0.
    """
    return box_volume(length, width, depth) * at_least_zero(boxes, "The number of boxes")


def area_covered(cubic_feet: float, depth: float) -> float:
    """What a volume covers, spread to a depth in inches.

    Unit: square feet.
    Range: 0 and up.
    Source: arithmetic on S85, grade D.

    Raises:
        RequestError: `cubic_feet` is below 0, or `depth` not above 0.
    """
    at_least_zero(cubic_feet, "The volume")
    return cubic_feet * _INCHES_A_FOOT / above_zero(depth, "The depth")


def boxes_filled(bale_cubic_feet: float, box_cubic_feet: float) -> float:
    """How many boxes one bale fills, both in loose cubic feet.

    Unit: boxes, with a fraction.
    Range: 0 and up.
    Source: S85, grade B.

    Raises:
        RequestError: the bale is below 0, or the box not above 0.
    """
    at_least_zero(bale_cubic_feet, "The volume of a bale")
    return bale_cubic_feet / above_zero(box_cubic_feet, "The volume of a box")


def bales_needed(
    cubic_feet: float, bale_cubic_feet: float, *, compressed: bool
) -> tuple[float, float]:
    """How many bales a loose volume takes, the fewest and the most.

    Unit: bales, with a fraction.
    Range: a compressed bale gives 2 to 2.5 times its own volume, so there the two differ; by the
        loose volume on a label they are the same.
    Source: arithmetic on S85, grade D; how much a bale loosens from memory, grade M.

    Args:
        cubic_feet: loose, as of `bedding_needed`.
        bale_cubic_feet: volume of one bale.
        compressed: whether that is its volume as it is sold, or loose.

    Raises:
        RequestError: `cubic_feet` is below 0, or `bale_cubic_feet` not above 0.
    """
    at_least_zero(cubic_feet, "The volume")
    bales = cubic_feet / above_zero(bale_cubic_feet, "The volume of a bale")
    if not compressed:
        return bales, bales
    (loosened,) = load_stated(_STATED).figures_of("loosened")
    return bales / loosened.high, bales / loosened.low


def bedding_depth(target: str) -> tuple[Figure, ...]:
    """How deep bedding lies.

    Unit: inches.
    Range: 2 to 3 or more in nest boxes, 2 to 4 where chicks live, 4 to 8 as deep litter; empty
        for what nothing is stated of.
    Source: S69, grade C, for nest boxes; the others from memory, grade M.

    Args:
        target: what is bedded, as in a record of bedding.
    """
    return load_stated(_STATED).figures_of(f"deep.{target}")
