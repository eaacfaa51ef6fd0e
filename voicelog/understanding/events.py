"""From stretches to events, in the order in which they were said.

A memo is one breath: a heading ("over at coop c: …") and a time said first hold for what comes
after them. What one event takes from another is in `carrying.py`, lists are in `sharing.py`.
"""

from __future__ import annotations

from voicelog.catalogue import Catalogue
from voicelog.farm import Farm
from voicelog.types import Status
from voicelog.understanding.carrying import (
    absorb,
    add_to,
    adds_to_earlier,
    carries_on_status,
    lists_on,
    only_names,
    only_opens,
    share_names,
    take_all_places,
    take_moved_thing,
    take_over,
    take_subject,
)
from voicelog.understanding.event import Event
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions, Name, TimeSaid
from voicelog.understanding.sentences import skip
from voicelog.understanding.sharing import shared_out
from voicelog.understanding.stretches import Stretch


class Breath:
    """What holds from one event to the next while a memo is read."""

    def __init__(self, mentions: Mentions, farm: Farm, catalogue: Catalogue) -> None:
        self.mentions = mentions
        self.farm = farm
        self.catalogue = catalogue
        self.events: list[Event] = []
        self.heading: Name | None = None
        """A place said before what was done there."""
        self.lasting = False
        """True where the heading stands apart ("over at coop c: …") and holds for the memo."""
        self.time: TimeSaid | None = None
        """A time said before what was done then."""
        self.idle: list[Stretch] = []
        """Stretches that nothing was understood of."""

    def new_sentence(self) -> None:
        """A full stop ends what a clause carried on, but no heading that stands apart."""
        self.time = None
        if not self.lasting:
            self.heading = None

    def take(self, stretch: Stretch) -> None:
        """Read on by one stretch."""
        if stretch.reading is None:
            self._take_idle(stretch)
            return
        event = Event.of(stretch, stretch.reading)
        previous = self.events[-1] if self.events else None
        if previous is not None and only_names(self.mentions, event, previous):
            add_to(self.events.pop(), event)
            previous.time = previous.time or event.time
            self.events.extend(shared_out(self.mentions, previous, self.farm))
            return
        if previous is not None and adds_to_earlier(self.mentions, event, self.events):
            return
        if previous is not None and only_opens(self.mentions, event, previous):
            absorb(event, self.events.pop())
            previous = self.events[-1] if self.events else None
        if previous is not None and (event.follows or lists_on(self.mentions, event, previous)):
            take_over(self.mentions, event, previous)
        elif previous is not None:
            take_subject(self.mentions, event, previous)
            take_all_places(self.mentions, event, previous, self.events)
            share_names(self.mentions, event, previous)
        self._take_heading(event)
        take_moved_thing(self.mentions, event, previous, self.farm, self.catalogue)
        self._take_time(event)
        self._steer(event, previous)
        self.events.extend(shared_out(self.mentions, event, self.farm))

    def _take_idle(self, stretch: Stretch) -> None:
        """A place or a time that stands alone holds for what comes after it."""
        named = self.mentions.names_in(stretch.first, stretch.last)
        places = [name for name in named if name.role is Role.PLACE]
        times = self.mentions.times_in(stretch.first, stretch.last)
        if places:
            self.heading = places[-1]
            self.lasting = True
        if times:
            self.time = times[-1]
        self.idle.append(stretch)

    def _take_heading(self, event: Event) -> None:
        place = event.reading.places[0] if event.reading.places else None
        trigger = event.reading.trigger
        if place is not None and trigger is not None and place.first < trigger:
            start = skip(self.mentions, event.first, event.last, ("fillers", "boundary", "leading"))
            if place.first <= start or place.first == event.first:
                mark = self.mentions.tokens[place.last].lower if place.last < event.last else ""
                self.heading = place
                self.lasting = self.lasting or mark in (":", ",", "-")
        elif self.heading is not None and not event.places and event.can_be_placed:
            event.places = [self.heading]

    def _take_time(self, event: Event) -> None:
        own = event.reading.time
        if own is None:
            if event.time is None:
                event.time = self.time
            return
        trigger = event.reading.trigger
        if trigger is None:
            trigger = min(event.used) + 1
        if own.first < trigger:
            self.time = own
        else:
            self.time = None
            if event.follows:
                self._reach_back(event, own)

    def _reach_back(self, event: Event, time: TimeSaid) -> None:
        """A time at the end of a list of one kind holds for the whole list."""
        for earlier in reversed(self.events):
            if earlier.kind is not event.kind or earlier.time is not None:
                return
            earlier.time = time
            if not earlier.follows:
                return

    def _steer(self, event: Event, previous: Event | None) -> None:
        """Done, not done or planned, by the steering words of the stretch or those carried on."""
        harmless = self.mentions.cues_in("no_cue", event.first, event.last)
        for name, status in (("planned", Status.PLANNED), ("not_done", Status.NOT_DONE)):
            for first, _ in self.mentions.cues_in(name, event.first, event.last):
                if not any(begin <= first < end for begin, end in harmless):
                    event.status = status
        if event.status is not Status.DONE or previous is None or event.follows:
            return
        if previous.status is not Status.DONE and carries_on_status(self.mentions, event):
            event.status = previous.status
