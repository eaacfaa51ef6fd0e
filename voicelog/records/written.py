"""Values as JSON text, the one written form that the store and its exports share.

The text of a value is always the same: keys in the order given here, no spaces, letters as
they are. So equal values have equal text, and an export can be compared byte by byte.
"""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from voicelog.types import (
    Alternative,
    Draft,
    Instruction,
    Interval,
    Parse,
    Precision,
    Quantity,
    SlotValue,
    Status,
    Transcript,
    Word,
    frozen_slots,
)

FieldValue = SlotValue | tuple[str, ...] | None


def dumps(value: object) -> str:
    """JSON text on one line.

    Raises:
        ValueError: a number is infinite or not a number.
    """
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def value_text(value: FieldValue) -> str:
    """A slot's or field's value as JSON text."""
    return dumps(_plain(value))


def value_from(text: str) -> FieldValue:
    """The value that `value_text` wrote."""
    plain = json.loads(text)
    return tuple(plain) if isinstance(plain, list) else _slot_value(plain)


def draft_text(draft: Draft) -> str:
    """A draft as JSON text."""
    return dumps(_plain_draft(draft))


def draft_from(text: str) -> Draft:
    """The draft that `draft_text` wrote."""
    return _draft(json.loads(text))


def parse_text(parse: Parse) -> str:
    """A parse as JSON text, without the memo's words: those stand in the memo."""
    return dumps(
        {
            "now": parse.now.isoformat(),
            "records": [_plain_draft(draft) for draft in parse.records],
            "questions": parse.questions,
            "instructions": [_plain_instruction(item) for item in parse.instructions],
            "unused": parse.unused,
        }
    )


def parse_from(text: str, memo: str) -> Parse:
    """The parse that `parse_text` wrote, of the memo with these words."""
    plain = json.loads(text)
    return Parse(
        memo=memo,
        now=datetime.fromisoformat(plain["now"]),
        records=tuple(_draft(item) for item in plain["records"]),
        questions=tuple(plain["questions"]),
        instructions=tuple(_instruction(item) for item in plain["instructions"]),
        unused=tuple(plain["unused"]),
    )


def drafts_from(text: str) -> tuple[Draft, ...]:
    """Only the drafts of the parse that `parse_text` wrote."""
    return tuple(_draft(item) for item in json.loads(text)["records"])


def transcript_text(transcript: Transcript) -> str:
    """A transcript as JSON text."""
    return dumps(
        {
            "text": transcript.text,
            "words": [
                {"text": w.text, "from_s": w.from_s, "to_s": w.to_s, "confidence": w.confidence}
                for w in transcript.words
            ],
            "alternatives": [{"text": a.text, "score": a.score} for a in transcript.alternatives],
            "from_s": transcript.from_s,
            "to_s": transcript.to_s,
            "engine": transcript.engine,
        }
    )


def transcript_from(text: str) -> Transcript:
    """The transcript that `transcript_text` wrote."""
    plain = json.loads(text)
    return Transcript(
        text=plain["text"],
        words=tuple(Word(**word) for word in plain["words"]),
        alternatives=tuple(Alternative(**other) for other in plain["alternatives"]),
        from_s=plain["from_s"],
        to_s=plain["to_s"],
        engine=plain["engine"],
    )


def _plain(value: FieldValue) -> object:
    if isinstance(value, Quantity):
        return {"value": value.value, "unit": value.unit}
    return value


def _slot_value(plain: Any) -> SlotValue:
    return Quantity(**plain) if isinstance(plain, dict) else plain


def _iso(moment: datetime | None) -> str | None:
    return None if moment is None else moment.isoformat()


def _moment(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)


def _plain_draft(draft: Draft) -> dict[str, object]:
    return {
        "kind": draft.kind,
        "status": draft.status.value,
        "when": {
            "from": _iso(draft.when.from_),
            "to": _iso(draft.when.to),
            "precision": draft.when.precision.value,
        },
        "when_said": draft.when_said,
        "place": draft.place,
        "flock": draft.flock,
        "birds": draft.birds,
        "slots": {name: _plain(draft.slots[name]) for name in sorted(draft.slots)},
        "text": draft.text,
        "certainty": draft.certainty,
        "doubts": draft.doubts,
        "by": draft.by,
    }


def _draft(plain: Any) -> Draft:
    when = plain["when"]
    return Draft(
        kind=plain["kind"],
        status=Status(plain["status"]),
        when=Interval(
            from_=_moment(when["from"]),
            to=_moment(when["to"]),
            precision=Precision(when["precision"]),
        ),
        when_said=plain["when_said"],
        place=plain["place"],
        flock=plain["flock"],
        birds=tuple(plain["birds"]),
        slots=frozen_slots({name: _slot_value(v) for name, v in plain["slots"].items()}),
        text=plain["text"],
        certainty=plain["certainty"],
        doubts=tuple(plain["doubts"]),
        by=plain["by"],
    )


def _plain_instruction(item: Instruction) -> dict[str, object]:
    return {
        "text": item.text,
        "action": item.action,
        "slot": item.slot,
        "value": _plain(item.value),
        "kind": item.kind,
        "ordinal": item.ordinal,
    }


def _instruction(plain: Any) -> Instruction:
    return Instruction(
        text=plain["text"],
        action=plain["action"],
        slot=plain["slot"],
        value=None if plain["value"] is None else _slot_value(plain["value"]),
        kind=plain["kind"],
        ordinal=plain["ordinal"],
    )
