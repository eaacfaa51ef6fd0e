"""One thing said of several places or flocks at once: an event for each."""

from __future__ import annotations

from dataclasses import replace

from voicelog.farm import Farm
from voicelog.understanding.event import Event
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions, Name


def shared_out(mentions: Mentions, event: Event, farm: Farm) -> list[Event]:
    """One event for each place or flock of a list."""
    places = _all_places(mentions, event, farm) or event.places
    if len(places) > 1 and event.kind.per_place:
        return [_copy(event, places=[place]) for place in places]
    if len(event.flocks) > 1 and event.kind.flock_subject:
        return [_copy(event, flocks=[flock]) for flock in event.flocks]
    event.places = places
    return [event]


def _copy(
    event: Event, *, places: list[Name] | None = None, flocks: list[Name] | None = None
) -> Event:
    return replace(
        event,
        places=places if places is not None else list(event.places),
        flocks=flocks if flocks is not None else list(event.flocks),
        slots=dict(event.slots),
        spans=list(event.spans),
        used=set(event.used),
        doubts=list(event.doubts),
    )


def _all_places(mentions: Mentions, event: Event, farm: Farm) -> list[Name]:
    """ "Both coops", "all the coops": every place of that kind, if there are as many as said."""
    if event.places or not event.kind.per_place:
        return []
    tokens = mentions.tokens
    for first, last in mentions.cues_in("both", event.first, event.last):
        at = last
        while at < event.last and tokens[at].lower in _BEFORE_PLACES:
            at += 1
        for kind, word_first, word_last in mentions.place_kinds:
            if word_first == at and tokens[word_last - 1].lower.endswith("s"):
                found = [place for place in farm.places if place.kind == kind]
                said = [_MANY[token.lower] for token in tokens[first:at] if token.lower in _MANY]
                if said and said[0] != len(found):
                    words = mentions.words(first, word_last)
                    event.doubts.append(f"The farm file has {len(found)}; which are {words!r}?")
                    return []
                return [Name(word_first, word_last, Role.PLACE, place.name) for place in found]
    return []


_MANY = {"both": 2, "two": 2, "three": 3, "four": 4}
_BEFORE_PLACES = frozenset({"the", "of", *_MANY})
