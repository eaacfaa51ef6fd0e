"""Parts of a memo that are no telling: questions, words to the assistant, wishes and conditions.

Each is a range of tokens; what lies between them is told and becomes records.
"""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.types import Instruction, Quantity, SlotValue
from voicelog.understanding.filling import Reader
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions

_ASKING = frozenset({"was", "were", "is", "are", "has", "does"})
"""Verbs that ask where a name follows them: "was coop b fed"."""
_QUESTION_WORDS = frozenset({"when", "how", "what", "which", "who", "where", "why", "whose"})
_FEW_WORDS = 4
"""So few words before a wish belong to it: "one of these years i'd love to …"."""
_REPORTING = frozenset({"idea", "know", "knows", "wonder", "sure", "see", "tell", "that's"})
"""Words after which a question word opens no question: "no idea what did it"."""
_MOST_INSTRUCTION = 8
"""How many words may follow "make that"; more is a telling."""


@dataclass(frozen=True, slots=True)
class Steered:
    """A memo's parts by what they are."""

    questions: tuple[tuple[int, int], ...]
    wishes: tuple[tuple[int, int], ...]
    instructions: tuple[tuple[tuple[int, int], Instruction], ...]
    told: tuple[tuple[int, int], ...]


def steer(mentions: Mentions, reader: Reader) -> Steered:
    """Part a memo into questions, instructions, wishes and what is told."""
    questions: list[tuple[int, int]] = []
    wishes: list[tuple[int, int]] = []
    instructions: list[tuple[tuple[int, int], Instruction]] = []
    told: list[tuple[int, int]] = []
    for first, last in sentences(mentions):
        asked = _question_in(mentions, first, last)
        if asked is not None:
            questions.append((asked, last))
            last = asked
        given, first = _instruction_in(mentions, reader, first, last, said_before=bool(told))
        if given is not None:
            instructions.append(given)
        shown = _show_in(mentions, first, last)
        if shown is not None:
            instructions.append(shown)
            last = shown[0][0]
        wished = _wish_in(mentions, first, last)
        if wished is not None:
            wishes.append((wished, last))
            last = wished
        if first < last:
            told.append((first, last))
    return Steered(tuple(questions), tuple(wishes), tuple(instructions), tuple(told))


def sentences(mentions: Mentions) -> list[tuple[int, int]]:
    """Ranges of tokens between full stops, question marks and line ends."""
    found = []
    first = 0
    for at, token in enumerate(mentions.tokens):
        newline = at > first and "\n" in mentions.text[mentions.tokens[at - 1].end : token.start]
        if newline:
            found.append((first, at))
            first = at
        if token.lower in (".", "!", "?", ";"):
            found.append((first, at + 1))
            first = at + 1
    if first < len(mentions.tokens):
        found.append((first, len(mentions.tokens)))
    return found


def skip(mentions: Mentions, at: int, last: int, lists: tuple[str, ...]) -> int:
    """The first token from `at` on that is no phrase of the lists and no comma."""
    moved = True
    while moved and at < last:
        moved = False
        if mentions.tokens[at].lower in (",", "-", "–", "—", ":"):
            at, moved = at + 1, True
            continue
        for name in lists:
            for begin, end in mentions.cues.get(name, ()):
                if begin == at and end <= last:
                    at, moved = end, True
    return at


def _question_in(mentions: Mentions, first: int, last: int) -> int | None:
    """The token at which a question begins that goes on to the end of the sentence."""
    start = skip(mentions, first, last, ("fillers",))
    if not _opens_question(mentions, start, last):
        start = skip(mentions, first, last, ("fillers", "boundary"))
    if _shows(mentions, start, last):
        return None
    marked = last > first and mentions.tokens[last - 1].lower == "?"
    opens = _opens_question(mentions, start, last)
    if opens and start < last and (marked or _clearly_asks(mentions, start, last)):
        return start
    for begin, end in mentions.cues.get("ask_anywhere", ()):
        known = begin > first and mentions.tokens[begin - 1].lower in _REPORTING
        if first <= begin and end <= last and not known and not _shows(mentions, begin, last):
            return begin
    if marked:
        for begin, _ in mentions.cues.get("ask_opening", ()):
            if start <= begin < last:
                return begin
        return start
    return None


def _opens_question(mentions: Mentions, start: int, last: int) -> bool:
    """Whether a word that asks stands here, or "was", "is" before a name."""
    if any(begin == start for begin, _ in mentions.cues_in("ask_opening", start, last)):
        return True
    return (
        start < last
        and mentions.tokens[start].lower in _ASKING
        and any(name.first == start + 1 for name in mentions.names_in(start + 1, last))
    )


def _clearly_asks(mentions: Mentions, start: int, last: int) -> bool:
    word = mentions.tokens[start].lower
    if word not in _QUESTION_WORDS:
        return True
    after = {begin for begin, _ in mentions.cues.get("ask_after", ())}
    return start + 1 < last and start + 1 in after


def _shows(mentions: Mentions, start: int, last: int) -> bool:
    return any(
        begin == start and end <= last
        for name in ("show_left", "show_review")
        for begin, end in mentions.cues.get(name, ())
    )


def _show_in(
    mentions: Mentions, first: int, last: int
) -> tuple[tuple[int, int], Instruction] | None:
    """ "What's left", wherever it stands, with whatever follows it in the sentence."""
    for name in ("show_left", "show_review"):
        for begin, end in mentions.cues.get(name, ()):
            if first <= begin and end <= last:
                text = mentions.words(begin, last)
                return (begin, last), Instruction(text=text, action=name)
    return None


def _instruction_in(
    mentions: Mentions, reader: Reader, first: int, last: int, *, said_before: bool
) -> tuple[tuple[tuple[int, int], Instruction] | None, int]:
    """An instruction that opens the sentence, and the token after it."""
    if said_before:
        return None, first
    start = skip(mentions, first, last, ("fillers",))
    for begin, end in mentions.cues.get("withdraw", ()):
        if begin in (start, first) and end <= last:
            text = mentions.words(begin, end)
            after = skip(mentions, end, last, ("fillers",))
            if after < last and mentions.tokens[after].lower == ".":
                after += 1
            return ((begin, end), Instruction(text=text, action="withdraw")), after
    for begin, end in mentions.cues.get("confirm", ()):
        if begin in (start, first) and skip(mentions, end, last, ("fillers",)) >= _without_mark(
            mentions, last
        ):
            text = mentions.words(begin, end)
            return ((begin, end), Instruction(text=text, action="confirm")), last
    for begin, end in mentions.cues.get("make_that", ()):
        if begin in (start, first) and end < last and last - end <= _MOST_INSTRUCTION:
            change = _change(mentions, reader, end, last)
            if change is not None:
                slot, value, kind = change
                text = mentions.words(begin, _without_mark(mentions, last))
                told = Instruction(text=text, action="make_that", slot=slot, value=value, kind=kind)
                return ((begin, last), told), last
    return None, first


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
            field = {Role.PLACE: "place", Role.FLOCK: "flock"}.get(name.role, "birds")
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


def _without_mark(mentions: Mentions, last: int) -> int:
    return last - 1 if mentions.tokens[last - 1].lower in (".", "!", "?", ";") else last


def _wish_in(mentions: Mentions, first: int, last: int) -> int | None:
    """Where a wish or a condition begins; it goes on to the end of the sentence."""
    begins = [
        begin
        for begin, end in mentions.cues.get("conditional", ())
        if first <= begin and end <= last
    ]
    if not begins:
        return None
    at = min(begins)
    start = skip(mentions, first, last, ("fillers", "boundary"))
    before = [
        begin for begin, end in mentions.cues.get("before_verb", ()) if end == at and begin >= first
    ]
    begin = min(before) if before else at
    return first if begin <= start or begin - start <= _FEW_WORDS else begin
