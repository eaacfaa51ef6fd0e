"""The words of a question with everything that is mentioned in them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from voicelog.answering.question import Span
from voicelog.catalogue import Catalogue, expand
from voicelog.catalogue.asking import Asking
from voicelog.farm import Farm
from voicelog.understanding.finding import find_mentions
from voicelog.understanding.lexicon import Lexicon
from voicelog.understanding.matching import PhraseFinder
from voicelog.understanding.mentions import Mentions

AUXILIARIES = frozenset(
    {"is", "are", "was", "were", "be", "been", "am", "has", "have", "had", "do", "does", "did"}
    | {"isn't", "aren't", "doing", "done"}
)
_ARTICLES = frozenset({"the", "a", "an", "of", "our", "my", "all", "these", "those", "other"})


@dataclass(frozen=True, slots=True)
class AskSense:
    """What a word says in a question beyond what it says in a memo."""

    kind: str
    slot: str = ""
    """Empty where the word names the kind as a whole."""


class Ear:
    """Hears questions of one farm; building it takes about a second, hearing milliseconds."""

    def __init__(self, catalogue: Catalogue, asking: Asking, farm: Farm) -> None:
        self.catalogue = catalogue
        self.asking = asking
        self.farm = farm
        self._finder = PhraseFinder(Lexicon(catalogue, farm))
        self._ask = _ask_index(catalogue, asking)
        self._place_kinds = {
            tuple(form.split()): kind.name
            for kind in catalogue.places
            for notation in kind.words
            for form in expand(notation)
        }

    def hear(self, text: str, now: datetime) -> Heard:
        """The words of a question asked at `now` (aware)."""
        mentions = find_mentions(text, now, self._finder, self.catalogue, self.farm)
        words = tuple(token.lower for token in mentions.tokens)
        return Heard(
            mentions=mentions,
            words=words,
            ask=_found(words, self._ask),
            place_kinds=_longest(words, self._place_kinds),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A question's words and mentions."""

    mentions: Mentions
    words: tuple[str, ...]
    """Its tokens in lower case."""
    ask: Mapping[Span, tuple[AskSense, ...]]
    """Where words stand that only questions know."""
    place_kinds: Mapping[Span, str]
    """Where words for kinds of place stand."""

    def cues(self, *names: str) -> tuple[Span, ...]:
        """Where phrases of these word lists stand, in order."""
        found = [Span(*span) for name in names for span in self.mentions.cues.get(name, ())]
        return tuple(sorted(found, key=lambda span: span.first))

    def has(self, *names: str) -> bool:
        """Whether any phrase of these word lists is there."""
        return any(self.mentions.cues.get(name) for name in names)

    @property
    def head(self) -> int:
        """The first token after words that only lead up to the question."""
        at = 0
        spans = sorted(self.cues("ask_preamble"), key=lambda s: (s.first, -s.last))
        for span in spans:
            if span.first == at and span.last < len(self.words):
                at = span.last
        return at

    def opens(self, *names: str) -> bool:
        """Whether the question opens with a phrase of these lists, a preposition aside."""
        head = self.head
        at = {head}
        if head < len(self.words) and self.words[head] in _LEADING:
            at.add(head + 1)
        return any(span.first in at for span in self.cues(*names))

    def after(self, *names: str) -> int | None:
        """The token after the first phrase of these lists and an article; None for no phrase."""
        spans = self.cues(*names)
        return None if not spans else self.past_articles(spans[0].last)

    def holds(self, phrase: str) -> bool:
        """Whether these words stand in it, one after the other."""
        words = tuple(phrase.split())
        spots = range(len(self.words) - len(words) + 1)
        return any(self.words[at : at + len(words)] == words for at in spots)

    def leads_on(self, span: Span) -> bool:
        """Whether its last word is only the preposition of a time or name: "on friday"."""
        word = self.words[span.last - 1]
        # Only "on" ends a phrase and leads to a time alike; "shut in last night" is no such.
        if word not in _LEADING or (span.last - span.first > 1 and word != "on"):
            return False
        return self.past_articles(span.last) in self.named()

    def asks_slot(self, span: Span, kind: str, slot: str) -> bool:
        """Whether these words name a slot in a question."""
        return AskSense(kind, slot) in self.ask.get(span, ())

    @property
    def asks_how(self) -> bool:
        """Whether "how" asks for the manner and not for a number or degree."""
        at = self.head + 1
        return self.opens("ask_how") and at < len(self.words) and self.words[at] in AUXILIARIES

    def stands_as_state(self, phrase: str) -> bool:
        """Whether words say how a thing stands: at the end, or before a time or "at" a place."""
        words = tuple(phrase.split())
        named = self.named()
        for at in range(1, len(self.words) - len(words) + 1):
            if self.words[at : at + len(words)] != words:
                continue
            rest = [w for w in self.words[at + len(words) :] if w[:1].isalpha()]
            after = self.past_articles(at + len(words))
            if not rest or after in named:
                return True
            if rest[0] in _LEADING and self.past_articles(after + 1) in named:
                return True
        return False

    def past_articles(self, at: int) -> int:
        """The first token from `at` on that is no article."""
        while at < len(self.words) and self.words[at] in _ARTICLES:
            at += 1
        return at

    def named(self) -> frozenset[int]:
        """The tokens that name times and things of the farm."""
        mentions = self.mentions
        ranges = [range(name.first, name.last) for name in mentions.names]
        ranges += [range(time.first, time.last) for time in mentions.times]
        return frozenset(at for one in ranges for at in one)


_LEADING = frozenset({"on", "at", "in", "from", "by", "to", "for", "about", "of", "and", "with"})


def _ask_index(catalogue: Catalogue, asking: Asking) -> dict[tuple[str, ...], tuple[AskSense, ...]]:
    found: dict[tuple[str, ...], dict[AskSense, None]] = {}
    for kind in catalogue.kinds:
        for slot in kind.slots:
            for form in _forms(slot.ask):
                found.setdefault(form, {})[AskSense(kind.name, slot.name)] = None
    for name, notations in asking.general.items():
        for form in _forms(notations):
            found.setdefault(form, {})[AskSense(name)] = None
    return {form: tuple(senses) for form, senses in found.items()}


def _forms(notations: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for notation in notations:
        for form in expand(notation):
            yield tuple(form.split())


def _found(
    words: tuple[str, ...], index: Mapping[tuple[str, ...], tuple[AskSense, ...]]
) -> dict[Span, tuple[AskSense, ...]]:
    longest = max((len(form) for form in index), default=0)
    found = {}
    for first in range(len(words)):
        for last in range(first + 1, min(first + longest, len(words)) + 1):
            senses = index.get(words[first:last])
            if senses:
                found[Span(first, last)] = senses
    return found


def _longest(words: tuple[str, ...], index: Mapping[tuple[str, ...], str]) -> dict[Span, str]:
    """The longest phrase at each place, none overlapping."""
    reach = max((len(form) for form in index), default=0)
    found: dict[Span, str] = {}
    first = 0
    while first < len(words):
        lengths = range(min(reach, len(words) - first), 0, -1)
        size = next((n for n in lengths if words[first : first + n] in index), 0)
        if size:
            found[Span(first, first + size)] = index[words[first : first + size]]
        first += size or 1
    return found
