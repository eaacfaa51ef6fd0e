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
from voicelog.farm import Farm
from voicelog.types import Answer

if TYPE_CHECKING:
    from voicelog.answering.heard import Ear
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
    from voicelog.answering.reading import read_question
    from voicelog.answering.two_amounts import in_two

    if now.tzinfo is None:
        raise ValueError("now must be an aware date-time; got one without a zone")
    if not text.strip():
        return not_understood(text)
    here = now.astimezone(ZoneInfo(farm.timezone))
    ear = ear_of(farm)
    question = read_question(text, here, ear)
    ground = Ground(
        store=store, farm=farm, catalogue=load_catalogue(), asking=load_asking(), now=here
    )
    parts = in_two(question, here, ear)
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
