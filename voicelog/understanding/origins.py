"""Where each field of a record comes from, told from what the passes gave.

Values keep the tokens that said them, so whose words they are shows where they come from: the
record's own stretches, another record's, or a stretch that stands apart.
"""

from __future__ import annotations

from collections.abc import Iterator

from voicelog.catalogue import Slot
from voicelog.explanations import Reason, Source
from voicelog.farm import Farm
from voicelog.types import Draft, Status
from voicelog.understanding.drafts import DOUBTED, doubts_of
from voicelog.understanding.entries import file_of
from voicelog.understanding.event import Event
from voicelog.understanding.mentions import Name
from voicelog.understanding.passes import Passes
from voicelog.understanding.reading import ENOUGH, SaidSlot
from voicelog.understanding.word_uses import is_set, list_named

_STATUS_LISTS = {Status.PLANNED: "planned", Status.NOT_DONE: "not_done"}


class Origins:
    """Where the fields of the records of one memo come from."""

    def __init__(self, passes: Passes, farm: Farm) -> None:
        self._passes = passes
        self._farm = farm

    def of(self, number: int) -> Iterator[Reason]:
        """The reasons for every field of a record that an event gave, counted from 1."""
        event = self._passes.events[number - 1]
        draft = self._passes.parse.records[number - 1]
        yield self._kind(event, number)
        yield self._status(event, draft, number)
        yield self._time(event, draft, number)
        if draft.place is not None:
            yield self._name("place", draft.place, self._first(event, draft.place), number)
        if draft.flock is not None:
            yield self._name("flock", draft.flock, event.flocks[0], number)
        for bird, name in zip(draft.birds, event.birds, strict=True):
            yield self._name("birds", (bird,), name, number)
        for slot in event.kind.slots:
            if slot.name in draft.slots:
                yield self._slot(slot, event, draft, number)
        yield from self._doubts(event)
        yield _certainty(event, draft)

    def implier(self, number: int) -> int | None:
        """The record whose words this one is coupled to; None where it was told itself."""
        event = self._passes.events[number - 1]
        own = event.reading.kind
        if event.kind is own:
            return None
        earlier = enumerate(self._passes.events[: number - 1], start=1)
        found = [at for at, e in earlier if e.reading is event.reading and e.kind is own]
        return found[-1] if found else None

    def _kind(self, event: Event, number: int) -> Reason:
        kind = event.kind.name
        implier = self.implier(number)
        if implier is not None:
            by = f"{file_of(event.reading.kind.name)} implies.{kind}"
            return Reason(field="kind", value=kind, source=Source.COUPLING, of=implier, by=by)
        words = self._words(event.reading.first, event.reading.last)
        shared = self._shared_with(event, number)
        if shared is not None:
            return Reason(field="kind", value=kind, source=Source.SHARED, of=shared, words=words,
                          by="sharing.py")  # fmt: skip
        score = f"score {event.reading.score:g} of its own words, where {ENOUGH:g} make a record"
        before = [at for at, other in enumerate(self._passes.events[: number - 1], start=1)
                  if other.kind is event.kind]  # fmt: skip
        if event.follows and before:
            by = f"goes on with the kind before; {score}"
            return Reason(field="kind", value=kind, source=Source.CARRIED, of=before[-1],
                          words=words, by=by)  # fmt: skip
        return Reason(field="kind", value=kind, source=Source.OWN, words=words, by=score)

    def _status(self, event: Event, draft: Draft, number: int) -> Reason:
        value = draft.status.value
        if draft.status is Status.DONE:
            by = "nothing says otherwise"
            return Reason(field="status", value=value, source=Source.NOT_SAID, by=by)
        if event.status is not draft.status:
            words = "" if event.time is None else self._words(event.time.first, event.time.last)
            by = "its time lies ahead (drafts.py)"
            return Reason(field="status", value=value, source=Source.OWN, words=words, by=by)
        listed = _STATUS_LISTS[draft.status]
        said = [self._words(*cue) for span in event.spans
                for cue in self._passes.mentions.cues_in(listed, *span)]  # fmt: skip
        if said:
            return Reason(field="status", value=value, source=Source.OWN, words=said[-1],
                          by=list_named(listed))  # fmt: skip
        before = [at for at, other in enumerate(self._passes.events[: number - 1], start=1)
                  if other.status is draft.status]  # fmt: skip
        return Reason(field="status", value=value, source=Source.CARRIED,
                      of=before[-1] if before else None, by="carrying.py")  # fmt: skip

    def _time(self, event: Event, draft: Draft, number: int) -> Reason:
        if event.time is None:
            by = "the memo's own time"
            return Reason(field="when", value=draft.when, source=Source.NOT_SAID, by=by)
        source, of = self._whose(event.time.first, event.time.last, event, number)
        if draft.status is Status.PLANNED:
            by = "read as lying ahead"
        else:
            by = "read as lying in the past"
        if source is Source.CARRIED:
            by += "; a time said first, apart or last holds for the others (events.py)"
        words = self._words(event.time.first, event.time.last)
        return Reason(field="when", value=draft.when, source=source, of=of, words=words, by=by)

    def _first(self, event: Event, value: str) -> Name:
        return next(name for name in event.places if name.value == value)

    def _name(self, field: str, value: str | tuple[str, ...], name: Name, number: int) -> Reason:
        event = self._passes.events[number - 1]
        source, of = self._whose(name.first, name.last, event, number)
        shared = self._shared_with(event, number)
        if not name.known:
            by = "the farm file has no such place (places.py)"
        elif name not in self._passes.mentions.names:
            by = "all of the farm's places of that kind (sharing.py)"
        elif name.exact:
            by = "the farm file"
        else:
            by = "a word for its class (trade.toml)"
        if source is Source.CARRIED:
            by += "; carried over (events.py, carrying.py)"
        elif source is Source.OWN and shared is not None and field == self._parted_by(event):
            source, by = Source.SHARED, f"{by}; one of a list (sharing.py)"
        words = self._words(name.first, name.last)
        return Reason(field=field, value=value, source=source, of=of, words=words, by=by)

    def _slot(self, slot: Slot, event: Event, draft: Draft, number: int) -> Reason:
        said, value = event.slots[slot.name], draft.slots[slot.name]
        by = f"{file_of(event.kind.name)} slot.{slot.name}"
        if said.last <= said.first:
            return Reason(field=slot.name, value=value, source=Source.IMPLIED, by=self._meant(
                slot, said, event))  # fmt: skip
        if is_set(event, said.first, said.last):
            by = f"{file_of(event.reading.kind.name)} implies.{event.kind.name}"
            return Reason(field=slot.name, value=value, source=Source.COUPLING,
                          of=self.implier(number), by=by)  # fmt: skip
        source, of = self._whose(said.first, said.last, event, number)
        shared = self._shared_with(event, number)
        if source is Source.OWN and shared is not None:
            source, of = Source.SHARED, shared
        own = event.reading.slots.get(slot.name)
        if own is not None and own.bare and not said.bare:
            by += "; its unit from the record before (carrying.py)"
        words = self._words(said.first, said.last)
        return Reason(field=slot.name, value=value, source=source, of=of, words=words, by=by)

    def _meant(self, slot: Slot, said: SaidSlot, event: Event) -> str:
        """The declaration by which a value that no word says is meant."""
        file = file_of(event.kind.name)
        for other in event.kind.slots:
            if other.name in event.slots and other.means.get(slot.name) == said.value:
                return f"{file} slot.{other.name}.means"
        for path, value in slot.implied_by.items():
            if value == said.value:
                return f"{file} slot.{slot.name}.implied_by: {path}"
        return f"{file} slot.{slot.name}: what the place or the word pointing back is"

    def _doubts(self, event: Event) -> Iterator[Reason]:
        for text in event.doubts:
            yield Reason(field="doubts", value=text, source=Source.SUM, by="sharing.py")
        for doubt in doubts_of(event, self._farm):
            if doubt.field == "place":
                by = "the farm file has no such place"
            elif doubt.rule == "needs":
                by = f"{file_of(event.kind.name)} needs"
            else:
                by = f"{file_of(event.kind.name)} slot.{doubt.field} {doubt.rule}".rstrip()
            yield Reason(field="doubts", value=doubt.text, source=Source.SUM, by=by)

    def _whose(self, first: int, last: int, event: Event, number: int) -> tuple[Source, int | None]:
        """Whether words are the record's own; else the nearest record whose they are."""
        if _holds(event, first, last):
            return Source.OWN, None
        holding = [at for at, other in enumerate(self._passes.events, start=1)
                   if other is not event and _holds(other, first, last)]  # fmt: skip
        nearest = min(holding, key=lambda at: (abs(at - number), at), default=None)
        return Source.CARRIED, nearest

    def _shared_with(self, event: Event, number: int) -> int | None:
        """The first record of those that one telling was shared out to; None where it is first."""
        found = [at for at, other in enumerate(self._passes.events, start=1)
                 if other.reading is event.reading and other.kind is event.kind]  # fmt: skip
        return found[0] if found[0] != number else None

    def _parted_by(self, event: Event) -> str:
        return "place" if event.kind.per_place and event.places else "flock"

    def _words(self, first: int, last: int) -> str:
        return self._passes.mentions.words(first, last)


def _holds(event: Event, first: int, last: int) -> bool:
    return any(begin <= first and last <= end for begin, end in event.spans)


def _certainty(event: Event, draft: Draft) -> Reason:
    by = f"the score lies {max(0.0, event.reading.score - ENOUGH):g} above what makes a record"
    if draft.doubts:
        by += f"; {DOUBTED:g} less for each of {len(draft.doubts)} doubts"
    return Reason(field="certainty", value=draft.certainty, source=Source.SUM, by=by)
