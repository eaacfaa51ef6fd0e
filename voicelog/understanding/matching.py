"""Finds the lexicon's phrases in the words of a memo. The one place that uses spaCy.

The pipeline is a blank English one: its vocabulary and its two matchers, no statistical model.
Words come from the project's own tokeniser, so that every grammar sees the same tokens; the
pipeline has it in place of its own, whose rules would take longer to load than all the phrases.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import spacy
from spacy.language import Language
from spacy.matcher import Matcher, PhraseMatcher
from spacy.tokens import Doc
from spacy.util import registry

from voicelog.text.tokens import Token, tokenise
from voicelog.understanding.lexicon import GAP, GAP_WORDS, Entry, Lexicon, Sense

_OWN_WORDS = "voicelog.own_words"


def _own_words() -> Callable[[Language], Callable[[str], Doc]]:
    def made(pipeline: Language) -> Callable[[str], Doc]:
        return lambda text: Doc(pipeline.vocab, words=[token.lower for token in tokenise(text)])

    return made


registry.tokenizers.register(_OWN_WORDS, func=_own_words)


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of the lexicon found in a memo."""

    first: int
    last: int
    """Half-open range of tokens, a gap inside it included."""
    senses: tuple[Sense, ...]
    words: tuple[int, ...]
    """The tokens that are words of the phrase; those of a gap are not."""

    @property
    def length(self) -> int:
        """How many of the memo's words it covers."""
        return len(self.words)


class PhraseFinder:
    """Matches all phrases of one lexicon."""

    def __init__(self, lexicon: Lexicon) -> None:
        pipeline = spacy.blank("en", config={"nlp": {"tokenizer": {"@tokenizers": _OWN_WORDS}}})
        self._vocab = pipeline.vocab
        self._known = lexicon.vocabulary()
        self._senses = {entry.words: entry.senses for entry in lexicon.phrases}
        self._several = PhraseMatcher(self._vocab, attr="ORTH")
        self._several.add(
            "phrase",
            [Doc(self._vocab, words=list(words)) for words in self._senses if len(words) > 1],
        )
        self._gapped = Matcher(self._vocab)
        self._gapped_of: dict[int, Entry] = {}
        self._openers: frozenset[str] = frozenset(entry.words[0] for entry in lexicon.gapped)
        for number, entry in enumerate(lexicon.gapped):
            self._gapped.add(f"gap{number}", [_pattern(entry)])
            self._gapped_of[self._vocab.strings.as_int(f"gap{number}")] = entry

    def find(self, tokens: tuple[Token, ...]) -> tuple[Phrase, ...]:
        """Every phrase in the tokens, overlapping ones included, in order of their first word."""
        if not tokens:
            return ()
        words = [self._plain(token.lower) for token in tokens]
        doc = Doc(self._vocab, words=words)
        spans = [(at, at + 1) for at, word in enumerate(words) if (word,) in self._senses]
        spans += [(first, last) for _, first, last in self._several(doc)]
        found = [
            Phrase(first, last, self._senses[tuple(words[first:last])], tuple(range(first, last)))
            for first, last in spans
        ]
        if not self._openers.isdisjoint(words):
            found.extend(self._with_gaps(doc))
        return tuple(sorted(found, key=lambda phrase: (phrase.first, -phrase.last)))

    def _plain(self, word: str) -> str:
        """A word as the lexicon has it: "brooder's" and "sneezin" are known by their plain form."""
        if word in self._known:
            return word
        if word.endswith("'s"):
            return self._plain(word[:-2])
        if word.endswith("in") and f"{word}g" in self._known:
            return f"{word}g"
        return word

    def _with_gaps(self, doc: Doc) -> list[Phrase]:
        """Phrases with a gap; of several ends for one beginning the nearest."""
        nearest: dict[tuple[int, int], Phrase] = {}
        for key, first, last in self._gapped(doc):
            entry = self._gapped_of[key]
            at = entry.words.index(GAP)
            tail = len(entry.words) - at - 1
            words = (*range(first, first + at), *range(last - tail, last))
            if (key, first) not in nearest or last < nearest[key, first].last:
                nearest[key, first] = Phrase(first, last, entry.senses, words)
        return list(nearest.values())


def _pattern(entry: Entry) -> list[dict[str, str]]:
    return [{"OP": f"{{1,{GAP_WORDS}}}"} if word == GAP else {"ORTH": word} for word in entry.words]
