"""Puts an answer together: value, sentence and the memos it rests on."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from voicelog.answering import sentences
from voicelog.answering.ground import Ground
from voicelog.answering.question import Question
from voicelog.types import Answer, AnswerValue, Evidence, Record

AT_MOST = 20
"""Records shown as evidence."""


def found(
    ground: Ground,
    question: Question,
    value: AnswerValue,
    text: str,
    records: Iterable[Record],
    *,
    unit: str | None = None,
    from_: datetime | None = None,
    to: datetime | None = None,
    rests_on: int | None = None,
) -> Answer:
    """An answer with a value.

    Args:
        ground: what it stands on.
        question: what was asked.
        value: the value.
        text: the sentence.
        records: the records it rests on, the decisive one first.
        unit: the unit of the value.
        from_: where the time spoken of begins.
        to: where it ends.
        rests_on: how many records it rests on, where not all are given.
    """
    records = tuple(records)
    shown = evidence(ground, records)
    doubted = sum(bool(r.draft.doubts) and not (r.confirmed or r.corrected) for r in records)
    more = sentences.in_doubt(doubted) + sentences.more_evidence(len(shown), rests_on or 0)
    return Answer(
        question=question.text,
        value=value,
        unit=unit,
        text=text + more + sentences.aside(question.left_aside),
        from_=from_,
        to=to,
        evidence=shown,
    )


def nothing(question: Question, text: str) -> Answer:
    """The answer where nothing is recorded."""
    return Answer(
        question=question.text,
        value=None,
        unit=None,
        text=text + sentences.aside(question.left_aside),
    )


def not_understood(text: str) -> Answer:
    """The answer to what is no question for this log."""
    return Answer(
        question=text, value=None, unit=None, text=sentences.NOT_UNDERSTOOD, understood=False
    )


def evidence(ground: Ground, records: Iterable[Record]) -> tuple[Evidence, ...]:
    """The records with the words of their memos, each once, in the order given."""
    shown: dict[int, Evidence] = {}
    memos: dict[int, str] = {}
    for record in records:
        if len(shown) >= AT_MOST:
            break
        if record.memo_id not in memos:
            memos[record.memo_id] = ground.store.memo(record.memo_id).text
        shown.setdefault(
            record.id,
            Evidence(
                record=record.id,
                memo=record.memo_id,
                text=memos[record.memo_id],
                when=record.draft.when,
            ),
        )
    return tuple(shown.values())
