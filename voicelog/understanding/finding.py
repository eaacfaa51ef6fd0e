"""Finds everything that is mentioned in a memo, in one pass over its tokens."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from itertools import pairwise

from voicelog.catalogue import Catalogue
from voicelog.farm import Farm
from voicelog.text.sun import Sky
from voicelog.text.times import find_times
from voicelog.text.tokens import Token, tokenise
from voicelog.understanding.lexicon import Role, Sense
from voicelog.understanding.matching import Phrase, PhraseFinder
from voicelog.understanding.mentions import Mentions, Name, TimeSaid
from voicelog.understanding.said_amounts import said_amounts
from voicelog.understanding.said_names import said_names
from voicelog.understanding.token_ranges import TokenRanges

_WORKING = frozenset({Role.VERB, Role.SAYS, Role.STRONG_VERB})
"""Roles of words that do the work of a clause."""
_BETWEEN = frozenset({"the", "a", "an", "any", "that", "more", "of", "been", "being"})
"""Words that may stand between a word of not seeing and what was not seen."""
_IT = frozenset({"it", "that", "those", "them"})


def find_mentions(
    text: str, now: datetime, finder: PhraseFinder, catalogue: Catalogue, farm: Farm
) -> Mentions:
    """All mentions of a text said at `now` (aware)."""
    sounds = catalogue.lists.get("sounds", ())
    tokens = tuple(token for token in tokenise(text) if token.lower not in sounds)
    ranges = TokenRanges(tokens)
    sky = None
    if farm.latitude is not None and farm.longitude is not None:
        sky = Sky(latitude=farm.latitude, longitude=farm.longitude)
    times = _times(text, now, sky, ranges)
    timed = _owners(times)
    phrases = [phrase for phrase in finder.find(tokens) if not _inside(phrase, timed)]
    phrases += _of_it(phrases, tokens)
    names = tuple(said_names(phrases, tokens, catalogue, farm))
    owned = _owners(name for name in names if name.exact and name.known)
    phrases = [phrase for phrase in phrases if not _only_part_of_name(phrase, owned)]
    cues = _cues(phrases)
    by_kind = _phrases_by_kind(phrases, cues)
    for kind in catalogue.kinds:
        if kind.only_seen and kind.name in by_kind:
            by_kind[kind.name] = _seen(by_kind[kind.name], cues, tokens)
    measures = frozenset(
        word for phrase in catalogue.lists.get("measure_words", ()) for word in phrase.split()
    )
    taken = {at for item in names for at in range(item.first, item.last)}
    taken |= {at for item in times for at in range(item.first, item.last)}
    kinds_at = tuple(_place_kinds(phrases))
    counted = _counting_places(kinds_at, cues) | _numbers_in_phrases(phrases, cues)
    amounts = tuple(said_amounts(text, tokens, ranges, taken | counted, measures))
    taken |= {at for item in amounts for at in range(item.first, item.last)}
    working = {
        at
        for found in by_kind.values()
        for phrase in found
        if any(sense.role in _WORKING or sense.slot == "action" for sense in phrase.senses)
        for at in range(phrase.first, phrase.last)
    }
    return Mentions(
        text=text,
        tokens=tokens,
        names=names,
        amounts=amounts,
        times=times,
        phrases=by_kind,
        barred=_barred(phrases),
        place_kinds=kinds_at,
        cues=cues,
        working=frozenset(working),
        mentioned=frozenset(taken),
    )


def _times(text: str, now: datetime, sky: Sky | None, ranges: TokenRanges) -> tuple[TimeSaid, ...]:
    past = find_times(text, now, lean="past", sky=sky)
    if not past:
        return ()
    ahead = {span.start: span for span in find_times(text, now, lean="future", sky=sky)}
    found = []
    for span in past:
        where = ranges.range(span.start, span.end)
        if where is not None:
            later = ahead.get(span.start, span)
            begins = span.when.from_
            found.append(
                TimeSaid(
                    *where,
                    past=span.when,
                    ahead=later.when,
                    to_come=begins is not None and begins > now,
                )
            )
    return tuple(found)


def _of_it(phrases: list[Phrase], tokens: tuple[Token, ...]) -> list[Phrase]:
    """ "Bought a bag of layer and gave them a scoop of it": the thing said before, once more.

    A thing is what several kinds of record can be about.
    """
    found = []
    for at, (token, following) in enumerate(pairwise(tokens)):
        if token.lower == "of" and following.lower in _IT:
            things = (phrase for phrase in reversed(phrases) if phrase.last <= at)
            senses = next((said for said in map(_thing, things) if said), ())
            if senses:
                found.append(Phrase(at + 1, at + 2, senses, (at + 1,)))
    return found


def _thing(phrase: Phrase) -> tuple[Sense, ...]:
    """The senses of a phrase as a thing; none where it is not one."""
    values = tuple(sense for sense in phrase.senses if sense.role is Role.VALUE)
    return values if len({sense.kind for sense in values}) > 1 else ()


def _place_kinds(phrases: list[Phrase]) -> Iterator[tuple[str, int, int]]:
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role is Role.PLACE_KIND:
                yield sense.value, phrase.first, phrase.last


def _counting_places(
    kinds_at: tuple[tuple[str, int, int], ...], cues: Mapping[str, tuple[tuple[int, int], ...]]
) -> set[int]:
    """Tokens of "all four" in "all four coops", where the number is no amount."""
    begins = {first for _, first, _ in kinds_at}
    return {
        at for first, last in cues.get("both", ()) if last in begins for at in range(first, last)
    }


def _numbers_in_phrases(
    phrases: list[Phrase], cues: Mapping[str, tuple[tuple[int, int], ...]]
) -> set[int]:
    """Tokens of "half full" and "nary a one", where the number is no amount."""
    found = {
        at
        for phrase in phrases
        if phrase.length > 1
        and any(sense.role is Role.VALUE or sense.role is Role.NEVER for sense in phrase.senses)
        for at in phrase.words[:1]
    }
    return found | {
        at
        for first, last in cues.get("negative_count", ())
        if last - first > 1
        for at in range(first, last)
    }


def _phrases_by_kind(
    phrases: list[Phrase], cues: Mapping[str, tuple[tuple[int, int], ...]]
) -> dict[str, tuple[Phrase, ...]]:
    steering = {
        at: last
        for name in ("planned", "not_done")
        for first, last in cues.get(name, ())
        for at in range(first, last)
    }
    senses: dict[str, list[tuple[Phrase, tuple[Sense, ...]]]] = {}
    for phrase in phrases:
        if phrase.last < steering.get(phrase.first, 0):
            continue
        by_kind: dict[str, list[Sense]] = {}
        for sense in phrase.senses:
            if sense.kind:
                by_kind.setdefault(sense.kind, []).append(sense)
        for kind, own in by_kind.items():
            senses.setdefault(kind, []).append((phrase, tuple(own)))
    return {kind: _longest(found) for kind, found in senses.items()}


def _seen(
    phrases: tuple[Phrase, ...],
    cues: Mapping[str, tuple[tuple[int, int], ...]],
    tokens: tuple[Token, ...],
) -> tuple[Phrase, ...]:
    """The phrases without values that were not seen: "no tracks", "didn't see the fox"."""
    ends = {last for _, last in cues.get("unseen", ())}
    ends -= _taking_back(phrases, cues)
    kept = []
    for phrase in phrases:
        value = any(sense.role in (Role.VALUE, Role.SAYS) for sense in phrase.senses)
        before = phrase.first
        while before > 0 and before not in ends and tokens[before - 1].lower in _BETWEEN:
            before -= 1
        if value and before in ends:
            ends.add(phrase.last)
        else:
            kept.append(phrase)
    return tuple(kept)


def _taking_back(
    phrases: tuple[Phrase, ...], cues: Mapping[str, tuple[tuple[int, int], ...]]
) -> set[int]:
    """Ends of words that take a value back for another of its sort: "a fox, no, a coyote"."""
    ending = {phrase.last: _slots(phrase) for phrase in phrases}
    begun = {phrase.first: _slots(phrase) for phrase in phrases}
    return {
        last
        for first, last in cues.get("correction", ())
        if ending.get(first, frozenset()) & begun.get(last, frozenset())
    }


def _slots(phrase: Phrase) -> frozenset[str]:
    return frozenset(sense.slot for sense in phrase.senses if sense.role is Role.VALUE)


def _barred(phrases: list[Phrase]) -> Mapping[str, frozenset[int]]:
    found: dict[str, set[int]] = {}
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role is Role.NEVER:
                found.setdefault(sense.kind, set()).update(phrase.words)
    return {kind: frozenset(words) for kind, words in found.items()}


def _longest(found: list[tuple[Phrase, tuple[Sense, ...]]]) -> tuple[Phrase, ...]:
    """Of overlapping phrases the longest; a phrase that says something else leaves nothing."""
    taken: set[int] = set()
    kept = []
    for phrase, senses in sorted(found, key=lambda item: (-item[0].length, item[0].first)):
        if taken.isdisjoint(phrase.words):
            taken.update(phrase.words)
            if all(sense.role is not Role.NEVER for sense in senses):
                kept.append(Phrase(phrase.first, phrase.last, senses, phrase.words))
    return tuple(sorted(kept, key=lambda phrase: phrase.first))


def _cues(phrases: list[Phrase]) -> Mapping[str, tuple[tuple[int, int], ...]]:
    found: dict[str, list[tuple[int, int]]] = {}
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role is Role.CUE:
                found.setdefault(sense.value, []).append((phrase.first, phrase.last))
    cues = {}
    for name, spans in found.items():
        taken: set[int] = set()
        kept = []
        for first, last in sorted(spans, key=lambda span: (span[0] - span[1], span[0])):
            if taken.isdisjoint(range(first, last)):
                taken.update(range(first, last))
                kept.append((first, last))
        cues[name] = tuple(sorted(kept))
    return cues


def _owners(items: Iterable[TimeSaid | Name]) -> dict[int, TimeSaid | Name]:
    """By token: the time or name that it belongs to."""
    return {at: item for item in items for at in range(item.first, item.last)}


def _inside(phrase: Phrase, owners: Mapping[int, TimeSaid | Name]) -> bool:
    """Words of a time say nothing else, but a phrase that reaches beyond it may hold them."""
    owner = owners.get(phrase.first)
    return owner is not None and phrase.last <= owner.last


def _only_part_of_name(phrase: Phrase, owners: Mapping[int, TimeSaid | Name]) -> bool:
    """A word strictly inside a farm's own name does not say what it says elsewhere."""
    owner = owners.get(phrase.first)
    return (
        owner is not None
        and phrase.last <= owner.last
        and phrase.last - phrase.first < owner.last - owner.first
    )
