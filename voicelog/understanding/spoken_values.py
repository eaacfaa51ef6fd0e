"""The speaker's own words as a slot's value: what stands around a known word, or after a verb."""

from __future__ import annotations

from voicelog.catalogue import Slot, expand
from voicelog.text.tokens import Token
from voicelog.understanding.lexicon import Role
from voicelog.understanding.matching import Phrase
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.reading import Reading

_MOST_MODIFIERS = 2
_MOST_WORDS = 4
_LONGEST_AMOUNT = 8


def before_words(mentions: Mentions, first: int, before: tuple[str, ...]) -> bool:
    """Whether one of the phrases stands right before the token, an article between or not."""
    tokens = mentions.tokens
    ends = [first]
    if first > 0 and tokens[first - 1].lower in ("the", "a", "an", "our", "my"):
        ends.append(first - 1)
    for end in ends:
        if end == 0:
            continue
        nearest = tokens[end - 1].lower
        for phrase in before:
            if phrase.endswith(nearest) and _ends_with(tokens, end, phrase.split()):
                return True
    return False


def _ends_with(tokens: tuple[Token, ...], end: int, words: list[str]) -> bool:
    return [token.lower for token in tokens[max(0, end - len(words)) : end]] == words


def with_modifiers(
    mentions: Mentions, phrase: Phrase, slot: Slot, value: str
) -> tuple[str, int, int]:
    """A known word as it was said, with the adjectives before it: "the long trough"."""
    first = phrase.first
    while first > 0 and phrase.first - first < _MOST_MODIFIERS and _modifies(mentions, first - 1):
        first -= 1
    while first < phrase.last - 1 and mentions.tokens[first].lower in ("a", "an", "the"):
        first += 1
    said = mentions.value(first, phrase.last).lower()
    if slot.singular:
        said = f"{mentions.value(first, phrase.first).lower()} {_singular(slot, value)}".strip()
    return said, first, phrase.last


def object_after(
    mentions: Mentions, reading: Reading, phrases: list[Phrase]
) -> tuple[int, int] | None:
    """The words after the verb that nothing else has used: "fixed the squeaky thing"."""
    start = None
    for phrase in phrases:
        if any(sense.role in (Role.VERB, Role.SAYS, Role.VALUE) for sense in phrase.senses):
            start = phrase.last
            break
    if start is None:
        return None
    at = start
    while at < reading.last and (
        mentions.tokens[at].lower in _BEFORE_OBJECT
        or _in_amount(mentions, at)
        or mentions.covers("fillers", at)
    ):
        at += 1
    first = at
    while at < reading.last and at - first < _MOST_WORDS and not _stops(mentions, reading, at):
        at += 1
    if at < reading.last and _in_amount(mentions, at):
        return None  # "sold my cousin five dozen": to whom, not what
    return (first, at) if at > first else None


def words_after(
    mentions: Mentions, reading: Reading, before: tuple[str, ...]
) -> tuple[int, int] | None:
    """The unused words after one of the phrases: "dusted her with powder"."""
    for first in range(reading.first + 1, reading.last):
        if not _stops(mentions, reading, first) and before_words(mentions, first, before):
            last = first
            while (
                last < reading.last
                and last - first < _MOST_WORDS
                and not _stops(mentions, reading, last)
            ):
                last += 1
            return first, last
    return None


def _singular(slot: Slot, value: str) -> str:
    """The plain form of the words that say a value."""
    known = slot.value_named(value)
    return expand(known.words[0])[0] if known and known.words else value


def _modifies(mentions: Mentions, at: int) -> bool:
    """Whether a token before a known word belongs to it: an ordinary word that does no work."""
    token = mentions.tokens[at]
    if not token.lower.isalpha() or _is_grammar(mentions, at) or at in mentions.dropped:
        return False
    return not _is_mention(mentions, at)


def _is_mention(mentions: Mentions, at: int) -> bool:
    return at in mentions.mentioned or at in mentions.working


_BEFORE_OBJECT = frozenset(
    {"the", "a", "an", "some", "more", "of", "new", "another", "our", "my", "that", "those", "up"}
)


def _in_amount(mentions: Mentions, at: int) -> bool:
    near = mentions.amounts_in(max(0, at - _LONGEST_AMOUNT), at + _LONGEST_AMOUNT)
    return any(amount.first <= at < amount.last for amount in near)


def _is_grammar(mentions: Mentions, at: int) -> bool:
    return mentions.covers("grammar", at)


def _stops(mentions: Mentions, reading: Reading, at: int) -> bool:
    token = mentions.tokens[at]
    return (
        not token.lower[0].isalpha()
        or (token.lower.endswith("ing") and len(token.lower) > len("thing"))  # "leaving three"
        or at in reading.used
        or _is_grammar(mentions, at)
        or _is_mention(mentions, at)
    )
