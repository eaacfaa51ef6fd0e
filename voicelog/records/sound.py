"""Refuses values from outside that are not of the form that the store writes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from voicelog.records.moments import ticks
from voicelog.records.written import (
    draft_text,
    drafts_from,
    parse_from,
    parse_text,
    transcript_from,
    transcript_text,
    value_from,
    value_text,
)
from voicelog.types import ChangeKind, Draft, Quantity, SlotValue


def moment(text: str) -> datetime:
    """The aware date-time that an ISO text with offset names.

    Raises:
        ValueError: the text has another form.
    """
    found = datetime.fromisoformat(text)
    ticks(found)
    return found


def sound_parse(text: str) -> int:
    """How many records a parse's JSON text holds.

    Raises:
        ValueError: it is not what the store writes; also KeyError, TypeError, AttributeError.
    """
    if parse_text(parse_from(text, "")) != text:
        raise ValueError("a parse has another form")
    drafts = drafts_from(text)
    for draft in drafts:
        _sound_draft(draft)
    return len(drafts)


def sound_transcript(text: str) -> None:
    """Refuse a transcript's JSON text that is not what the store writes, as `sound_parse`."""
    if transcript_text(transcript_from(text)) != text:
        raise ValueError("a transcript has another form")


def sound_change(row: Mapping[str, Any]) -> None:
    """Refuse a row of a history that is not what the store writes, as `sound_parse`."""
    ChangeKind(row["kind"])
    moment(row["at"])
    if not isinstance(row["field"], str | None):
        raise TypeError("a change names its field")
    for side in ("old", "new"):
        text = row[side] or "null"
        value = value_from(text)
        if value_text(value) != text:
            raise ValueError("a change has another form")
        if isinstance(value, tuple):
            if not all(isinstance(name, str) for name in value):
                raise TypeError("a list of names holds something else")
        elif value is not None:
            _sound_value(value)


def _sound_draft(draft: Draft) -> None:
    texts = (draft.kind, draft.text, *draft.birds, *draft.doubts, *draft.slots)
    named = (draft.when_said, draft.place, draft.flock, draft.by)
    if not all(isinstance(text, str) for text in texts):
        raise TypeError(f"a text is none in {draft_text(draft)}")
    if not all(isinstance(text, str | None) for text in named):
        raise TypeError(f"a name is none in {draft_text(draft)}")
    if not isinstance(draft.certainty, int | float) or not 0 <= draft.certainty <= 1:
        raise ValueError(f"a certainty is none in {draft_text(draft)}")
    for side in (draft.when.from_, draft.when.to):
        if side is not None:
            ticks(side)
    for value in draft.slots.values():
        _sound_value(value)


def _sound_value(value: SlotValue) -> None:
    if isinstance(value, Quantity):
        if not isinstance(value.value, int | float) or not isinstance(value.unit, str):
            raise TypeError(f"{value} is no quantity")
    elif not isinstance(value, int | float | str):
        raise TypeError(f"{value!r} is no value of a slot")
