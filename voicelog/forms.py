"""The JSON shapes that other programs read, and back from them where something comes in.

Every shape is a plain dict built here and nowhere else; `line` turns one into a line of JSON.
Times are ISO 8601 with their offset, an open side is null.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from voicelog.errors import RequestError
from voicelog.explanations import Look, MemoWhy, QuestionWhy, Reason, RecordWhy, Way, WordUse
from voicelog.moments import interval_from_text
from voicelog.types import (
    Answer,
    AnswerValue,
    Change,
    DayPlan,
    Draft,
    Evidence,
    Interval,
    Memo,
    Parse,
    Quantity,
    Record,
    Task,
    Transcript,
)

Form = dict[str, Any]


def line(form: object) -> bytes:
    """One line of JSON in UTF-8, with its line feed.

    Letters stay as they are; where a text holds half a surrogate pair, which UTF-8 cannot
    write, everything beyond ASCII is escaped.
    """
    text = json.dumps(form, ensure_ascii=False, allow_nan=False)
    try:
        return f"{text}\n".encode()
    except UnicodeEncodeError:
        return f"{json.dumps(form, allow_nan=False)}\n".encode("ascii")


def iso(moment: datetime | date | None) -> str | None:
    """ISO text of a moment or day."""
    return None if moment is None else moment.isoformat()


def interval(when: Interval | None) -> Form | None:
    """`{"from", "to", "precision"}`."""
    if when is None:
        return None
    return {"from": iso(when.from_), "to": iso(when.to), "precision": when.precision.value}


def value(said: object) -> Any:
    """A slot's or answer's value as JSON has it."""
    if isinstance(said, Quantity):
        return {"value": said.value, "unit": said.unit}
    if isinstance(said, Interval):
        return interval(said)
    if isinstance(said, datetime):
        return iso(said)
    if isinstance(said, tuple):
        return [value(item) for item in said]
    return said


def draft(understood: Draft) -> Form:
    """A record as the contract has it: the common fields and the slots that were said."""
    return {
        "kind": understood.kind,
        "status": understood.status.value,
        "when": interval(understood.when),
        "when_said": understood.when_said,
        "place": understood.place,
        "flock": understood.flock,
        "birds": list(understood.birds),
        **{name: value(said) for name, said in understood.slots.items()},
        "text": understood.text,
        "certainty": understood.certainty,
        "doubts": list(understood.doubts),
    }


def record(stored: Record) -> Form:
    """A stored record: its ids, what stands, and what a person has done to it."""
    return {
        "id": stored.id,
        "memo_id": stored.memo_id,
        **draft(stored.draft),
        "withdrawn": stored.withdrawn,
        "confirmed": stored.confirmed,
        "corrected": list(stored.corrected),
    }


def parse(understood: Parse, *, records: Sequence[Record] | None = None) -> Form:
    """A memo understood; with `records`, as they were stored."""
    return {
        "memo": understood.memo,
        "now": iso(understood.now),
        "records": [draft(item) for item in understood.records]
        if records is None
        else [stored_draft(item) for item in records],
        "questions": list(understood.questions),
        "instructions": [item.text for item in understood.instructions],
        "unused": list(understood.unused),
    }


def stored_draft(stored: Record) -> Form:
    """A record fresh from its memo: the parse's shape and the ids."""
    return {"id": stored.id, "memo_id": stored.memo_id, **draft(stored.draft)}


def change(made: Change) -> Form:
    """What an instruction or a reviewer changed."""
    return {
        "record": made.record_id,
        "change": made.kind.value,
        "field": made.field,
        "old": _field(made.field, made.old),
        "new": _field(made.field, made.new),
    }


def _field(field: str | None, said: object) -> Any:
    if field == "when" and isinstance(said, str):
        return interval(interval_from_text(said))
    return value(said)


def note(
    memo: Memo,
    understood: Parse,
    records: Sequence[Record],
    changes: Sequence[Change],
    problems: Sequence[str] = (),
) -> Form:
    """A memo stored: its parse with ids, what its instructions changed, and what they could not."""
    return {
        "memo_id": memo.id,
        **parse(understood, records=records),
        "changes": [change(item) for item in changes],
        "problems": list(problems),
    }


def heard(file: str, said: Transcript, noted: Form) -> Form:
    """A memo heard in a file."""
    return {"file": file, "from_s": said.from_s, "transcript": transcript(said), **noted}


def transcript(said: Transcript) -> Form:
    """Words with their times and confidence."""
    return {
        "text": said.text,
        "words": [
            {
                "text": word.text,
                "from_s": word.from_s,
                "to_s": word.to_s,
                "confidence": word.confidence,
            }
            for word in said.words
        ],
        "engine": said.engine,
    }


def answer(given: Answer) -> Form:
    """`{"question", "answer"}`."""
    return {
        "question": given.question,
        "answer": {
            "value": _answer_value(given.value),
            "unit": given.unit,
            "text": given.text,
            "from": iso(given.from_),
            "to": iso(given.to),
            "evidence": [evidence(item) for item in given.evidence],
        },
    }


def evidence(rested_on: Evidence) -> Form:
    """A record that an answer rests on."""
    return {
        "record": rested_on.record,
        "memo": rested_on.memo,
        "text": rested_on.text,
        "when": interval(rested_on.when),
    }


def day_plan(plan: DayPlan) -> Form:
    """What is left, done, skipped and not due."""
    return {
        "date": iso(plan.date),
        "left": [task(item) for item in plan.left],
        "done": [task(item) for item in plan.done],
        "skipped": [task(item) for item in plan.skipped],
        "not_due": [task(item) for item in plan.not_due],
    }


def task(chore: Task) -> Form:
    """One chore at one place."""
    last = chore.last_done
    return {
        "record": chore.record,
        "match": {name: value(said) for name, said in chore.match.items()},
        "place": chore.place,
        "chore": chore.chore,
        "due": iso(chore.due),
        "last_done": None if last is None else iso(last.from_ or last.to),
    }


def memo_line(text: str) -> tuple[str | None, str]:
    """The `now` (None where it is absent) and `text` of one bulk line of `note --json -`.

    Raises:
        RequestError: the line is no such object.
    """
    try:
        plain = json.loads(text)
    except (ValueError, RecursionError) as problem:
        raise RequestError(f"It is no JSON: {problem}.") from problem
    if not isinstance(plain, Mapping) or not isinstance(plain.get("text"), str):
        raise RequestError('It is no object with a "text": write {"now": "…", "text": "…"}.')
    if any("\ud800" <= letter <= "\udfff" for letter in plain["text"]):
        raise RequestError("Its text holds half a surrogate pair, which is no letter.")
    now = plain.get("now")
    if now is not None and not isinstance(now, str):
        raise RequestError('Its "now" is no text such as "2027-05-04T08:10".')
    return now, plain["text"]


def _answer_value(given: AnswerValue | None) -> Any:
    return value(given)


def memo_why(why: MemoWhy) -> list[Form]:
    """What `parse --why` adds: the use of every word, then the reasons of every record."""
    return [
        *({"heard": heard, "meant": why.meant} for heard in (why.heard,) if heard is not None),
        *(word_use(item) for item in why.words),
        *(
            {"record": told.number, **reason(item), **_ways(told, item)}
            for told in why.records
            for item in told.reasons
        ),
    ]


def word_use(item: WordUse) -> Form:
    """What words were used for."""
    return {
        "text": item.text,
        "start": item.start,
        "end": item.end,
        "use": item.use.value,
        "records": list(item.records),
        "says": item.says,
        "by": item.by,
    }


def reason(item: Reason) -> Form:
    """Why a field has the value it has."""
    return {
        "field": item.field,
        "value": value(item.value),
        "source": item.source.value,
        "of": item.of,
        "words": item.words,
        "by": item.by,
    }


def way(item: Way) -> Form:
    """One way that words could have been read."""
    return {"kind": item.kind, "how": item.how, "score": item.score, "taken": item.taken}


def _ways(told: RecordWhy, item: Reason) -> Form:
    return {"ways": [way(one) for one in told.ways]} if item.field == "kind" else {}


def question_why(why: QuestionWhy) -> list[Form]:
    """What `ask --why` adds: the use of every word, what was read, what was looked up."""
    return [
        *(word_use(item) for item in why.words),
        *(reason(item) for item in why.reasons),
        *(way(item) for item in why.ways),
        *(look(item) for item in why.looks),
    ]


def look(item: Look) -> Form:
    """One look into the store."""
    return {
        "kinds": list(item.kinds),
        "looked_at": item.looked_at,
        "taken_out": [
            {"by": out.by, "wanted": out.wanted, "records": out.records} for out in item.taken_out
        ],
        "left": item.left,
        "gave": list(item.gave),
    }
