"""The numbers and quantities of a memo, each with its tokens."""

from __future__ import annotations

from collections.abc import Iterable

from voicelog.catalogue.units import find_unit, singular
from voicelog.text.numbers import find_numbers
from voicelog.text.quantities import find_quantities
from voicelog.text.tokens import Token
from voicelog.understanding.mentions import Amount
from voicelog.understanding.token_ranges import TokenRanges


def said_amounts(
    text: str,
    tokens: tuple[Token, ...],
    places: TokenRanges,
    taken: set[int],
    measures: frozenset[str],
) -> list[Amount]:
    """All amounts of a text but those whose tokens are `taken` by a name or a time.

    `measures` are the words that may stand between "a" and a measure ("a fresh bag").
    """
    taken = set(taken)
    found: list[Amount] = []
    for quantity in find_quantities(text):
        where = places.range(quantity.start, quantity.end)
        if where and taken.isdisjoint(range(*where)):
            taken.update(range(*where))
            if found and found[-1].last == where[0] and _is_rate(found[-1].unit, quantity.unit):
                continue
            value = quantity.value
            if _is_age_of_many(quantity.unit, quantity.value, tokens, where[1]):
                found.append(Amount(where[0], where[1] - 1, quantity.value))
                where, value = (where[1] - 1, where[1]), 1
            found.append(
                Amount(
                    *where,
                    value,
                    quantity.unit,
                    find_unit(quantity.unit),
                    approximate=quantity.approximate,
                )
            )
    for number in find_numbers(text):
        where = places.range(number.start, number.end)
        if where and taken.isdisjoint(range(*where)):
            taken.update(range(*where))
            if any(item.last == where[0] and _is_rate(item.unit, None) for item in found):
                continue
            found.append(
                Amount(
                    *where,
                    number.value,
                    upto=number.upto,
                    approximate=number.approximate,
                    ordinal=number.ordinal,
                )
            )
    for first, last, unit in _described_measures(tokens, measures):
        if taken.isdisjoint(range(first, last)):
            taken.update(range(first, last))
            found.append(Amount(first, last, 1, unit, find_unit(unit)))
    counted = {amount.last for amount in found}
    for where in _lone_ones(tokens, counted, taken):
        if taken.isdisjoint(range(*where)):
            found.append(Amount(*where, 1))
    return sorted(found, key=lambda amount: amount.first)


_MANY = 8
"""From so many on "25 day old chicks" counts chicks of one day, and is no age in days."""


def _is_age_of_many(unit: str, value: int | float, tokens: tuple[Token, ...], last: int) -> bool:
    """ "A dozen day-old chicks": twelve, one day old."""
    if unit != "day" or value < _MANY or tokens[last - 1].lower != "day":
        return False
    return [token.lower for token in tokens[last : last + 2] if token.lower != "-"][:1] == ["old"]


def _described_measures(
    tokens: tuple[Token, ...], measures: frozenset[str]
) -> Iterable[tuple[int, int, str]]:
    """ "A fresh bag", "a whole bucket": one, with the adjective between."""
    for at, token in enumerate(tokens[:-2]):
        if token.lower not in ("a", "an", "another"):
            continue
        last = at + 1
        while last < len(tokens) and last - at < 3 and tokens[last].lower in measures:
            last += 1
        if at + 1 < last < len(tokens):
            unit = singular(tokens[last].lower)
            if unit == tokens[last].lower:
                yield at, last + 1, unit


def _lone_ones(
    tokens: tuple[Token, ...], counted: set[int], taken: set[int]
) -> Iterable[tuple[int, int]]:
    """ "One each to coop b", "twelve, one cracked": a number, where "that one" is none.

    `counted` are the ends of the other numbers, `taken` the tokens of names and times.
    """
    for at, token in enumerate(tokens[:-1]):
        before = tokens[at - 1].lower if at else ""
        following = tokens[at + 1].lower
        listed = before in _BEFORE_LISTED_ONE or at - 1 in taken
        told = following in _AFTER_LISTED_ONE and listed
        if (
            token.lower == "one"
            and (following in _AFTER_COUNTED_ONE or told or at in counted)
            and before not in _BEFORE_POINTED_ONE
        ):
            yield at, at + 1


_AFTER_COUNTED_ONE = frozenset({"each", "apiece", "to", "for", "in", "from", "at"})
_AFTER_LISTED_ONE = frozenset({"with", "had", "has", "was", "is"})
_BEFORE_LISTED_ONE = frozenset({"and", ",", "plus"})
_BEFORE_POINTED_ONE = frozenset(
    {"the", "that", "this", "which", "no", "other", "another", "last", "first", "second", "any"}
)


def _is_rate(paid: str | None, for_each: str | None) -> bool:
    """ "Four dollars a dozen": the second amount only says what the first is for."""
    unit = find_unit(paid) if paid else None
    other = find_unit(for_each) if for_each else None
    return (
        unit is not None
        and unit.dimension == "money"
        and (other is None or other.dimension != "money")
    )
