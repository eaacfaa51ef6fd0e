"""From stretches to events: what each takes over from those before it.

An event lacks what was said earlier in the same breath: the place of a heading ("over at coop c:
…"), the birds that "them" points at, the feed of the scoops before. Rules for this are here, one
function each, in the order in which they are used.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from voicelog.catalogue import Catalogue, Kind, SlotType
from voicelog.farm import Farm
from voicelog.types import Quantity, Status
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions, Name, TimeSaid
from voicelog.understanding.naming import value_of_place
from voicelog.understanding.reading import Reading, SaidSlot
from voicelog.understanding.steering import skip
from voicelog.understanding.stretches import Stretch


@dataclass(slots=True)
class Event:
    """One thing that happened, was left undone or is planned."""

    kind: Kind
    first: int
    last: int
    reading: Reading
    slots: dict[str, SaidSlot] = field(default_factory=dict)
    places: list[Name] = field(default_factory=list)
    flocks: list[Name] = field(default_factory=list)
    birds: list[Name] = field(default_factory=list)
    time: TimeSaid | None = None
    status: Status = Status.DONE
    follows: bool = False
    spans: list[tuple[int, int]] = field(default_factory=list)
    """Stretches of tokens that say it."""
    doubts: list[str] = field(default_factory=list)


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
        event = self._event(stretch, stretch.reading)
        previous = self.events[-1] if self.events else None
        if previous is not None and self._adds_to_earlier(event):
            return
        if previous is not None and (event.follows or self._lists_on(event, previous)):
            self._take_over(event, previous)
        elif previous is not None:
            self._take_subject(event, previous)
        self._take_heading(event)
        self._take_home(event, previous)
        self._take_time(event)
        self._steer(event, previous)
        self.events.extend(self._shared_out(event))

    def _lists_on(self, event: Event, previous: Event) -> bool:
        """Another item of the same doing: no verb of its own, joined to the one before."""
        joined = self.mentions.tokens[event.first].lower in ("and", ",", "or") or (
            event.first > 0 and self.mentions.tokens[event.first - 1].lower == ","
        )
        if event.kind is not previous.kind or not joined or event.reading.own_verb:
            return False
        if self._steered(event):
            return False
        actions = [slot.name for slot in event.kind.slots if slot.name == "action"]
        if any(name in event.reading.slots for name in actions):
            return False
        if event.places and previous.places:
            for slot in event.kind.slots:
                if slot.type is SlotType.CHOICE and slot.name in event.slots:
                    previous.slots.setdefault(slot.name, event.slots[slot.name])
        return True

    def _event(self, stretch: Stretch, reading: Reading) -> Event:
        return Event(
            kind=reading.kind,
            first=stretch.first,
            last=stretch.last,
            reading=reading,
            slots=dict(reading.slots),
            places=list(reading.places),
            flocks=list(reading.flocks),
            birds=list(reading.birds),
            time=reading.time,
            follows=stretch.follows,
            spans=[(stretch.first, stretch.last)],
        )

    def _take_idle(self, stretch: Stretch) -> None:
        """A place or a time that stands alone holds for what comes after it."""
        places = [name for name in self.mentions.names if name.role is Role.PLACE
                  and stretch.first <= name.first and name.last <= stretch.last]  # fmt: skip
        times = [time for time in self.mentions.times
                 if stretch.first <= time.first and time.last <= stretch.last]  # fmt: skip
        if places:
            self.heading = places[-1]
            self.lasting = True
        if times:
            self.time = times[-1]
        self.idle.append(stretch)

    def _adds_to_earlier(self, event: Event) -> bool:
        """ "One of copper's was mucky" belongs to what was gathered there."""
        if event.flocks or event.birds or self._steered(event) or self._again(event):
            return False
        pointing = self._points_back(event)
        if not event.slots and not (pointing and event.places):
            return False
        for earlier in reversed(self.events):
            if earlier.kind is not event.kind or earlier.status is not Status.DONE:
                return False
            same = not event.places or _values(event.places) == _values(earlier.places)
            old = {name: said.value for name, said in earlier.slots.items()}
            for slot in event.kind.slots:
                if slot.name in earlier.slots:
                    old = {**slot.means, **old}
            equal = bool(event.slots) and all(
                old.get(name) == said.value for name, said in event.slots.items()
            )
            if (pointing or equal) and not earlier.places:
                same = True
            if not event.follows and event.reading.own_verb and not pointing and not equal:
                return False
            main = event.kind.main in event.slots and event.kind.main in earlier.slots and not equal
            if (
                same
                and not main
                and all(
                    old.get(name, said.value) == said.value for name, said in event.slots.items()
                )
            ):
                earlier.slots = event.slots | earlier.slots
                earlier.places = earlier.places or event.places
                earlier.spans.extend(event.spans)
                return True
        return False

    def _again(self, event: Event) -> bool:
        return any(
            event.first <= first and last <= event.last
            for first, last in self.mentions.cues.get("same_again", ())
        )

    def _take_over(self, event: Event, previous: Event) -> None:
        """What goes on takes over all that it does not say anew."""
        carried = {slot.name for slot in event.kind.slots if slot.from_place}
        only_names = not set(event.slots) - carried
        for slot in event.kind.slots:
            said = previous.slots.get(slot.name)
            if said is None or slot.name in event.slots:
                continue
            if slot.type is SlotType.COUNT and not only_names:
                continue
            if slot.type is SlotType.QUANTITY and not only_names:
                continue
            if (slot.from_place and event.places) or (slot.not_carried and not only_names):
                continue
            event.slots[slot.name] = said
        for name, said in list(event.slots.items()):
            event.slots[name] = _with_unit(said, previous.slots.get(name))
        other_thing = any(
            slot.from_place and slot.name in event.reading.slots for slot in event.kind.slots
        )
        if not event.places and not (event.birds or event.flocks or other_thing):
            event.places = list(previous.places)
        if not event.flocks and not event.birds:
            event.flocks = list(previous.flocks)
            event.birds = list(previous.birds) if not event.places else event.birds
        if event.time is None:
            event.time = previous.time
        event.status = previous.status

    def _steered(self, event: Event) -> bool:
        return any(
            event.first <= first and last <= event.last
            for name in ("planned", "not_done")
            for first, last in self.mentions.cues.get(name, ())
        )

    def _points_back(self, event: Event) -> bool:
        return any(
            event.first <= first and last <= event.last
            for first, last in self.mentions.cues.get("pointing", ())
        )

    def _take_subject(self, event: Event, previous: Event) -> None:
        """The birds and the place that "them", "their" or "it" points back at."""
        pointing = self._points_back(event)
        listed = event.kind is previous.kind and not event.reading.own_verb
        if not (event.flocks or event.birds) and event.kind.flock_subject:
            if pointing or (listed and not event.places):
                event.flocks = list(previous.flocks)
                event.birds = list(previous.birds)
        placed = event.kind.per_place or event.kind.flock_subject
        if (
            pointing
            and placed
            and not event.places
            and not event.reading.flocks + event.reading.birds
        ):
            event.places = list(previous.places)
        if event.kind is previous.kind and (pointing or not event.reading.places):
            for slot in event.kind.slots:
                said = previous.slots.get(slot.name)
                if slot.singular and said is not None and slot.name not in event.slots:
                    event.slots[slot.name] = said

    def _take_heading(self, event: Event) -> None:
        place = event.reading.places[0] if event.reading.places else None
        trigger = event.reading.trigger
        if place is not None and trigger is not None and place.first < trigger:
            start = skip(self.mentions, event.first, event.last, ("fillers", "boundary", "leading"))
            if place.first <= start or place.first == event.first:
                mark = self.mentions.tokens[place.last].lower if place.last < event.last else ""
                self.heading = place
                self.lasting = self.lasting or mark in (":", ",", "-")
        elif not event.places and self.heading is not None:
            if event.kind.per_place or event.kind.flock_subject:
                event.places = [self.heading]

    def _take_home(self, event: Event, previous: Event | None) -> None:
        """The one place where such a thing can only be; and what its kind says of a move."""
        if not event.places and event.kind.home:
            own = [place for place in self.farm.places if place.kind == event.kind.home]
            if len(own) == 1:
                event.places = [Name(event.first, event.first, Role.PLACE, own[0].name)]
        for slot in event.kind.slots:
            if slot.from_place and slot.name not in event.slots:
                value = None
                if event.places:
                    value = value_of_place(slot, event.places[0], self.farm, self.catalogue)
                elif previous is not None and slot.value_named(previous.kind.name):
                    value = previous.kind.name if self._points_back(event) else None
                if value:
                    event.slots[slot.name] = SaidSlot(value, event.first, event.first)

    def _take_time(self, event: Event) -> None:
        own = event.reading.time
        if own is None:
            if event.time is None:
                event.time = self.time
            return
        trigger = event.reading.trigger
        if trigger is None or own.first < trigger:
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
        cues = self.mentions.cues
        harmless = cues.get("no_cue", ())
        for name, status in (("planned", Status.PLANNED), ("not_done", Status.NOT_DONE)):
            for first, last in cues.get(name, ()):
                inside = event.first <= first and last <= event.last
                if inside and not any(begin <= first < end for begin, end in harmless):
                    event.status = status
        if event.status is not Status.DONE or previous is None or event.follows:
            return
        if previous.status is not Status.DONE and self._carries_on(event):
            event.status = previous.status

    def _carries_on(self, event: Event) -> bool:
        """ "Need to clean the floor and put straw down": joined on, with a plain verb or none."""
        start = event.first
        opens = self.mentions.tokens[start].lower
        if opens not in ("and", "or", "then", ",", "nor") and not (
            start and self.mentions.tokens[start - 1].lower in (",", "or")
        ):
            return False
        after = skip(self.mentions, start, event.last, ("boundary",))
        if after < event.last and self.mentions.tokens[after].lower in _SUBJECTS:
            return False
        return event.reading.plain_verb or not event.reading.own_verb

    def _shared_out(self, event: Event) -> list[Event]:
        """One event for each place or flock of a list."""
        places = self._all_places(event) or event.places
        if len(places) > 1 and event.kind.per_place:
            return [replace(event, places=[place], slots=dict(event.slots),
                            spans=list(event.spans), doubts=list(event.doubts))
                    for place in places]  # fmt: skip
        if len(event.flocks) > 1 and event.kind.flock_subject:
            return [replace(event, flocks=[flock], slots=dict(event.slots),
                            spans=list(event.spans), doubts=list(event.doubts))
                    for flock in event.flocks]  # fmt: skip
        event.places = places
        return [event]

    def _all_places(self, event: Event) -> list[Name]:
        """ "Both coops", "all the coops": every place of that kind."""
        if event.places or not event.kind.per_place:
            return []
        tokens = self.mentions.tokens
        for first, last in self.mentions.cues.get("both", ()):
            if not (event.first <= first and last <= event.last):
                continue
            at = last
            while at < event.last and tokens[at].lower in ("the", "of", "three", "four", "two"):
                at += 1
            for kind, word_first, word_last in self.mentions.place_kinds:
                if word_first == at and tokens[word_last - 1].lower.endswith("s"):
                    found = [place for place in self.farm.places if place.kind == kind]
                    return [_name(place.name, word_first, word_last) for place in found]
        return []


_SUBJECTS = frozenset({"i", "we", "he", "she", "they", "i've", "we've", "i'd", "it's", "it"})


def _values(names: list[Name]) -> list[str]:
    return [name.value for name in names]


def _name(value: str, first: int, last: int) -> Name:
    return Name(first, last, Role.PLACE, value)


def _with_unit(said: SaidSlot, previous: SaidSlot | None) -> SaidSlot:
    """ "Coop b two and a half": the unit of the amount before."""
    if said.bare and previous is not None and isinstance(previous.value, Quantity):
        assert isinstance(said.value, Quantity)
        value = Quantity(value=said.value.value, unit=previous.value.unit)
        return replace(said, value=value, bare=False)
    return said
