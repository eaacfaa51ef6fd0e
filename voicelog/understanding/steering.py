"""Parts of a memo that are no telling: questions, words to the assistant, wishes and conditions.

Each is a range of tokens; what lies between them is told and becomes records.
"""

from __future__ import annotations

from dataclasses import dataclass

from voicelog.types import Instruction
from voicelog.understanding.filling import Reader
from voicelog.understanding.instructing import instructions_in, taken_back
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.sentences import opens, past_mark, sentences, skip, without_mark

_ASKING = frozenset({"was", "were", "is", "are", "has", "does"})
"""Verbs that ask where a name follows them: "was coop b fed"."""
_QUESTION_WORDS = frozenset({"when", "how", "what", "which", "who", "where", "why", "whose"})
_FEW_WORDS = 4
"""So few words before a wish belong to it: "one of these years i'd love to …"."""
_REPORTING = frozenset({"idea", "know", "knows", "wonder", "sure", "see", "tell", "that's"})
"""Words after which a question word opens no question: "no idea what did it"."""


@dataclass(frozen=True, slots=True)
class Steered:
    """A memo's parts by what they are."""

    questions: tuple[tuple[int, int], ...]
    wishes: tuple[tuple[int, int], ...]
    instructions: tuple[tuple[tuple[int, int], Instruction], ...]
    told: tuple[tuple[int, int], ...]
    taken_back: tuple[tuple[int, int], ...] = ()
    """The words by which something told before them in the same memo was taken back."""


def steer(mentions: Mentions, reader: Reader) -> Steered:
    """Part a memo into questions, instructions, wishes and what is told."""
    questions: list[tuple[int, int]] = []
    wishes: list[tuple[int, int]] = []
    instructions: list[tuple[tuple[int, int], Instruction]] = []
    told: list[tuple[int, int]] = []
    taken: list[tuple[int, int]] = []
    for first, last in sentences(mentions):
        asked = _question_in(mentions, first, last)
        if asked is not None:
            questions.append((asked, last))
            last = asked
        back = taken_back(mentions, first, last, told)
        if not told:
            before = last if back is None else back[0]
            given, first = instructions_in(mentions, reader, first, before)
            instructions.extend(given)
        if back is not None:
            if told and opens(mentions, first, back[0]):
                told.pop()
            taken.append(back)
            first = past_mark(mentions, back[1], last)
        shown = _show_in(mentions, first, last)
        if shown is not None:
            instructions.append(shown)
            last = shown[0][0]
        wished = _wish_in(mentions, first, last)
        if wished is not None:
            wishes.append((wished, last))
            last = wished
        if first < last and not opens(mentions, first, without_mark(mentions, last)):
            told.append((first, last))
    return Steered(tuple(questions), tuple(wishes), tuple(instructions), tuple(told), tuple(taken))


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
    while start + 1 < last and mentions.tokens[start].lower == mentions.tokens[start + 1].lower:
        start += 1  # "was, uh, was coop b fed"
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


def _wish_in(mentions: Mentions, first: int, last: int) -> int | None:
    """Where a wish or a condition begins; it goes on to the end of the sentence."""
    begins = [
        begin
        for begin, end in mentions.cues.get("conditional", ())
        if first <= begin and end <= last and not mentions.covers("no_cue", begin)
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
