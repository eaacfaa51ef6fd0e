"""Which sum of the trade a question asks for, by the words that the catalogue declares."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from voicelog.answering.heard import Heard
from voicelog.answering.question import Question, Span
from voicelog.answering.reading import Read
from voicelog.answering.subjects import unexplained
from voicelog.catalogue import Catalogue, expand, expand_all
from voicelog.catalogue.trade_questions import Rule, TradeQuestions, slot_of
from voicelog.farm import Farm
from voicelog.types import Quantity
from voicelog.understanding.lexicon import Role

_UNEXPLAINED_AT_MOST = 1
"""A question with more words that nothing explains asks for something else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A sum that is asked for."""

    rule: Rule
    question: Question
    heard: Heard
    rations: tuple[str, ...]
    """What is eaten, by the value of its slot; empty where none is named."""
    numbers: tuple[Quantity, ...]
    """Numbers named, in order; a bare one has an empty unit."""
    used: frozenset[int]
    """The tokens that the rule's lists matched."""
    spans: tuple[tuple[str, Span], ...]
    """By list: where its phrases stand."""
    unknown: tuple[str, ...]
    """Words that nothing explains."""

    @property
    def sum(self) -> str:
        """The name of what is asked for."""
        return self.rule.sum

    def has(self, name: str) -> bool:
        """Whether a phrase of a list of the rule stands in the question."""
        return any(listed == name for listed, _ in self.spans)


def trade_asked(
    read: Read, declared: TradeQuestions, catalogue: Catalogue, farm: Farm
) -> Asked | None:
    """The sum that a question asks for, or None where it asks for something else."""
    finding = _Finding(read.heard, declared, catalogue, farm)
    for rule in declared.rules:
        if (spans := finding.fits(rule)) is None:
            continue
        used = frozenset(at for _, span in spans for at in range(span.first, span.last))
        unknown = _unknown(read.heard, used)
        if len(unknown) > _UNEXPLAINED_AT_MOST:
            continue
        return Asked(
            rule=rule,
            question=read.question,
            heard=read.heard,
            rations=finding.rations(),
            numbers=tuple(
                Quantity(value=amount.value, unit=amount.unit or "")
                for amount in read.heard.mentions.amounts
            ),
            used=used,
            spans=spans,
            unknown=unknown,
        )
    return None


def _unknown(heard: Heard, used: frozenset[int]) -> tuple[str, ...]:
    phrases = {
        at for found in heard.mentions.phrases.values() for phrase in found for at in phrase.words
    }
    rest = unexplained(heard, used | phrases)
    return tuple(heard.words[at].removesuffix("'s") for at in rest)


class _Finding:
    """Finds the phrases of the lists in one question."""

    def __init__(
        self, heard: Heard, declared: TradeQuestions, catalogue: Catalogue, farm: Farm
    ) -> None:
        self.heard = heard
        self.declared = declared
        self.catalogue = catalogue
        self.farm = farm

    def fits(self, rule: Rule) -> tuple[tuple[str, Span], ...] | None:
        """Where the lists that a rule needs stand; None where it does not fit."""
        if any(self._where(name) for name in rule.never):
            return None
        if rule.opens and not any(
            span.first == self.heard.head for name in rule.opens for span in self._where(name)
        ):
            return None
        found = []
        for name in rule.needs:
            spans = self._where(name)
            if not spans:
                return None
            found += [(name, span) for span in spans]
        return tuple(found)

    def rations(self) -> tuple[str, ...]:
        """What is eaten, where the question names it."""
        slot = slot_of(self.catalogue, self.declared.slot("eaten"))
        return tuple(
            value.name
            for value in slot.values
            if any(any(self._phrase(form)) for form in expand_all(value.words))
        )

    def _where(self, name: str) -> tuple[Span, ...]:
        found = []
        for phrase in self.declared.words[name]:
            spans = self._mark(phrase[1:-1]) if phrase.startswith("{") else self._phrase(phrase)
            found += list(spans)
        return tuple(found)

    def _phrase(self, phrase: str) -> Iterator[Span]:
        wanted, words = tuple(phrase.split()), self.heard.words
        for at in range(len(words) - len(wanted) + 1):
            if words[at : at + len(wanted)] == wanted:
                yield Span(at, at + len(wanted))

    def _mark(self, mark: str) -> Iterator[Span]:
        names = self.heard.mentions.names
        if mark == "hours":
            for amount in self.heard.mentions.amounts:
                if amount.unit == self.declared.units["hour"]:
                    yield Span(amount.first, amount.last)
        elif mark == "eaten":
            for value in self.rations():
                yield from self._value("eaten", value)
        elif mark == "paddock":
            wanted = self.declared.values["paddock"]
            yield from (s for s, kind in self.heard.place_kinds.items() if kind in wanted)
            yield from (
                Span(n.first, n.last)
                for n in names
                if n.role is Role.PLACE
                and (place := self.farm.place(n.value)) is not None
                and place.kind in wanted
            )
        elif mark in ("bird", "place", "flock"):
            role = {"bird": Role.BIRD, "place": Role.PLACE, "flock": Role.FLOCK}[mark]
            yield from (Span(n.first, n.last) for n in names if n.role is role)
        else:
            yield from self._of_class(mark)

    def _value(self, slot: str, value: str) -> Iterator[Span]:
        declared = slot_of(self.catalogue, self.declared.slot(slot)).value_named(value)
        for form in () if declared is None else expand_all(declared.words):
            yield from self._phrase(form)

    def _of_class(self, mark: str) -> Iterator[Span]:
        """One bird by the word for its class, or birds of a young class."""
        for name in self.heard.mentions.names:
            said = " ".join(self.heard.words[name.first : name.last])
            if name.role is Role.BIRD and mark == "one":
                yield Span(name.first, name.last)
            if name.role is not Role.FLOCK:
                continue
            singles = [expand(w)[0] for c in self.catalogue.classes for w in c.words if "+" in w]
            young = self.declared.values["young"]
            if (mark == "one" and said in singles) or (
                mark == "young" and self._class(name.value) in young
            ):
                yield Span(name.first, name.last)

    def _class(self, flock: str) -> str | None:
        own = next((f.class_ for f in self.farm.flocks if f.name == flock), None)
        word = next((c.name for c in self.catalogue.classes if c.word == flock), None)
        return own or word
