"""Why a question was answered as it was.

    Read ─question_words─▶ WordUse for every word, and the words that decide the sort of answer
         ─weigh─▶ Way: the kinds of record that it may be about
    WatchedStore ─▶ Look: what was asked of the store and which condition left which records out

Which words decide the sort is found by leaving one word out at a time: those without which
another sort would be asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, cast
from zoneinfo import ZoneInfo

from voicelog.answering.asking import answer, ear_of
from voicelog.answering.heard import Ear
from voicelog.answering.looking import WatchedStore
from voicelog.answering.question import Question, Sort
from voicelog.answering.question_words import deciding, deciding_lists, opening, question_words
from voicelog.answering.reading import Read, read
from voicelog.answering.two_amounts import in_two
from voicelog.answering.weighing import Weighed, weigh
from voicelog.explanations import FieldValue, QuestionWhy, Reason, Source, Way
from voicelog.farm import Farm
from voicelog.types import Answer
from voicelog.understanding.entries import file_of
from voicelog.understanding.lexicon import Role

if TYPE_CHECKING:
    from voicelog.records.store import Store

ABOUT = "what it is about"
FALLS_SHORT = "falls short"
_SHOWN = 5
"""Kinds shown that the question may be about."""
_FLAGS = ("standing", "ahead", "undone", "may_be_planned", "overdue", "due", "first", "latest",
          "each", "often", "lowest", "held", "meat")  # fmt: skip
"""Fields of a question that are true or false."""
CAME_ABOUT = {
    Sort.LAST: "when the newest of the records begins",
    Sort.NEXT: "when the earliest open plan begins",
    Sort.SINCE: "calendar days from the newest record to now",
    Sort.COUNT: "how many records there are",
    Sort.SUM: "what the slot adds up to, in the unit asked for or said most",
    Sort.VALUE: "what the newest record says that has the slot",
    Sort.AVERAGE: "the sum, divided by the calendar days of the period or the number of readings",
    Sort.EXTREME: "the highest or lowest of the values, days or places",
    Sort.LIST: "what the records name, each once",
    Sort.WHERE: "where the newest record puts it",
    Sort.WHO: "whom the records name",
    Sort.MISSING: "those of the farm file that no record names",
    Sort.YES_NO: "true where a record says so, false where one says it was not done or is undone",
    Sort.COMPARE: "the first sum minus the second",
    Sort.PLAN: "the plans that no later done record has met",
    Sort.WITHHELD: "how long something is kept back, by the days that the records say",
    Sort.LEFT: "the chores of the farm file that no record of today shows done",
    Sort.EVENTS: "what was recorded, of whatever kind",
    Sort.UNKNOWN: "no sort of answer fits the words",
}
"""How the value of each sort of answer comes about."""


def explain(text: str, store: Store, farm: Farm, now: datetime) -> QuestionWhy:
    """Why `answer` with the same arguments answers as it does.

    Raises:
        StoreError: the store cannot be read.
        ValueError: `now` has no zone.
    """
    watched = WatchedStore(store)
    given = answer(text, cast("Store", watched), farm, now)
    looks = watched.looks()
    here = now.astimezone(ZoneInfo(farm.timezone))
    ear = ear_of(farm)
    heeded = read(text, here, ear)
    weighed = _weighed(heeded, ear)
    best = _best(heeded.question, weighed)
    return QuestionWhy(
        words=question_words(heeded, best, ear.catalogue),
        ways=tuple(_ways(heeded.question, weighed)),
        reasons=tuple(_Reasons(heeded, best, ear, given).all(here)),
        looks=looks,
    )


def _weighed(heeded: Read, ear: Ear) -> list[Weighed]:
    """The kinds that something in the question speaks for, the clearest first."""
    kinds = [kind for kind in ear.catalogue.kinds if kind.slots]
    found = [weigh(kind, heeded.heard, ear, heeded.unit, heeded.names, heeded.noun)
             for kind in kinds]  # fmt: skip
    return sorted((item for item in found if item.used), key=lambda item: -item.score)


def _best(question: Question, weighed: list[Weighed]) -> Weighed | None:
    kinds = [subject.kind for subject in question.subjects[:1]]
    return next((item for item in weighed if item.kind.name in kinds), None)


def _ways(question: Question, weighed: list[Weighed]) -> Iterator[Way]:
    about = {subject.kind for subject in question.subjects}
    for item in weighed[:_SHOWN]:
        taken = item.kind.name in about
        how = ABOUT if taken else FALLS_SHORT
        yield Way(kind=item.kind.name, how=how, score=round(item.score, 2), taken=taken)


@dataclass(frozen=True, slots=True)
class _Reasons:
    """The reasons for how one question was read and answered."""

    read: Read
    best: Weighed | None
    ear: Ear
    given: Answer

    def all(self, now: datetime) -> Iterator[Reason]:
        """In the order in which the question is read."""
        question = self.read.question
        yield self._sort()
        parts = in_two(question, now, self.ear)
        if parts is not None:
            yield _reason("parts", tuple(part.text for part in parts), "", "two_amounts.py")
        yield from self._subject()
        yield from self._names()
        yield from self._periods()
        if question.unit is not None:
            yield _reason("unit", question.unit, self._said(self.read.unit_at), "units.toml")
        for flag in _FLAGS:
            if getattr(question, flag):
                yield _reason(flag, True, "", "reading.py")
        if question.state:
            yield _reason("state", question.state, "", "asking.toml")
        if question.left_aside:
            yield _reason("left_aside", question.left_aside, " ".join(question.left_aside),
                          "no name, no time and no word of the catalogue")  # fmt: skip
        yield from self._value()

    def _sort(self) -> Reason:
        question = self.read.question
        read, asking = self.read, self.ear.asking
        tokens = deciding(read, question.subjects, asking)
        if tokens:
            lists = deciding_lists(read, question.subjects, asking, tokens)
            by = f"questions.toml {', '.join(lists)}" if lists else "sorts.py"
            return _reason("sort", question.sort.value, self._said(tokens), by)
        by = "what it is about asks for the same (sorts.py)"
        if question.sort is Sort.UNKNOWN:
            by = "no sort of answer fits (sorts.py)"
        opened = opening(read)
        if opened is None:
            return _reason("sort", question.sort.value, "", by)
        name, first, last = opened
        words = self._said(range(first, last))
        return _reason("sort", question.sort.value, words, f"questions.toml {name}; {by}")

    def _subject(self) -> Iterator[Reason]:
        for subject in self.read.question.subjects:
            own = self.best if self.best and self.best.kind.name == subject.kind else None
            by = f"{file_of(subject.kind)}, score {subject.clarity:g}"
            yield _reason("kind", subject.kind, self._said(own.used if own else ()), by)
            for slot, values in subject.slots.items():
                spans = own.values.get(slot, {}) if own else {}
                tokens = [at for value, (_, span) in spans.items() if value in values
                          for at in range(span.first, span.last)]  # fmt: skip
                words = self._said(tokens)
                yield _reason(slot, values, words, f"{file_of(subject.kind)} slot.{slot}")
            for slot in subject.asked:
                span = own.asked.get(slot) if own and slot in subject.named else None
                words = self._said(range(span.first, span.last)) if span else ""
                main = f"{file_of(subject.kind)} main"
                by = f"{file_of(subject.kind)} slot.{slot}" if slot in subject.named else main
                yield _reason("asked", slot, words, by)

    def _names(self) -> Iterator[Reason]:
        noun, question = self.read.noun, self.read.question
        if noun is not None:
            words = self._said(range(noun.span.first, noun.span.last))
            yield _reason("asked", question.asked.value, words, "sorts.py")
        fields = {Role.PLACE: "place", Role.FLOCK: "flock"}
        for name in self.read.names:
            words = self._said(range(name.first, name.last))
            by = "the farm file" if name.exact and name.known else "places.py, trade.toml"
            yield _reason(fields.get(name.role, "birds"), name.value, words, by)

    def _periods(self) -> Iterator[Reason]:
        """A night asked for begins with its evening; of "the week before" no word is a time."""
        question = self.read.question
        for when in question.periods:
            said = [time for time in self.read.heard.mentions.times
                    if when.to in (time.past.to, time.ahead.to)]  # fmt: skip
            words = self._said(range(said[0].first, said[0].last)) if said else ""
            ahead = "ahead" if question.ahead else "in the past"
            yield _reason("period", when, words, f"text/times, read as lying {ahead}")

    def _value(self) -> Iterator[Reason]:
        by = CAME_ABOUT[self.read.question.sort]
        if self.given.value is None:
            by += "; there is none"
            yield Reason(field="value", value="no record", source=Source.NOT_SAID, by=by)
        else:
            yield Reason(field="value", value=self.given.value, source=Source.SUM, by=by)
        if self.given.evidence:
            ids = tuple(str(item.record) for item in self.given.evidence)
            by = "the records that it rests on, by their ids"
            yield Reason(field="evidence", value=ids, source=Source.SUM, by=by)

    def _said(self, tokens: Iterable[int]) -> str:
        return " ".join(self.read.heard.words[at] for at in sorted(tokens))


def _reason(field: str, value: FieldValue, words: str, by: str) -> Reason:
    source = Source.OWN if words else Source.IMPLIED
    return Reason(field=field, value=value, source=source, words=words, by=by)
