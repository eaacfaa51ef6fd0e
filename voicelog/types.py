"""The plain values that cross from one room to another.

Everything here is frozen, slotted and built by keyword. No room hands another a dict, a
generator or an object of its engine. The order of the classes is the order of the data:
sound, words, meaning, record, answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from types import MappingProxyType
from typing import TypeAlias


class Precision(StrEnum):
    """How exactly a time was said; the finest comes first."""

    MINUTE = "minute"
    HOUR = "hour"
    PART_OF_DAY = "part_of_day"
    DAY = "day"
    WEEK = "week"
    MONTH = "month"
    SEASON = "season"
    YEAR = "year"


class Status(StrEnum):
    """Whether the thing was done, said not to be done, or is still to be done."""

    DONE = "done"
    NOT_DONE = "not_done"
    PLANNED = "planned"


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A time as it was said: a stretch with a precision, never a made-up instant."""

    from_: datetime | None
    """Aware start, inclusive; None where that side is open."""
    to: datetime | None
    """Aware end, exclusive; equal to `from_` for an instant; None where that side is open."""
    precision: Precision


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeSpan:
    """A spoken time found in a text."""

    start: int
    end: int
    """Half-open character range of the text given."""
    when: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberSpan:
    """A number found in a text."""

    start: int
    end: int
    value: int | float
    upto: int | float | None = None
    """Upper end of a range ("four or five", "a few"); None for one value."""
    approximate: bool = False
    """True for "about twenty", "a few": the value is the speaker's guess."""
    ordinal: bool = False
    """True for "third", "2nd"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantitySpan:
    """A number with its unit found in a text."""

    start: int
    end: int
    value: int | float
    unit: str
    """As said, in the singular; two units ("three dollars fifty cents") become the larger."""
    approximate: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatSpan:
    """A repetition found in a text."""

    start: int
    end: int
    rrule: str
    """RRULE value of RFC 5545, without the leading `RRULE:`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One recognised word."""

    text: str
    from_s: float
    to_s: float
    """Seconds from the beginning of the file."""
    confidence: float
    """0..1 as the recogniser gives it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another way the same sound may be read, the likelier first."""

    text: str
    score: float
    """The recogniser's own score; only differences within one transcript mean something."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Transcript:
    """What was heard in one recording, or in one stretch of it."""

    text: str
    words: tuple[Word, ...]
    alternatives: tuple[Alternative, ...]
    from_s: float
    to_s: float
    """The stretch of the recording, in seconds."""
    engine: str
    """Recogniser and model, for provenance."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardMemo:
    """One of the memos heard in a recording."""

    said_at: datetime
    """Aware."""
    transcript: Transcript


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """An amount with the unit as said, in the singular."""

    value: int | float
    unit: str


SlotValue: TypeAlias = int | float | str | bool | Quantity


def frozen_slots(values: Mapping[str, SlotValue] | None = None) -> Mapping[str, SlotValue]:
    """A read-only copy of slot values, for the frozen types below."""
    return MappingProxyType(dict(values or {}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A record as it was understood, before it is stored."""

    kind: str
    status: Status
    when: Interval
    when_said: str | None
    place: str | None
    flock: str | None
    birds: tuple[str, ...]
    slots: Mapping[str, SlotValue]
    """Only the slots that were said, by the catalogue's names."""
    text: str
    """The words of the memo that said it."""
    certainty: float
    doubts: tuple[str, ...] = ()
    """Whole sentences: what should be asked."""
    by: str | None = None
    """Who did it, where someone else is named."""


class ChangeKind(StrEnum):
    """What an instruction or a reviewer does to a stored record."""

    WITHDRAW = "withdraw"
    CORRECT = "correct"
    CONFIRM = "confirm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Instruction:
    """Words to the assistant about what was said before; never a record."""

    text: str
    action: str
    """One of the actions that the catalogue declares."""
    slot: str | None = None
    """The slot or common field to change; None means the main number of the kind."""
    value: SlotValue | None = None
    kind: str | None = None
    """The kind of record meant, where it was said ("the eggs were twelve")."""
    ordinal: int | None = None
    """Which of a numbered list ("the second one"), counted from 1; -1 is the last."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parse:
    """A memo understood: records, questions, instructions, and the words left over."""

    memo: str
    now: datetime
    records: tuple[Draft, ...] = ()
    questions: tuple[str, ...] = ()
    instructions: tuple[Instruction, ...] = ()
    unused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Memo:
    """A stored memo, kept whole and never changed."""

    id: int
    said_at: datetime
    """When it was said (aware); for a file heard later, the time given or the file's own."""
    text: str
    source: str
    """`typed`, `audio` or `imported`."""
    transcript: Transcript | None = None
    audio: str | None = None
    """SHA-256 (hex) of the audio kept beside the store."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A stored record as it stands now, its corrections applied."""

    id: int
    memo_id: int
    memo_said_at: datetime
    draft: Draft
    withdrawn: bool = False
    confirmed: bool = False
    corrected: tuple[str, ...] = ()
    """Names of the fields that a person or an instruction changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One entry of a record's history."""

    id: int
    record_id: int
    kind: ChangeKind
    at: datetime
    field: str | None = None
    old: SlotValue | tuple[str, ...] | None = None
    new: SlotValue | tuple[str, ...] | None = None
    memo_id: int | None = None
    """The memo whose instruction made the change; None for a change made in the review."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """A record that an answer rests on."""

    record: int
    memo: int
    text: str
    when: Interval


AnswerValue: TypeAlias = (
    int | float | str | bool | datetime | tuple[str, ...] | tuple[Quantity, ...]
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The answer to a question: a value, a sentence, and the records it rests on."""

    question: str
    value: AnswerValue | None
    unit: str | None
    text: str
    from_: datetime | None = None
    to: datetime | None = None
    evidence: tuple[Evidence, ...] = ()
    understood: bool = True
    """False where the question itself could not be read; `value` is then None."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A chore of the farm at one place, as it stands on one day."""

    record: str
    """The record kind that shows it was done."""
    match: Mapping[str, SlotValue] = field(default_factory=frozen_slots)
    place: str | None
    chore: str
    """Words to show."""
    due: datetime | None
    """When it is to be done by, or from when it is due again."""
    last_done: Interval | None
    by_record: int | None = None
    """The record that shows it done or skipped today."""
    by_memo: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlan:
    """Every chore of the farm on a day, each in exactly one list."""

    date: date
    left: tuple[Task, ...] = ()
    done: tuple[Task, ...] = ()
    skipped: tuple[Task, ...] = ()
    not_due: tuple[Task, ...] = ()
