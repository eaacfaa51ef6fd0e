"""What an event takes over from the events before it in the same breath.

The rules stand in the order in which they are tried: a clause may only add to an event before it
("one of them was dirty"), go on with it ("nine from coop c"), or point back at its birds and place
("gave them a scoop").
"""

from __future__ import annotations

from dataclasses import replace

from voicelog.catalogue import Catalogue, SlotType
from voicelog.farm import Farm
from voicelog.types import Quantity, SlotValue, Status
from voicelog.understanding.event import Event
from voicelog.understanding.lexicon import Role
from voicelog.understanding.mentions import Mentions, Name
from voicelog.understanding.naming import value_of_place
from voicelog.understanding.reading import SaidSlot
from voicelog.understanding.sentences import skip


def adds_to_earlier(mentions: Mentions, event: Event, events: list[Event]) -> bool:
    """Add an event to one before it, where it is only more of that: "one of them was mucky"."""
    if event.flocks or event.birds or steered(mentions, event) or _says_again(mentions, event):
        return False
    pointing = points_back(mentions, event)
    if not event.slots and not (pointing and event.places):
        return False
    for earlier in reversed(events):
        if earlier.kind is not event.kind or earlier.status is not Status.DONE:
            return False
        known = _meant(earlier)
        said = _meant(event, beside=earlier)
        if _at_another_time(event, earlier):
            return False
        equal = bool(said) and all(known.get(name) == value for name, value in said.items())
        own = event.reading.own_verb and not _lacks(event, earlier)
        if not event.follows and own and not pointing and not equal:
            return False
        same_place = not event.places or _values(event.places) == _values(earlier.places)
        if (pointing or equal) and not earlier.places:
            same_place = True
        counted_anew = event.kind.main in said and event.kind.main in known and not equal
        fits = all(known.get(name, value) == value or value == _UNKNOWN
                   for name, value in said.items())  # fmt: skip
        if same_place and fits and not counted_anew:
            shared = mentions.says(event.first, event.last, "each", "both")
            for one in _siblings(earlier, events) if shared else [earlier]:
                add_to(one, event)
            return True
    return False


def _siblings(event: Event, events: list[Event]) -> list[Event]:
    """The events that the same words told of several places."""
    return [one for one in events if one.kind is event.kind and one.first == event.first]


def _at_another_time(event: Event, earlier: Event) -> bool:
    """Whether both say when, and not the same: "eighty eight last night, ninety this morning"."""
    time = event.reading.time
    return time is not None and earlier.time is not None and time.past != earlier.time.past


def _lacks(event: Event, earlier: Event) -> bool:
    """Whether an event leaves out what its kind needs and the earlier one says it."""
    needs = event.kind.needs
    return any(name not in event.slots and name in earlier.slots for name in needs)


def only_names(mentions: Mentions, event: Event, previous: Event) -> bool:
    """ "Two scoops of grower, for the pullets": whom and where, not said before."""
    placed = {slot.name for slot in event.kind.slots if slot.from_place}
    said_more = bool(set(event.slots) - placed) or steered(mentions, event)
    said_more = said_more or bool(event.time and previous.time)
    named = previous.places or previous.flocks or previous.birds
    return event.follows and not (said_more or named or _says_again(mentions, event))


def add_to(earlier: Event, event: Event) -> None:
    """Give an event all that a later one of its kind says besides."""
    earlier.slots = event.slots | earlier.slots
    earlier.places = earlier.places or event.places
    earlier.flocks = earlier.flocks or event.flocks
    earlier.birds = earlier.birds or event.birds
    earlier.spans.extend(event.spans)
    earlier.used |= event.used


def only_opens(mentions: Mentions, event: Event, previous: Event) -> bool:
    """ "Collected eggs. Mill had 13": an opening without what its kind needs, told after it."""
    if event.kind is not previous.kind or previous.status is not Status.DONE:
        return False
    bare = not (previous.places or previous.flocks or previous.birds or steered(mentions, previous))
    if not previous.slots and previous.last == event.first and event.reading.own_verb:
        return bare  # "sold, uh, sold three dozen"
    return bare and _lacks(previous, event) and previous.slots.items() <= event.slots.items()


def absorb(event: Event, opening: Event) -> None:
    """Give an event the words and the time of an opening that said nothing else."""
    event.follows = False
    event.spans.insert(0, (opening.first, opening.last))
    event.used |= opening.used
    event.time = event.time or opening.time


def share_names(mentions: Mentions, event: Event, previous: Event) -> None:
    """Birds and a place said once for two doings that "and" joins: "fed and watered the hens"."""
    joined = previous.last == event.first and mentions.tokens[event.first].lower in ("and", "&")
    if not joined or not (event.can_be_placed and previous.can_be_placed):
        return
    if _only_verb(event) and not _named(event):
        event.places, event.flocks = list(previous.places), list(previous.flocks)
        event.birds = list(previous.birds)
    elif _named(event) and not _named(previous):
        thing = not event.reading.own_verb and "action" not in event.slots
        if _only_verb(previous) or (thing and _same_verb(mentions, event, previous)):
            previous.places, previous.flocks = list(event.places), list(event.flocks)
            previous.birds = list(event.birds)


def _same_verb(mentions: Mentions, event: Event, previous: Event) -> bool:
    """Whether the verb before, if there is one, can be the verb of both."""
    said = mentions.phrases_in(event.kind.name, previous.first, previous.last)
    verb = any(sense.role is Role.VERB for phrase in said for sense in phrase.senses)
    return verb or not previous.reading.own_verb


def _named(event: Event) -> bool:
    return bool(event.places or event.flocks or event.birds)


def _only_verb(event: Event) -> bool:
    return event.reading.own_verb and not event.slots and event.reading.time is None


def _meant(event: Event, beside: Event | None = None) -> dict[str, SlotValue]:
    """An event's values, with those that they mean: a voltage was read by testing.

    Beside an event whose value leaves nothing to mean, only what was said counts.
    """
    values: dict[str, SlotValue] = {}
    told = {said.value for said in beside.slots.values()} if beside else set()
    for slot in event.kind.slots:
        if slot.name in event.slots:
            meant = {} if told.intersection(slot.means_beside) else slot.means
            values = {**meant, **values, slot.name: event.slots[slot.name].value}
    return values


def lists_on(mentions: Mentions, event: Event, previous: Event) -> bool:
    """Another item of the same doing: no verb of its own, joined to the one before."""
    joined = mentions.tokens[event.first].lower in ("and", ",", "or") or (
        event.first > 0 and mentions.tokens[event.first - 1].lower == ","
    )
    if event.kind is not previous.kind or not joined or event.reading.own_verb:
        return False
    if steered(mentions, event):
        return False
    actions = [slot.name for slot in event.kind.slots if slot.name == "action"]
    if any(name in event.reading.slots for name in actions):
        return False
    if event.places and previous.places:
        for slot in event.kind.slots:
            if slot.type is SlotType.CHOICE and slot.name in event.slots:
                previous.slots.setdefault(slot.name, event.slots[slot.name])
    return True


def take_over(mentions: Mentions, event: Event, previous: Event) -> None:
    """What goes on takes over all that it does not say anew."""
    carried = {slot.name for slot in event.kind.slots if slot.from_place}
    only_names = not set(event.slots) - carried
    undone = steered(mentions, event)
    another = event.kind.only_seen and _at_another_time(event, previous)
    for slot in event.kind.slots:
        said = previous.slots.get(slot.name)
        if said is None or slot.name in event.slots or another:
            continue
        if slot.type is SlotType.COUNT and (undone or not only_names):
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


def take_subject(mentions: Mentions, event: Event, previous: Event) -> None:
    """The birds and the place that "them", "their" or "it" points back at."""
    pointing = points_back(mentions, event) and not _points_at_own(mentions, event)
    same = event.kind is previous.kind
    listed = same and (not event.reading.own_verb or _without_subject(mentions, event))
    nobody = event.kind.flock_subject and not (event.flocks or event.birds)
    if nobody and (pointing or (listed and not event.places)):
        event.flocks = list(previous.flocks)
        event.birds = list(previous.birds)
    alone = not (event.places or event.reading.flocks or event.reading.birds)
    goes_on = same and event.kind.per_place and _joined(mentions, event)
    tended = _tending(event) and _tending(previous) and not steered(mentions, event)
    tended = tended and previous.last == event.first
    if (pointing or goes_on or tended) and event.can_be_placed and alone:
        event.places = list(previous.places)
        if goes_on and not pointing and event.time is None and event.places:
            event.time = previous.time
    if event.kind is previous.kind and (pointing or not event.reading.places):
        for slot in event.kind.slots:
            said = previous.slots.get(slot.name)
            lasting = slot.singular or (slot.stays and not event.reading.places)
            lasting = lasting or (slot.type is SlotType.WORDS and slot.name in event.kind.needs)
            if lasting and said is not None and slot.name not in event.slots:
                event.slots[slot.name] = said


def take_all_places(mentions: Mentions, event: Event, previous: Event, events: list[Event]) -> None:
    """ "Opened a and b and fed them", "filled the water in both": every place said before."""
    if not event.kind.per_place or event.reading.places:
        return
    said = {token.lower for token in mentions.tokens[event.first : event.last]}
    if _in_both(mentions, event):
        told = {place.value: place for one in events for place in one.places}
        event.places = list(told.values())[-_BOTH:] if len(told) >= _BOTH else []
    elif said & _PLURAL and _values(event.places) == _values(previous.places):
        event.places = [place for one in _siblings(previous, events) for place in one.places]


def _in_both(mentions: Mentions, event: Event) -> bool:
    """ "In both", with no word behind it that says what both are."""
    words = [token.lower for token in mentions.tokens[event.first : event.last]] + ["."]
    return any(
        words[at] == "both"
        and words[at - 1] in ("in", "at", "for", "from")
        and (not words[at + 1].isalpha() or words[at + 1] in ("and", "then", "too"))
        for at in range(1, len(words) - 1)
    )


def take_moved_thing(
    mentions: Mentions, event: Event, previous: Event | None, farm: Farm, catalogue: Catalogue
) -> None:
    """A slot that the kind of a place fills: of the place carried over, or of what "it" was."""
    for slot in event.kind.slots:
        if not (slot.from_place or slot.stays) or slot.name in event.slots:
            continue
        value = None
        if event.places:
            value = value_of_place(slot, event.places[0], farm, catalogue)
        elif previous is not None and slot.value_named(previous.kind.name):
            value = previous.kind.name if points_back(mentions, event) else None
        if value:
            event.slots[slot.name] = SaidSlot(value, event.first, event.first)


def carries_on_status(mentions: Mentions, event: Event) -> bool:
    """ "Need to clean the floor and put straw down": joined on, with a plain verb or none."""
    start = event.first
    opens = mentions.tokens[start].lower
    if opens not in ("and", "or", "then", ",", "nor") and not (
        start and mentions.tokens[start - 1].lower in (",", "or")
    ):
        return False
    after = skip(mentions, start, event.last, ("boundary",))
    if after < event.last and mentions.tokens[after].lower in _SUBJECTS:
        return False
    return event.reading.plain_verb or not event.reading.own_verb


def _tending(event: Event) -> bool:
    """Whether it is done to birds where they live: a round of such goes on at the same place."""
    return event.kind.per_place and event.kind.flock_subject


def _points_at_own(mentions: Mentions, event: Event) -> bool:
    """Whether every pronoun follows the event's own thing: "tested the fence and it read six"."""
    if not event.kind.about_places:
        return False
    phrases = mentions.phrases_in(event.kind.name, event.first, event.last)
    things = [p.first for p in phrases if any(sense.role is Role.ABOUT for sense in p.senses)]
    pronouns = [first for first, _ in mentions.cues_in("pointing", event.first, event.last)]
    return bool(things and pronouns) and things[0] < pronouns[0]


def _joined(mentions: Mentions, event: Event) -> bool:
    """Whether a word joins the event to the one before."""
    return mentions.tokens[event.first].lower in ("and", "then", "so", ",") or (
        event.first > 0 and mentions.tokens[event.first - 1].lower == ","
    )


def _without_subject(mentions: Mentions, event: Event) -> bool:
    """ "Is sneezing and has a pale comb": joined on by a verb alone, said of the same birds."""
    if mentions.tokens[event.first].lower not in ("and", ",", "but"):
        return False
    after = skip(mentions, event.first, event.last, ("boundary", "fillers"))
    return after < event.last and mentions.tokens[after].lower in _SAID_OF_BIRDS


def steered(mentions: Mentions, event: Event) -> bool:
    """Whether the event has a word of not doing or of a plan of its own."""
    return mentions.says(event.first, event.last, "planned", "not_done")


def points_back(mentions: Mentions, event: Event) -> bool:
    """Whether a pronoun points at something said before."""
    return mentions.says(event.first, event.last, "pointing")


def _says_again(mentions: Mentions, event: Event) -> bool:
    return mentions.says(event.first, event.last, "same_again")


_BOTH = 2
_PLURAL = frozenset({"them", "their", "'em", "em", "both", "they"})
_UNKNOWN = "unknown"
"""The value of what nobody knows, which takes nothing from one that was said."""
_SAID_OF_BIRDS = frozenset({"has", "have", "had", "is", "are", "was", "were", "got", "looks"})
_SUBJECTS = frozenset({"i", "we", "he", "she", "they", "i've", "we've", "i'd", "it's", "it"})


def _values(names: list[Name]) -> list[str]:
    return [name.value for name in names]


def _with_unit(said: SaidSlot, previous: SaidSlot | None) -> SaidSlot:
    """ "Coop b two and a half": the unit of the amount before."""
    if said.bare and previous is not None and isinstance(previous.value, Quantity):
        assert isinstance(said.value, Quantity)
        value = Quantity(value=said.value.value, unit=previous.value.unit)
        return replace(said, value=value, bare=False)
    return said
