"""Everything that is mentioned in a memo, each with the words that mention it.

One pass over the tokens gathers names, numbers, quantities and times; what belongs to the kinds
of record is kept kind by kind, since one word may be a verb of one and a label of another.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from voicelog.catalogue import Catalogue
from voicelog.catalogue.units import Unit, find_unit, singular
from voicelog.farm import Farm
from voicelog.text.numbers import find_numbers
from voicelog.text.quantities import find_quantities
from voicelog.text.sun import Sky
from voicelog.text.times import find_times
from voicelog.text.tokens import Token, tokenise
from voicelog.types import Interval
from voicelog.understanding.lexicon import NAMES, Role, Sense
from voicelog.understanding.matching import Phrase, PhraseFinder
from voicelog.understanding.places import named_places


@dataclass(frozen=True, slots=True)
class Name:
    """A place, flock, bird or breed."""

    first: int
    last: int
    role: Role
    value: str
    known: bool = True
    """False for a place that the farm file does not have."""
    exact: bool = True
    """False for a word that only tells the class ("hens", "coop")."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A number, with its unit where one was said."""

    first: int
    last: int
    value: int | float
    unit: str | None = None
    measure: Unit | None = None
    """The unit as the table has it, for its dimension."""
    upto: int | float | None = None
    approximate: bool = False
    ordinal: bool = False


@dataclass(frozen=True, slots=True)
class TimeSaid:
    """A time, read both ways: as lying in the past and as lying ahead."""

    first: int
    last: int
    past: Interval
    ahead: Interval


@dataclass(frozen=True, slots=True)
class Mentions:
    """All that is mentioned in one memo."""

    text: str
    tokens: tuple[Token, ...]
    names: tuple[Name, ...]
    amounts: tuple[Amount, ...]
    times: tuple[TimeSaid, ...]
    phrases: Mapping[str, tuple[Phrase, ...]]
    """By kind: its phrases, not overlapping, in order, with the senses of that kind alone."""
    place_kinds: tuple[tuple[str, int, int], ...]
    """Kinds of place said by their word, with their tokens."""
    cues: Mapping[str, tuple[tuple[int, int], ...]]
    """By word list: where its phrases stand; of overlapping ones in a list the longest."""

    barred: Mapping[str, frozenset[int]]
    """By kind: tokens of phrases that hold its words and say something else."""
    dropped: frozenset[int] = frozenset()
    """Tokens that a self-correction took back."""

    def words(self, first: int, last: int) -> str:
        """The text from one token to another, as it was said."""
        if first >= last:
            return ""
        return self.text[self.tokens[first].start : self.tokens[last - 1].end]


def find_mentions(
    text: str, now: datetime, finder: PhraseFinder, catalogue: Catalogue, farm: Farm
) -> Mentions:
    """All mentions of a text said at `now` (aware)."""
    tokens = tokenise(text)
    places_of = _TokenPlaces(tokens)
    sky = None
    if farm.latitude is not None and farm.longitude is not None:
        sky = Sky(latitude=farm.latitude, longitude=farm.longitude)
    times = _times(text, now, sky, places_of)
    phrases = [phrase for phrase in finder.find(tokens) if not _inside_any(phrase, times)]
    names = tuple(_names(phrases, tokens, catalogue, farm))
    cues = _cues(phrases, names)
    by_kind = _phrases_by_kind(phrases, names, cues)
    measures = frozenset(
        word for phrase in catalogue.lists.get("measure_words", ()) for word in phrase.split()
    )
    return Mentions(
        text=text,
        tokens=tokens,
        names=names,
        amounts=tuple(_amounts(text, tokens, places_of, names, times, measures)),
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


class _TokenPlaces:
    """Turns character ranges into token ranges."""

    def __init__(self, tokens: tuple[Token, ...]) -> None:
        self.starts = {token.start: at for at, token in enumerate(tokens)}
        self.ends = {token.end: at + 1 for at, token in enumerate(tokens)}

    def range(self, start: int, end: int) -> tuple[int, int] | None:
        first, last = self.starts.get(start), self.ends.get(end)
        return None if first is None or last is None else (first, last)


def _times(text: str, now: datetime, sky: Sky | None, places: _TokenPlaces) -> tuple[TimeSaid, ...]:
    past = find_times(text, now, lean="past", sky=sky)
    if not past:
        return ()
    ahead = {span.start: span for span in find_times(text, now, lean="future", sky=sky)}
    found = []
    for span in past:
        where = places.range(span.start, span.end)
        if where is not None:
            later = ahead.get(span.start, span)
            found.append(TimeSaid(*where, past=span.when, ahead=later.when))
    return tuple(found)


def _amounts(
    text: str,
    tokens: tuple[Token, ...],
    places: _TokenPlaces,
    names: tuple[Name, ...],
    times: tuple[TimeSaid, ...],
    measures: frozenset[str],
) -> Iterable[Amount]:
    taken = {at for item in (*names, *times) for at in range(item.first, item.last)}
    found = []
    for quantity in find_quantities(text):
        where = places.range(quantity.start, quantity.end)
        if where and taken.isdisjoint(range(*where)):
            taken.update(range(*where))
            if found and found[-1].last == where[0] and _is_rate(found[-1].unit, quantity.unit):
                continue
            found.append(
                Amount(
                    *where,
                    quantity.value,
                    quantity.unit,
                    find_unit(quantity.unit),
                    approximate=quantity.approximate,
                )
            )
    for number in find_numbers(text):
        where = places.range(number.start, number.end)
        if where and taken.isdisjoint(range(*where)):
            taken.update(range(*where))
            if any(item.last == where[0] and _is_rate(item.unit, None) for item in found):
                continue
            found.append(
                Amount(
                    *where,
                    number.value,
                    upto=number.upto,
                    approximate=number.approximate,
                    ordinal=number.ordinal,
                )
            )
    for first, last, unit in _described_measures(tokens, measures):
        if taken.isdisjoint(range(first, last)):
            taken.update(range(first, last))
            found.append(Amount(first, last, 1, unit, find_unit(unit)))
    for where in _lone_ones(tokens):
        if taken.isdisjoint(range(*where)):
            found.append(Amount(*where, 1))
    return sorted(found, key=lambda amount: amount.first)


def _described_measures(
    tokens: tuple[Token, ...], measures: frozenset[str]
) -> Iterable[tuple[int, int, str]]:
    """ "A fresh bag", "a whole bucket": one, with the adjective between."""
    for at, token in enumerate(tokens[:-2]):
        if token.lower not in ("a", "an", "another"):
            continue
        last = at + 1
        while last < len(tokens) and last - at < 3 and tokens[last].lower in measures:
            last += 1
        if at + 1 < last < len(tokens):
            unit = singular(tokens[last].lower)
            if unit == tokens[last].lower:
                yield at, last + 1, unit


def _lone_ones(tokens: tuple[Token, ...]) -> Iterable[tuple[int, int]]:
    """ "One each to coop b", "one for coop c": a number, where "that one" is none."""
    for at, token in enumerate(tokens[:-1]):
        before = tokens[at - 1].lower if at else ""
        if (
            token.lower == "one"
            and tokens[at + 1].lower in _AFTER_COUNTED_ONE
            and before not in _BEFORE_POINTED_ONE
        ):
            yield at, at + 1


_AFTER_COUNTED_ONE = frozenset({"each", "apiece", "to", "for", "in", "from", "at"})
_BEFORE_POINTED_ONE = frozenset(
    {"the", "that", "this", "which", "no", "other", "another", "last", "first", "second", "any"}
)


def _is_rate(paid: str | None, for_each: str | None) -> bool:
    """ "Four dollars a dozen": the second amount only says what the first is for."""
    unit = find_unit(paid) if paid else None
    other = find_unit(for_each) if for_each else None
    return (
        unit is not None
        and unit.dimension == "money"
        and (other is None or other.dimension != "money")
    )


def _names(
    phrases: list[Phrase], tokens: tuple[Token, ...], catalogue: Catalogue, farm: Farm
) -> list[Name]:
    """Names and class words, longest first where they overlap, the farm's own before others."""
    found: list[tuple[int, int, Name]] = []
    for phrase in phrases:
        if _describes(phrase, phrases, tokens):
            continue
        for sense in phrase.senses:
            if sense.role in NAMES:
                if sense.role is Role.FLOCK and _only_measure(phrase, tokens):
                    continue
                exact = sense.tells is not sense.tells.ONLY_FILLS
                name = Name(phrase.first, phrase.last, sense.role, sense.value, exact=exact)
                rank = 0 if sense.role is Role.BREED else 2 if exact else 1
                found.append((phrase.length, rank, name))
    for place in named_places(phrases, tokens, catalogue, farm):
        found.append((place.last - place.first, 0, Name(place.first, place.last, Role.PLACE,
                      place.value, known=place.known, exact=place.exact)))  # fmt: skip
    found.sort(key=lambda item: (-item[0], -item[1], item[2].first))
    taken: set[int] = set()
    names = []
    for _, _, name in found:
        span = range(name.first, name.last)
        if taken.isdisjoint(span):
            taken.update(span)
            names.append(name)
    return sorted(names, key=lambda name: name.first)


def _only_measure(phrase: Phrase, tokens: tuple[Token, ...]) -> bool:
    """ "Two millilitres per bird": the birds only say for how many the amount is."""
    return phrase.first > 0 and tokens[phrase.first - 1].lower == "per"


def _describes(phrase: Phrase, phrases: list[Phrase], tokens: tuple[Token, ...]) -> bool:
    """A short name used as an adjective: "the blue drinker" is no coop called blue."""
    if phrase.length > 1 or phrase.first == 0 or tokens[phrase.first - 1].lower != "the":
        return False
    return any(
        other.first == phrase.last and sense.role is Role.VALUE and sense.slot == "container"
        for other in phrases
        for sense in other.senses
    )


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
