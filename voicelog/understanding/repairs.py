"""Self-corrections inside a memo: "twenty, no, twenty-two", "finisher, sorry, grower".

A word that takes something back is followed by a mention of the same sort as one before it; the
earlier one is dropped. "Layer, not grower" is the other way round. The dropped words stay in the
memo's text; they only say nothing any more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions
from voicelog.understanding.sentences import MARKS, skip

_BACK = 10
"""How many words back the thing taken back may lie."""
_BACK_FOR_NOT = 4
_SKIPPED = ("fillers", "correction", "leading", "correction_links")


@dataclass(frozen=True, slots=True)
class _Said:
    """Something that can be corrected, and the sort it must be corrected by."""

    first: int
    last: int
    sort: str


def drop_corrected(mentions: Mentions) -> tuple[Mentions, frozenset[int]]:
    """The mentions without those that were taken back, and the tokens that fell away."""
    corrections = mentions.cues.get("correction", ())
    if not corrections:
        return mentions, frozenset()
    said = sorted(_correctable(mentions), key=lambda item: (item.first, -item.last))
    dropped: set[int] = set()
    for first, last in corrections:
        if first in dropped:
            continue
        after = skip(mentions, last, len(mentions.tokens), _SKIPPED)
        for later in (item for item in said if last <= item.first <= after):
            earlier = _earlier(said, first, later, dropped)
            if earlier is None:
                continue
            if mentions.tokens[first].lower == "not" and last - first == 1:
                if first - earlier.last <= _BACK_FOR_NOT:
                    dropped.update(range(first, later.last))
            else:
                dropped.update(range(earlier.first, earlier.last), range(first, later.first))
                dropped.update(_mark_before(mentions, first))
                dropped.update(_said_anew(said, earlier, first, later))
            break
    if not dropped:
        return mentions, frozenset()
    return _without(mentions, dropped), frozenset(dropped)


def _mark_before(mentions: Mentions, cue: int) -> range:
    """The full stop before a word that takes something back: what was said goes on behind it."""
    at = cue
    fillers = {end: begin for begin, end in mentions.cues.get("fillers", ())}
    while at in fillers or (at and mentions.tokens[at - 1].lower == ","):
        at = fillers.get(at, at - 1)
    return range(at - 1, at) if at and mentions.tokens[at - 1].lower in MARKS else range(0)


def _correctable(mentions: Mentions) -> Iterator[_Said]:
    for amount in mentions.amounts:
        yield _Said(amount.first, amount.last, "amount")
    for name in mentions.names:
        yield _Said(name.first, name.last, name.role.value)
    for time in mentions.times:
        yield _Said(time.first, time.last, "time")
    for kind, phrases in mentions.phrases.items():
        for phrase in phrases:
            for sense in phrase.senses:
                if sense.role is Role.VALUE:
                    yield _Said(phrase.first, phrase.last, f"{kind}.{sense.slot}")


def _earlier(said: list[_Said], before: int, later: _Said, dropped: set[int]) -> _Said | None:
    """The nearest thing of the same sort that was said before."""
    for item in reversed(said):
        if (
            item.last <= before
            and item.sort == later.sort
            and before - item.last <= _BACK
            and item.first not in dropped
        ):
            return item
    return None


def _said_anew(said: list[_Said], earlier: _Said, cue: int, later: _Said) -> set[int]:
    """What stood beside the thing taken back and is said again beside the new one."""
    found: set[int] = set()
    for item in said:
        if (
            earlier.last <= item.first
            and item.last <= cue
            and any(
                other.sort == item.sort and later.last <= other.first <= later.last + _BACK_FOR_NOT
                for other in said
            )
        ):
            found.update(range(item.first, item.last))
    return found


def _without(mentions: Mentions, dropped: set[int]) -> Mentions:
    return replace(
        mentions,
        dropped=frozenset(dropped),
        names=tuple(item for item in mentions.names if item.first not in dropped),
        amounts=tuple(item for item in mentions.amounts if item.first not in dropped),
        times=tuple(item for item in mentions.times if item.first not in dropped),
        phrases={
            kind: kept
            for kind, phrases in mentions.phrases.items()
            if (kept := tuple(item for item in phrases if item.first not in dropped))
        },
        cues={
            name: tuple(span for span in spans if span[0] not in dropped)
            for name, spans in mentions.cues.items()
        },
    )
