"""Questions for two amounts of different kinds: "how much … and … did coop b get".

One question is read as one kind of record. Where "and" joins a thing of another kind, or a second
"how much", the question is read as the two that it holds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from voicelog.answering.heard import AUXILIARIES, Ear, Heard
from voicelog.answering.question import Question, Sort, Span
from voicelog.answering.reading import read_question

_AND = frozenset({"and", "&"})


def in_two(question: Question, now: datetime, ear: Ear) -> tuple[Question, Question] | None:
    """The two questions that one holds; None where it asks for one thing.

    Args:
        question: as it was read in one piece.
        now: aware, when it was asked.
        ear: what it is heard by.
    """
    if question.sort is not Sort.SUM or _AND.isdisjoint(question.text.lower().split()):
        return None
    if len(question.subjects[0].asked) > 1:
        return None
    for first, second, each_asked in _halves(ear.hear(question.text, now)):
        one, other = read_question(first, now, ear), read_question(second, now, ear)
        if _clear(one) and _clear(other) and (each_asked or _kind(one) != _kind(other)):
            return replace(one, periods=one.periods or other.periods), other
    return None


def _clear(question: Question) -> bool:
    return question.sort is Sort.SUM and bool(question.subjects) and not question.left_aside


def _kind(question: Question) -> str:
    return question.subjects[0].kind


def _halves(heard: Heard) -> Iterator[tuple[str, str, bool]]:
    """Two texts for each "and" that may join two amounts, and whether each is asked by itself."""
    asking = heard.cues("ask_much")
    if not asking:
        return
    opening = asking[0]
    for joint in range(opening.last + 1, len(heard.words) - 1):
        if heard.words[joint] not in _AND:
            continue
        again = next((span for span in asking if span.first == joint + 1), None)
        if AUXILIARIES.isdisjoint(heard.words[opening.last : joint]):
            start = joint + 1 if again is None else again.last
            end = _end_of_thing(heard, start)
            first = _text(heard, Span(0, joint), Span(end, len(heard.words)))
            second = _text(heard, Span(0, opening.last), Span(start, len(heard.words)))
            yield first, second, again is not None
        elif again is not None:
            first = _text(heard, Span(0, joint))
            yield first, _text(heard, Span(joint + 1, len(heard.words))), True


def _end_of_thing(heard: Heard, start: int) -> int:
    """Where what is asked for ends: at the verb, or at a time or place with its preposition."""
    leading = {span.first: span.last for span in heard.cues("leading")}
    named = heard.named()
    for at in range(start + 1, len(heard.words)):
        if heard.words[at] in AUXILIARIES or at in named or leading.get(at) in named:
            return at
    return len(heard.words)


def _text(heard: Heard, *spans: Span) -> str:
    return " ".join(word for span in spans for word in heard.words[span.first : span.last])
