"""Finds everything that is mentioned in a memo, in one pass over its tokens."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from voicelog.catalogue import Catalogue
from voicelog.farm import Farm
from voicelog.text.sun import Sky
from voicelog.text.times import find_times
from voicelog.text.tokens import tokenise
from voicelog.understanding.lexicon import Role, Sense
from voicelog.understanding.matching import Phrase, PhraseFinder
from voicelog.understanding.mentions import Mentions, Name, TimeSaid
from voicelog.understanding.said_amounts import said_amounts
from voicelog.understanding.said_names import said_names
from voicelog.understanding.token_ranges import TokenRanges


def find_mentions(
    text: str, now: datetime, finder: PhraseFinder, catalogue: Catalogue, farm: Farm
) -> Mentions:
    """All mentions of a text said at `now` (aware)."""
    tokens = tokenise(text)
    ranges = TokenRanges(tokens)
    sky = None
    if farm.latitude is not None and farm.longitude is not None:
        sky = Sky(latitude=farm.latitude, longitude=farm.longitude)
    times = _times(text, now, sky, ranges)
    phrases = [phrase for phrase in finder.find(tokens) if not _inside_any(phrase, times)]
    names = tuple(said_names(phrases, tokens, catalogue, farm))
    cues = _cues(phrases, names)
    by_kind = _phrases_by_kind(phrases, names, cues)
    measures = frozenset(
        word for phrase in catalogue.lists.get("measure_words", ()) for word in phrase.split()
    )
    taken = {at for item in names for at in range(item.first, item.last)}
    taken |= {at for item in times for at in range(item.first, item.last)}
    return Mentions(
        text=text,
        tokens=tokens,
        names=names,
        amounts=tuple(said_amounts(text, tokens, ranges, taken, measures)),
        times=times,
        phrases=by_kind,
        barred=_barred(phrases),
        place_kinds=tuple(
            (sense.value, phrase.first, phrase.last)
            for phrase in phrases
            for sense in phrase.senses
            if sense.role is Role.PLACE_KIND
        ),
        cues=cues,
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
            found.append(TimeSaid(*where, past=span.when, ahead=later.when))
    return tuple(found)


def _phrases_by_kind(
    phrases: list[Phrase], names: tuple[Name, ...], cues: Mapping[str, tuple[tuple[int, int], ...]]
) -> Mapping[str, tuple[Phrase, ...]]:
    steering = [span for name in ("planned", "not_done") for span in cues.get(name, ())]
    senses: dict[str, list[tuple[Phrase, tuple[Sense, ...]]]] = {}
    for phrase in phrases:
        if _only_part_of_name(phrase, names) or any(
            first <= phrase.first and phrase.last <= last for first, last in steering
        ):
            continue
        by_kind: dict[str, list[Sense]] = {}
        for sense in phrase.senses:
            if sense.kind:
                by_kind.setdefault(sense.kind, []).append(sense)
        for kind, own in by_kind.items():
            senses.setdefault(kind, []).append((phrase, tuple(own)))
    return {kind: _longest(found) for kind, found in senses.items()}


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


def _cues(
    phrases: list[Phrase], names: tuple[Name, ...]
) -> Mapping[str, tuple[tuple[int, int], ...]]:
    found: dict[str, list[tuple[int, int]]] = {}
    for phrase in phrases:
        for sense in phrase.senses:
            if sense.role is Role.CUE and not _only_part_of_name(phrase, names):
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


def _inside_any(phrase: Phrase, times: tuple[TimeSaid, ...]) -> bool:
    """Words of a time say nothing else, but a phrase that reaches beyond it may hold them."""
    return any(time.first <= phrase.first and phrase.last <= time.last for time in times)


def _only_part_of_name(phrase: Phrase, names: tuple[Name, ...]) -> bool:
    """A word strictly inside a farm's own name does not say what it says elsewhere."""
    return any(
        name.first <= phrase.first
        and phrase.last <= name.last
        and phrase.last - phrase.first < name.last - name.first
        for name in names
        if name.exact and name.known
    )
