"""Answers a question by its sort; of readings that are alike the first with a record answers."""

from __future__ import annotations

from collections.abc import Callable
from itertools import chain

from voicelog.answering import (
    compare_replies,
    extreme_replies,
    list_replies,
    number_replies,
    plan_replies,
    sentences,
    times_replies,
    whether_replies,
    withheld_replies,
)
from voicelog.answering.answers import not_understood, nothing
from voicelog.answering.ground import Ground
from voicelog.answering.question import Question, Sort, Subject
from voicelog.types import Answer

_Reply = Callable[[Ground, Question, Subject], Answer]

_REPLIES: dict[Sort, _Reply] = {
    Sort.LAST: times_replies.last,
    Sort.NEXT: times_replies.upcoming,
    Sort.SINCE: times_replies.since,
    Sort.COUNT: number_replies.times,
    Sort.SUM: number_replies.in_all,
    Sort.VALUE: number_replies.newest_value,
    Sort.AVERAGE: number_replies.average,
    Sort.EXTREME: extreme_replies.extreme,
    Sort.LIST: list_replies.things,
    Sort.WHO: list_replies.who,
    Sort.MISSING: list_replies.missing,
    Sort.YES_NO: whether_replies.whether,
    Sort.COMPARE: compare_replies.compare,
}


def reply(ground: Ground, question: Question) -> Answer:
    """The answer to a question."""
    if question.sort is Sort.LEFT:
        return plan_replies.left(ground, question)
    if question.sort is Sort.EVENTS:
        return plan_replies.events(ground, question)
    if question.sort is Sort.PLAN:
        return plan_replies.planned(ground, question)
    if question.sort is Sort.WITHHELD:
        return withheld_replies.withheld(ground, question)
    if question.sort is Sort.WHERE:
        return _where(ground, question)
    by_sort = _REPLIES.get(question.sort)
    if by_sort is None or not question.subjects:
        return not_understood(question.text)
    if question.unknown:
        return nothing(question, sentences.unknown_name(question.unknown))
    first = by_sort(ground, question, question.subjects[0])
    others = (by_sort(ground, question, subject) for subject in question.subjects[1:])
    return next((answer for answer in chain((first,), others) if answer.value is not None), first)


def _where(ground: Ground, question: Question) -> Answer:
    if not question.subjects and not (question.birds or question.places or question.flocks):
        return not_understood(question.text)
    answers = [list_replies.where(ground, question, s) for s in question.subjects or (None,)]
    return next((answer for answer in answers if answer.value is not None), answers[0])
