"""What an answer to a sum of the trade stands on, and how it is told."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, time

from voicelog.answering import sentences
from voicelog.answering.answers import found, nothing
from voicelog.answering.ground import INSTANT, Ground
from voicelog.answering.question import Question
from voicelog.answering.trade_replies.asked import Asked
from voicelog.catalogue.stated import COMMON_PRACTICE, FROM_MEMORY
from voicelog.catalogue.trade_questions import TradeQuestions
from voicelog.husbandry import publications
from voicelog.records.wanted import Wanted
from voicelog.types import Answer, AnswerValue, Quantity, Record, SlotValue, Status

_TENTHS = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Footing:
    """The ground of one answer with what is declared and what is asked."""

    ground: Ground
    declared: TradeQuestions
    asked: Asked

    @property
    def today(self) -> date:
        """The calendar day of asking, on the farm."""
        return self.ground.now.date()

    def midnight(self, day: date) -> datetime:
        """The beginning of a day on the farm."""
        return datetime.combine(day, time(), tzinfo=self.ground.zone)

    def day_of(self, record: Record) -> date:
        """The day on which a record begins, on the farm."""
        return self.ground.begins(record).date()

    def done(
        self, slot: str, *, since: datetime | None = None, until: datetime | None = None
    ) -> tuple[Record, ...]:
        """Done records of the kind of a declared slot, the newest first.

        Args:
            slot: as the file of questions names it; whether it was said is not asked.
            since: aware; only records that begin then or later.
            until: aware; only records that begin before it.
        """
        end = self.ground.now + INSTANT
        wanted = Wanted(
            kinds=(self.declared.slot(slot).kind,),
            statuses=(Status.DONE,),
            when_from=since,
            when_to=end if until is None else min(until, end),
            as_of=self.ground.now,
        )
        return self.ground.store.find(wanted)

    def slot(self, record: Record, name: str) -> SlotValue | None:
        """What a record says in a declared slot; None where it is of another kind."""
        at = self.declared.slot(name)
        return record.draft.slots.get(at.slot) if record.draft.kind == at.kind else None

    def is_one_of(self, record: Record, slot: str, values: str) -> bool:
        """Whether a record has one of the declared values in a declared slot."""
        return self.slot(record, slot) in self.declared.values[values]

    def say(self, name: str, /, **values: object) -> str:
        """A declared sentence, filled in."""
        return self.declared.say(name, **values)

    def told(
        self,
        value: AnswerValue,
        parts: Iterable[str],
        records: Iterable[Record],
        *,
        unit: str | None = None,
        from_: datetime | None = None,
        to: datetime | None = None,
    ) -> Answer:
        """An answer with a value."""
        listed = tuple(records)
        text = _joined(parts)
        return found(
            self.ground, self._question(), value, text, listed,
            unit=unit, from_=from_, to=to, rests_on=len({record.id for record in listed}),
        )  # fmt: skip

    def untold(self, parts: Iterable[str]) -> Answer:
        """The answer where what is needed is not recorded."""
        return nothing(self._question(), _joined(parts))

    def unnamed(self) -> Answer:
        """The answer where a name of the question is none of the farm's."""
        return nothing(
            replace(self.asked.question, left_aside=()),
            sentences.unknown_name(self.asked.unknown),
        )

    def cautions(self, names: Iterable[str | None]) -> tuple[str, ...]:
        """The words of cautions, each once."""
        named = dict.fromkeys(name for name in names if name)
        return tuple(self.ground.catalogue.caution(name).text for name in named)

    def sourced(self, *sources: str) -> str:
        """Which publications a sum stands on, in words."""
        named = dict.fromkeys(p for source in sources for p in publications(source))
        words = {FROM_MEMORY: self.say("from_memory"), COMMON_PRACTICE: self.say("common_practice")}
        return self.say("source", source="; ".join(words.get(name, name) for name in named))

    def _question(self) -> Question:
        return replace(self.asked.question, left_aside=self.asked.unknown)


def number_of(value: SlotValue | None) -> float | None:
    """A slot's number, without its unit; None where it holds none."""
    if isinstance(value, Quantity):
        return float(value.value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return float(value)


def rounded(value: float, digits: int = _TENTHS) -> int | float:
    """A number as it is told, whole where it is."""
    near = round(value, digits)
    return int(near) if float(near).is_integer() else near


def shown(value: float, digits: int = _TENTHS) -> str:
    """A number as it is read."""
    return sentences.number(rounded(value, digits))


def between(low: float, high: float, digits: int = _TENTHS) -> str:
    """A range as it is read; one number where both ends are told alike."""
    first, last = shown(low, digits), shown(high, digits)
    return first if first == last else f"{first} to {last}"


def _joined(parts: Iterable[str]) -> str:
    return " ".join(dict.fromkeys(part.strip() for part in parts if part.strip()))
