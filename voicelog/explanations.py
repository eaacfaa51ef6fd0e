"""Why a memo or a question was understood as it was, as plain values for screens and JSON.

Rooms that understand fill them, `--why` shows them. Nothing here is stored.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from voicelog.types import AnswerValue, Interval, SlotValue


class Use(StrEnum):
    """What a word of a memo or question was used for; each word has exactly one use."""

    SLOT = "slot"
    """It gives a slot its value."""
    PLACE = "place"
    FLOCK = "flock"
    BIRD = "bird"
    TIME = "time"
    SAYS = "says the kind"
    ABOUT = "about"
    """The thing that a kind of record is about."""
    VERB = "verb"
    LABEL = "label"
    """It says which slot a number beside it belongs to."""
    ASKED = "asked for"
    """It names what a question asks for."""
    UNIT = "unit"
    CUE = "cue"
    """A word of a list that steers how the rest is read."""
    FILLER = "filler"
    GRAMMAR = "grammar"
    SOUND = "hesitation"
    MARK = "mark"
    PART = "part of it"
    """It belongs to a record and adds nothing of its own."""
    QUANTITY = "quantity"
    """A number or amount that went into no slot of its own."""
    QUESTION = "question"
    INSTRUCTION = "instruction"
    TAKEN_BACK = "taken back"
    REMARK = "remark"
    LEFT_OVER = "left over"


@dataclass(frozen=True, slots=True, kw_only=True)
class WordUse:
    """Words that stand side by side and have one use together."""

    text: str
    """As said."""
    start: int
    end: int
    """Half-open character range of the memo or question."""
    use: Use
    records: tuple[int, ...] = ()
    """Numbers of the records that they speak for, counted from 1 in the order of the parse."""
    says: str = ""
    """What they say: `count = 11`, `verb of eggs`; empty where the use says it all."""
    by: str = ""
    """The entry of the catalogue, the farm file or the pass that decided it."""


class Source(StrEnum):
    """Where something that a record says comes from."""

    OWN = "own words"
    CARRIED = "carried"
    """From what was said before or after it in the memo."""
    SHARED = "shared"
    """Said once of several places or flocks."""
    IMPLIED = "implied"
    """Meant by something else that was said."""
    COUPLING = "coupling"
    """A second record that the same words mean."""
    NOT_SAID = "not said"
    SUM = "weighing"


FieldValue: TypeAlias = AnswerValue | SlotValue | Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why a record has what it has in one of its fields."""

    field: str
    """A field or slot, as in the record; each doubt has a reason of its own."""
    value: FieldValue
    source: Source
    of: int | None = None
    """The record that it was taken from, by its number."""
    words: str = ""
    """The words of the memo that said it."""
    by: str = ""
    """The rule, the pass or the entry of the catalogue."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way that a stretch of a memo, or a question, could have been read."""

    kind: str | None
    """The kind of record; None for not understanding it."""
    how: str
    """`a record of its own`, `goes on with the one before`, `falls short` or `not understood`."""
    score: float
    """What it was worth; only differences within one stretch mean something."""
    taken: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordWhy:
    """Why there is a record, and why it is as it is."""

    number: int
    kind: str
    words: str
    """The words that said it."""
    ways: tuple[Way, ...]
    """How its words could be read, the best first; empty for a remark and a second record."""
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MemoWhy:
    """Why a memo was understood as it was."""

    words: tuple[WordUse, ...]
    """In order; together all words of the memo, each once."""
    records: tuple[RecordWhy, ...]
    """In the order of the parse."""
    heard: str | None = None
    """For a recording: what was heard first; None for a typed memo."""
    meant: str = ""
    """The text that `words` are the words of: the memo, or the reading that was taken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOut:
    """What one thing that was asked for took out of the records looked at."""

    by: str
    """`status`, `time`, `place`, `flock`, `bird`, `slots` or `words`."""
    wanted: str
    """What it asked for."""
    records: int
    """How many records it left out of those before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One look into the store for the answer to a question."""

    kinds: tuple[str, ...]
    """The kinds of record looked at; empty for all."""
    looked_at: int
    """How many records of these kinds there were."""
    taken_out: tuple[TakenOut, ...]
    """In the order in which they were asked for; what took nothing out is left away."""
    left: int
    """How many records were left."""
    gave: tuple[str, ...]
    """What was made of them: `9 records`, `sum of count: 13 in 2 records`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionWhy:
    """Why a question was answered as it was."""

    words: tuple[WordUse, ...]
    """In order; together all words of the question, each once."""
    ways: tuple[Way, ...]
    """The kinds of record that it may be about, the best first."""
    reasons: tuple[Reason, ...]
    """Where the sort of answer, the kind, slots, names, times and the value come from."""
    looks: tuple[Look, ...]
