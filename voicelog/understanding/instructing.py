"""Words to the assistant about what was said: "scratch that", "make that twelve", "that was".

Said first in a memo they mean the memo before; behind something told they take that back.
"""

from __future__ import annotations

from collections.abc import Iterator

from voicelog.types import Instruction, Quantity, SlotValue
from voicelog.understanding.filling import Reader
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.sentences import opens, past_mark, skip, without_mark

_MOST_INSTRUCTION = 8
"""How many words may follow "make that"; more is a telling."""
_NAMED_BY = {Role.PLACE: "place", Role.FLOCK: "flock"}
_NAMED = (*_NAMED_BY.values(), "birds")
"""Fields that a name alone sets right."""


def taken_back(
    mentions: Mentions, first: int, last: int, told: list[tuple[int, int]]
) -> tuple[int, int] | None:
    """Where "scratch that" takes back what this memo told before it; None where it does not.

    What was told stands before it in the sentence or, where it opens one, is the sentence before.
    """
    ends = {end for _, end in mentions.cues_in("correction", first, last)}
    for begin, end in reversed(mentions.cues_in("withdraw", first, last)):
        opening = opens(mentions, first, begin)
        alone = opening and end >= without_mark(mentions, last)
        if (alone or end in ends) and (told or not opening):
            return begin, end
    return None


def instructions_in(
    mentions: Mentions, reader: Reader, first: int, last: int
) -> tuple[list[tuple[tuple[int, int], Instruction]], int]:
    """The instructions that open the sentence, and the token after them."""
    given, after = _instruction_in(mentions, reader, first, last)
    found = []
    while given is not None:
        found.append(given)
        start = skip(mentions, after, last, ("fillers", "boundary"))
        given = _setting_right(mentions, reader, start, last)
        after = after if given is None else given[0][1]
    return found, after


def _instruction_in(
    mentions: Mentions, reader: Reader, first: int, last: int
) -> tuple[tuple[tuple[int, int], Instruction] | None, int]:
    """An instruction that opens the sentence, and the token after it."""
    start = skip(mentions, first, last, ("fillers",))
    for begin, end in mentions.cues_in("withdraw", first, last):
        if opens(mentions, first, begin):
            text = mentions.words(begin, end)
            after = skip(mentions, end, last, ("fillers",))
            told = Instruction(text=text, action="withdraw")
            return ((begin, end), told), past_mark(mentions, after, last)
    for begin, end in mentions.cues.get("confirm", ()):
        if begin in (start, first) and skip(mentions, end, last, ("fillers",)) >= without_mark(
            mentions, last
        ):
            text = mentions.words(begin, end)
            return ((begin, end), Instruction(text=text, action="confirm")), last
    given = _setting_right(mentions, reader, first, last)
    return given, first if given is None else given[0][1]


def _setting_right(
    mentions: Mentions, reader: Reader, first: int, last: int
) -> tuple[tuple[int, int], Instruction] | None:
    """ "Make that twelve" and the like, up to where something else is told."""
    for begin, end in mentions.cues_in("make_that", first, last):
        if end == last or not opens(mentions, first, begin):
            continue
        stop = next(_tellings_behind(mentions, reader, end, last), last)
        change = _change(mentions, reader, end, stop) if stop - end <= _MOST_INSTRUCTION else None
        if change is None:
            continue
        slot, value, kind = change
        # A word alone may be the beginning of a telling: "that was a fox and it took two".
        if stop == last or slot in _NAMED or not isinstance(value, str):
            text = mentions.words(begin, without_mark(mentions, stop))
            told = Instruction(text=text, action="make_that", slot=slot, value=value, kind=kind)
            return (begin, stop), told
    return None


def _tellings_behind(mentions: Mentions, reader: Reader, first: int, last: int) -> Iterator[int]:
    """Where, behind a comma or "and", a telling or another instruction begins."""
    joints = {begin for begin, _ in mentions.cues_in("boundary", first, last)}
    openings = {begin for begin, _ in mentions.cues_in("make_that", first, last)}
    for at in range(first + 1, last):
        if mentions.tokens[at].lower == "," or at in joints:
            after = skip(mentions, at, last, ("fillers", "boundary"))
            if after < last and (after in openings or reader.standing(after, last)):
                yield at


def _change(
    mentions: Mentions, reader: Reader, first: int, last: int
) -> tuple[str | None, SlotValue, str | None] | None:
    """What an instruction changes: the one thing that is mentioned after its words."""
    if any(reader.read(kind, first, last).anchored and reader.read(kind, first, last).own_verb
           for kind in reader.kinds_in(first, last)):  # fmt: skip
        return None
    amounts = mentions.amounts_in(first, last)
    if amounts:
        amount = amounts[0]
        slot, kind = _labelled(mentions, amount.last, last)
        value: SlotValue = amount.value
        if amount.unit is not None:
            value = Quantity(value=amount.value, unit=amount.unit)
        return slot, value, kind
    for name in mentions.names_in(first, last):
        if name.known:
            field = _NAMED_BY.get(name.role, "birds")
            return field, name.value, None
    if _tells_more(reader, first, last):
        return None
    for phrases in mentions.phrases.values():
        for phrase in phrases:
            for sense in phrase.senses:
                if first <= phrase.first and phrase.last <= last and sense.role is Role.VALUE:
                    return sense.slot, sense.value, sense.kind
    return None


def _tells_more(reader: Reader, first: int, last: int) -> bool:
    """ "That was the last of the grit" says two things: it tells, it changes nothing."""
    readings = [reader.read(kind, first, last) for kind in reader.kinds_in(first, last)]
    return any(reading.stands and len(reading.slots) > 1 for reading in readings)


def _labelled(mentions: Mentions, first: int, last: int) -> tuple[str | None, str | None]:
    """A slot named right after a number ("two cracked"), unless it is the kind's main one."""
    for kind, phrases in mentions.phrases.items():
        for phrase in phrases:
            for sense in phrase.senses:
                if sense.role is Role.LABEL and first <= phrase.first < last:
                    return sense.slot, kind
    return None, None
