"""Gives each number and quantity of a stretch the slot it belongs to.

A unit decides by its dimension, a label beside the number ("two cracked") by its nearness; what
is left goes to the main number of the kind.
"""

from __future__ import annotations

from voicelog.catalogue import Slot, SlotType, Tells
from voicelog.types import Quantity, SlotValue
from voicelog.understanding.lexicon import Role
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Amount, Mentions
from voicelog.understanding.reading import AMOUNT, SAYS, SHARE, STRANGER, Reading, SaidSlot
from voicelog.understanding.spoken_values import before_words

_NEAR = 5
"""How many words may stand between a number and its label: "three of them were dirty"."""
_COUNTED = frozenset({"count", "money"})
"""Dimensions of slots that a number without a unit fills by itself."""
_DAYS = {"day": 1, "week": 7, "month": 30}


def assign_amounts(
    mentions: Mentions, reading: Reading, phrases: list[Phrase], said: list[Amount]
) -> None:
    """Fill the number slots of a reading with the amounts said and add what that is worth."""
    amounts = [*said, *_counted_by_article(mentions, reading, phrases)]
    labels = _labels(phrases)
    if not amounts:
        _count_none(mentions, reading, labels)
        return
    waiting: list[Amount] = []
    for amount in amounts:
        slot = _labelled_slot(mentions, reading, amount, amounts, labels)
        if slot is None:
            waiting.append(amount)
            continue
        _fill(mentions, reading, amount, slot)
        _drop_counted(reading, slot, amount)
        for first, last in labels.get(slot.name, ()):
            if abs(first - amount.last) <= _NEAR or abs(amount.first - last) <= 1:
                reading.used.update(range(first, last))
        _weigh(reading, slot)
        reading.pieces += 1
    for amount in waiting:
        slot = _unlabelled_slot(mentions, reading, amount)
        if slot is None:
            if not amount.ordinal:
                reading.score += STRANGER
            continue
        _fill(mentions, reading, amount, slot)
        led = slot.unit and before_words(mentions, amount.first, slot.before)
        if reading.slots[slot.name].bare and not led:
            reading.score += STRANGER
            reading.unitless += 1
            if slot.unit or not _COUNTED.intersection(slot.dimensions):
                reading.lent.add(slot.name)
        else:
            _weigh(reading, slot)
            reading.pieces += amount.unit is not None and slot.tells is not Tells.ONLY_FILLS
    _fill_main(mentions, reading)
    _count_none(mentions, reading, labels)


def _fill_main(mentions: Mentions, reading: Reading) -> None:
    """A number that says both how many and which, where no other says how many."""
    main = reading.kind.main
    if reading.spare is not None and main is not None and main not in reading.slots:
        slot = reading.kind.slot(main)
        if slot is not None:
            _fill(mentions, reading, reading.spare, slot)


def _weigh(reading: Reading, slot: Slot) -> None:
    """What an amount is worth: more where its unit alone tells the kind."""
    said = reading.slots[slot.name]
    if slot.tells is Tells.ALONE and not said.bare:
        reading.score += SAYS
        if not slot.shared_unit:
            reading.anchored = reading.told_by_unit = True
    elif slot.tells is Tells.HELPS:
        reading.score += SHARE
    else:
        reading.score += AMOUNT
    if slot.tells is not Tells.ONLY_FILLS and (
        reading.trigger is None or said.first < reading.trigger
    ):
        reading.trigger = said.first


def _drop_counted(reading: Reading, slot: Slot, amount: Amount) -> None:
    """Birds that are only counted are not those the record is about."""
    if slot.counts_others:
        reading.flocks = [
            flock for flock in reading.flocks if not 0 <= flock.first - amount.last <= _NEAR
        ]


def _labels(phrases: list[Phrase]) -> dict[str, list[tuple[int, int]]]:
    found: dict[str, list[tuple[int, int]]] = {}
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role is Role.LABEL:
                found.setdefault(sense.slot, []).append((phrase.first, phrase.last))
    return found


def _labelled_slot(
    mentions: Mentions,
    reading: Reading,
    amount: Amount,
    amounts: list[Amount],
    labels: dict[str, list[tuple[int, int]]],
) -> Slot | None:
    """The free slot whose label stands nearest to the number, the words after it first."""
    following = min(
        (other.first for other in amounts if other.first >= amount.last), default=reading.last
    )
    best: tuple[float, Slot] | None = None
    for slot in reading.kind.slots:
        if slot.name in reading.slots or not _fits(slot, amount):
            continue
        if amount.unit is None and slot.type is SlotType.QUANTITY and not slot.unit:
            continue
        for first, last in labels.get(slot.name, ()):
            if amount.last <= first < following and first - amount.last <= _NEAR:
                distance = float(first - amount.last)
            elif last <= amount.first and amount.first - last <= 1:
                distance = 2.5 + amount.first - last
            else:
                continue
            if _breaks(mentions, min(last, amount.last), max(first, amount.first)):
                continue
            if best is None or distance < best[0]:
                best = (distance, slot)
    if best is None:
        return None
    return _further_label(mentions, reading, amount, labels, following, best[1])


def _further_label(
    mentions: Mentions,
    reading: Reading,
    amount: Amount,
    labels: dict[str, list[tuple[int, int]]],
    following: int,
    slot: Slot,
) -> Slot:
    """ "Three eggs on the floor": the label behind the main one says which they are."""
    if slot.name != reading.kind.main:
        return slot
    for other in reading.kind.slots:
        if other is slot or other.name in reading.slots or other.type is not SlotType.COUNT:
            continue
        for first, _ in labels.get(other.name, ()):
            near = amount.last <= first < following and first - amount.last <= 3
            if near and not _breaks(mentions, amount.last, first):
                reading.spare = amount
                return other
    return slot


def _breaks(mentions: Mentions, first: int, last: int) -> bool:
    """Whether a mark or "and" parts a number from a label."""
    return any(
        token.lower in (",", ".", ";", "and", "but", "then")
        for token in mentions.tokens[first:last]
    )


def _unlabelled_slot(
    mentions: Mentions,
    reading: Reading,
    amount: Amount,
) -> Slot | None:
    """The free slot that takes such a number: first one whose own words lead up to it."""
    counted = amount.unit is None and any(bird.first == amount.last for bird in reading.flocks)
    free = [
        slot
        for slot in reading.kind.slots
        if slot.name not in reading.slots
        and not slot.needs_label
        and _fits(slot, amount)
        and not (counted and slot.type is SlotType.QUANTITY)  # "two pounds for thirty birds"
    ]
    if amount.ordinal or not free:
        return None
    for slot in free:
        if slot.before and before_words(mentions, amount.first, slot.before):
            return slot
    main = reading.kind.main
    for slot in free:
        if slot.name == main and (amount.unit is not None or slot.type is SlotType.COUNT):
            return slot
    if amount.unit is not None:
        return next((slot for slot in free if not slot.labels), None)
    return next((slot for slot in free if slot.name == main), None)


def _fits(slot: Slot, amount: Amount) -> bool:
    unit = amount.measure
    if slot.type is SlotType.COUNT:
        if amount.unit is None:
            return float(amount.value).is_integer()
        return unit is not None and unit.factor is not None
    if slot.type is SlotType.QUANTITY:
        if amount.unit is None:
            return True
        return unit is not None and unit.dimension in slot.dimensions
    if slot.type is SlotType.DAYS:
        return amount.unit in _DAYS
    return False


def _fill(mentions: Mentions, reading: Reading, amount: Amount, slot: Slot) -> None:
    last = amount.last
    value: SlotValue
    if slot.as_said:
        first, last = _dose_words(mentions, reading, amount)
        value = mentions.value(first, last)
    elif slot.type is SlotType.DAYS:
        value = amount.value * _DAYS.get(amount.unit or "day", 1)
    elif slot.type is SlotType.COUNT:
        unit = amount.measure
        value = amount.value * (unit.factor or 1) if unit else amount.value
        value = int(value) if float(value).is_integer() else value
    else:
        value = Quantity(value=amount.value, unit=amount.unit or slot.unit or "")
    reading.slots[slot.name] = SaidSlot(
        value,
        amount.first,
        last,
        approximate=amount.approximate or amount.upto is not None,
        bare=slot.type is SlotType.QUANTITY and amount.unit is None,
    )
    reading.used.update(range(amount.first, last))


def _dose_words(mentions: Mentions, reading: Reading, amount: Amount) -> tuple[int, int]:
    """A dose with what follows: "one tablet twice a day", "a teaspoon to the gallon"."""
    first = amount.first
    last = amount.last
    following = [token.lower for token in mentions.tokens[last : last + 3]]
    if following[:1] in (["twice"], ["once"], ["three"], ["every"], ["a"], ["to"], ["per"]):
        end = last
        while end < reading.last and end - last < 3 and mentions.tokens[end].lower.isalpha():
            if mentions.tokens[end].lower in ("for", "and", "label", "in", "by"):
                break
            end += 1
        if following[0] == "per":
            end = min(last + 2, reading.last)
        tail = [token.lower for token in mentions.tokens[last:end]]
        if tail and (
            tail[0] == "per"
            or tail[-1] in ("day", "gallon", "daily", "quart", "liter", "litre", "hours")
        ):
            last = end
    return first, last


def _counted_by_article(
    mentions: Mentions, reading: Reading, phrases: list[Phrase]
) -> list[Amount]:
    """ "A hen", "another chick": one, where the kind counts so."""
    slots = {slot.name for slot in reading.kind.slots if slot.article_counts}
    if not slots:
        return []
    found = []
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role is Role.LABEL and sense.slot in slots:
                for at in (phrase.first - 1, phrase.first - 2):
                    if at >= reading.first and mentions.tokens[at].lower in ("a", "an", "another"):
                        if at not in mentions.mentioned:
                            found.append(Amount(at, at + 1, 1))
                        break
    return found[:1]


def _count_none(
    mentions: Mentions, reading: Reading, labels: dict[str, list[tuple[int, int]]]
) -> None:
    """ "No eggs", "none cracked": a count of zero."""
    if not labels or "negative_count" not in mentions.cues:
        return
    for first, last in mentions.cues_in("negative_count", reading.first, reading.last):
        for slot in reading.kind.slots:
            if slot.type not in (SlotType.COUNT, SlotType.DAYS) or slot.name in reading.slots:
                continue
            near = [at for at, _ in labels.get(slot.name, ()) if last <= at <= last + 2]
            if near:
                reading.slots[slot.name] = SaidSlot(0, first, last)
                reading.used.update(range(first, last), (near[0],))
                reading.score += AMOUNT
                reading.pieces += 1
                break
