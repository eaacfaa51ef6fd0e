"""The way into the room: one question, one answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from threading import Lock
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from voicelog.answering.answers import not_understood
from voicelog.answering.ground import Ground
from voicelog.answering.number_replies import side_by_side
from voicelog.answering.replying import reply
from voicelog.catalogue import load_catalogue
from voicelog.catalogue.asking import load_asking
from voicelog.catalogue.trade_questions import load_trade_questions
from voicelog.farm import Farm
from voicelog.types import Answer

if TYPE_CHECKING:
    from voicelog.answering.heard import Ear
    from voicelog.answering.question import Question
    from voicelog.records.store import Store


def answer(text: str, store: Store, farm: Farm, now: datetime) -> Answer:
    """Answer a question from what is recorded up to `now`.

    A question that is not understood gives an answer too; its `understood` is False.

    Args:
        text: the question in plain words.
        store: where the records are.
        farm: whose names and measures are meant.
        now: aware; records and memos later than it are not seen.

    Raises:
        StoreError: the store cannot be read.
        ValueError: `now` has no zone.
    """
    # The reader brings the matching library with it, which is slow to import.
    from voicelog.answering.reading import read
    from voicelog.answering.trade_replies import trade_asked, trade_reply

    if now.tzinfo is None:
        raise ValueError("now must be an aware date-time; got one without a zone")
    if not text.strip():
        return not_understood(text)
    here = now.astimezone(ZoneInfo(farm.timezone))
    ear = ear_of(farm)
    heeded = read(text, here, ear)
    ground = Ground(
        store=store, farm=farm, catalogue=load_catalogue(), asking=load_asking(), now=here
    )
    trade = trade_asked(heeded, load_trade_questions(), ground.catalogue, farm)
    if trade is None:
        return _from_records(ground, heeded.question, ear)
    if heeded.question.sort in trade.rule.records_first:
        given = _from_records(ground, heeded.question, ear)
        if given.value not in (None, ()):
            return given
    return trade_reply(ground, trade)


def _from_records(ground: Ground, question: Question, ear: Ear) -> Answer:
    """What the records say by themselves."""
    from voicelog.answering.two_amounts import in_two

    parts = in_two(question, ground.now, ear)
    if parts is None:
        return reply(ground, question)
    whole = replace(question, left_aside=())
    return side_by_side(ground, whole, [reply(ground, part) for part in parts])


_LOCK = Lock()
_LAST: list[Ear] = []
"""The ear of the farm asked about last: building one takes about a second."""


def ear_of(farm: Farm) -> Ear:
    """The ear of a farm: made once and kept while no other farm is asked about."""
    from voicelog.answering.heard import Ear

    with _LOCK:
        if not _LAST or _LAST[0].farm != farm:
            _LAST[:] = [Ear(load_catalogue(), load_asking(), farm)]
        return _LAST[0]
