"""A number at a place where only one kind of thing is counted: "twelve from coop a, none from b".

The catalogue names the kinds of place at which a number alone means a kind of record.
"""

from __future__ import annotations

from voicelog.catalogue import Kind
from voicelog.farm import Farm
from voicelog.understanding.mentions import Amount, Mentions, Name
from voicelog.understanding.reading import AMOUNT, SHARE, Reading, SaidSlot

_BETWEEN = frozenset({"from", "in", "at", "out", "of", "the", "over", "had", "gave", ":"})
"""Words that may stand between a number and the place it was counted at."""


def counts_alone(reading: Reading, mentions: Mentions, farm: Farm, *, only: bool) -> bool:
    """Whether a number and a place beside it make the record, and add what that is worth.

    Args:
        reading: a reading whose numbers have their slots.
        mentions: the memo.
        farm: tells which kind of place a name is.
        only: whether the memo says nothing that speaks for another kind.
    """
    kind = reading.kind
    main = kind.main or ""
    place = _counting_place(reading.places, kind, farm)
    if place is None or not (reading.own_verb or only):
        return False
    if main not in reading.slots:
        _count_none(reading, mentions, place, main)
    said = reading.slots.get(main)
    if said is None or not _beside(mentions, said.first, said.last, place):
        return False
    if not reading.own_verb:
        reading.score += SHARE
    reading.pieces += 1
    return True


def bare_numbers(mentions: Mentions) -> list[Amount]:
    """Numbers without a unit, in a memo that names a place."""
    return [amount for amount in mentions.amounts if amount.unit is None and not amount.ordinal]


def _counting_place(places: list[Name], kind: Kind, farm: Farm) -> Name | None:
    for name in places:
        known = farm.place(name.value)
        if known is not None and known.kind in kind.counts_at:
            return name
    return None


def _count_none(reading: Reading, mentions: Mentions, place: Name, main: str) -> None:
    """ "Nothing from coop c": a count of zero."""
    for first, last in mentions.cues_in("negative_count", reading.first, reading.last):
        if _beside(mentions, first, last, place):
            reading.slots[main] = SaidSlot(0, first, last)
            reading.used.update(range(first, last))
            reading.score += AMOUNT


def _beside(mentions: Mentions, first: int, last: int, place: Name) -> bool:
    start, end = (last, place.first) if last <= place.first else (place.last, first)
    return all(token.lower in _BETWEEN for token in mentions.tokens[start:end])
