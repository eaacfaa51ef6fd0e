"""Which sort of answer a question asks for, by the words it opens with and those inside."""

from __future__ import annotations

from voicelog.answering.heard import Heard
from voicelog.answering.question import Asked, Noun, Sort, Span, Subject
from voicelog.answering.subjects import unexplained
from voicelog.catalogue.asking import Asking
from voicelog.understanding.lexicon import Role

_PRESENT = frozenset({"is", "are", "am", "isn't", "aren't", "when's", "what's", "who's"})
_HABIT = frozenset({"do", "does", "don't"})
_PAST = frozenset({"did", "was", "were", "had", "didn't"})
_ENDING = "ing"


def asked_noun(heard: Heard) -> Noun | None:
    """The place, bird, day or person that the question asks to be named."""
    for cue in heard.cues("ask_what"):
        at = heard.past_articles(cue.last)
        for span, kind in heard.place_kinds.items():
            if span.first == at and not _has_name(heard, span):
                return Noun(span=span, place_kind=kind)
        for name in heard.mentions.names:
            if name.first == at and name.role is Role.FLOCK:
                return Noun(span=Span(name.first, name.last), flock=name.value)
        for day in heard.cues("ask_day"):
            if day.first == at:
                return Noun(span=day, day=True)
        for person in heard.cues("ask_people"):
            if person.first == at:
                return Noun(span=person, person=True)
    return None


def _has_name(heard: Heard, span: Span) -> bool:
    """True for "coop b" or "creek paddock": a place, not a kind of place."""
    return any(
        name.role is Role.PLACE
        and name.first <= span.first
        and span.last <= name.last
        and (name.last - name.first > span.last - span.first)
        for name in heard.mentions.names
    )


def sort_of(heard: Heard, subjects: tuple[Subject, ...], noun: Noun | None, asking: Asking) -> Sort:
    """The sort of a question."""
    if heard.has("show_left", "ask_left") and _asks_what_is_left(heard, subjects, noun):
        return Sort.LEFT
    if _asks_what_is_kept_back(heard, subjects, asking):
        return Sort.WITHHELD
    if heard.opens("ask_why"):
        return Sort.LIST if _tells_why(heard, subjects) else Sort.UNKNOWN
    if _chooses(heard):
        return Sort.EXTREME
    if heard.has("ask_compare") or (_compares(heard) and _has_two_sides(heard, subjects)):
        return Sort.COMPARE
    if heard.has("ask_long") and heard.has("ask_ago") and not heard.has("ask_times"):
        return Sort.SINCE
    if heard.has("ask_times"):
        return Sort.COUNT
    if heard.has("ask_average"):
        return Sort.AVERAGE
    if _is_extreme(heard):
        return Sort.EXTREME
    sort = _by_opening(heard, subjects, noun, asking)
    return Sort.EVENTS if sort is Sort.UNKNOWN and _asks_for_events(heard, subjects) else sort


def _asks_for_events(heard: Heard, subjects: tuple[Subject, ...]) -> bool:
    """ "What happened on friday", "tell me about" a bird: no kind, but a time or a name."""
    mentions = heard.mentions
    named = mentions.names or mentions.times
    open_ = heard.opens("ask_what", "ask_how", "ask_undone") or heard.has("ask_preamble")
    events = heard.has("ask_events", "ask_undone")
    return bool(named) and not subjects and open_ and events and not unexplained(heard, frozenset())


def _tells_why(heard: Heard, subjects: tuple[Subject, ...]) -> bool:
    """Whether the kind has a slot for the reason."""
    reasons = {
        (sense.kind, sense.slot)
        for span, senses in heard.ask.items()
        for sense in senses
        if heard.words[span.first : span.last] == ("why",)
    }
    return bool(subjects) and any((subjects[0].kind, slot) in reasons for slot in subjects[0].named)


def _by_opening(
    heard: Heard, subjects: tuple[Subject, ...], noun: Noun | None, asking: Asking
) -> Sort:
    if heard.opens("ask_when") or (noun is not None and noun.day):
        return Sort.NEXT if lies_ahead(heard) else Sort.LAST
    named = noun is not None and (noun.place_kind is not None or noun.flock is not None)
    if named and heard.has("ask_missing") and _is_missing(heard):
        return Sort.MISSING
    if heard.opens("ask_where"):
        return Sort.LIST if "from" in heard.words and subjects and subjects[0].named else Sort.WHERE
    if noun is not None and noun.place_kind is not None and _stands_there(heard, noun):
        return Sort.WHERE
    if noun is not None and noun.place_kind is not None:
        return Sort.LIST
    if heard.opens("ask_who") or (noun is not None and (noun.flock is not None or noun.person)):
        return Sort.WHO
    if heard.has("ask_much") and not heard.opens("ask_whether"):
        return _much_sort(heard, subjects, asking)
    if heard.has("ask_plan") and (heard.opens("ask_what") or _asks_for_plans(heard)):
        return Sort.PLAN
    if heard.opens("ask_whether"):
        return Sort.YES_NO
    if heard.opens("ask_what", "ask_how"):
        return _what_sort(heard, subjects, asking)
    return _by_subject(heard, subjects, asking)


def _by_subject(heard: Heard, subjects: tuple[Subject, ...], asking: Asking) -> Sort:
    """No word of question: "last move of …" asks when, anything counted how much."""
    if not subjects:
        return Sort.UNKNOWN
    if heard.has("ask_latest") and not subjects[0].named:
        return Sort.LAST
    return _number_sort(subjects, asking) if subjects[0].asks_number else Sort.LIST


def lies_ahead(heard: Heard) -> bool:
    """Whether a plan is asked for and not what was done."""
    if any(word in _PAST for word in heard.words):
        return False
    if heard.has("ask_latest") and not heard.has("planned"):
        return False
    if heard.has("ask_ahead"):
        return True
    first = next((w for w in heard.words if w in _PRESENT | _HABIT), None)
    if first in _HABIT:
        return True
    return first is not None and any(word.endswith(_ENDING) for word in heard.words)


def stands_now(heard: Heard) -> bool:
    """Whether it asks how things stand now: present, and no time named."""
    if any(word in _PAST for word in heard.words) or heard.has("ask_latest"):
        return False
    return any(word in _PRESENT for word in heard.words)


def is_past(heard: Heard) -> bool:
    """Whether it asks after what was done."""
    return any(word in _PAST for word in heard.words)


def _asks_what_is_left(heard: Heard, subjects: tuple[Subject, ...], noun: Noun | None) -> bool:
    if noun is not None and (noun.place_kind or noun.flock):
        return False
    return not subjects or heard.opens("show_left")


def _asks_what_is_kept_back(heard: Heard, subjects: tuple[Subject, ...], asking: Asking) -> bool:
    """Whether eggs may be eaten, or until when not; no question of what was done."""
    if any(word in _PAST for word in heard.words):
        return False
    held = asking.withheld
    days = any(s.kind == held.kind and held.days in s.named for s in subjects[:1])
    if days and heard.has("ask_remaining"):
        return True
    may = any(word in _MAY or word in _MAY_NOT for word in heard.words)
    naming = heard.opens("ask_who", "ask_what", "ask_when", "ask_whether", "ask_until")
    if heard.has("ask_held") and naming:
        return True
    if heard.has("ask_sell") and (heard.words[heard.head] in _MAY or (may and naming)):
        return True
    if not heard.has("ask_safe"):
        return False
    if may and naming:
        return True
    opens = heard.opens("ask_whether", "ask_when", "ask_long", "ask_until")
    return opens or heard.words[heard.head] in _MAY


_MAY = frozenset({"can", "may", "could", "should", "must", "might"})
_MAY_NOT = frozenset({"can't", "cannot", "mustn't", "shouldn't"})


def _chooses(heard: Heard) -> bool:
    """ "Which laid more, this one or that one"."""
    places = [name for name in heard.mentions.names if name.role is Role.PLACE]
    return len(places) > 1 and heard.has("ask_more") and "or" in heard.words


def _compares(heard: Heard) -> bool:
    more = heard.cues("ask_more")
    return bool(more) and "than" in heard.words[more[0].last :]


def _has_two_sides(heard: Heard, subjects: tuple[Subject, ...]) -> bool:
    names = [name.role for name in heard.mentions.names if name.role in _SIDES]
    several = any(len(values) > 1 for s in subjects[:1] for values in s.slots.values())
    return len(heard.mentions.times) > 1 or len(names) > 1 or several


_SIDES = frozenset({Role.PLACE, Role.FLOCK, Role.BIRD, Role.BREED})


def _is_extreme(heard: Heard) -> bool:
    covered = {at for s in heard.cues("ask_latest") for at in range(s.first, s.last)}
    return any(s.first not in covered for s in heard.cues("ask_highest", "ask_lowest"))


def _is_missing(heard: Heard) -> bool:
    """A need alone may be a plan; with a kind of place or bird it is what was not done."""
    return bool(heard.cues("ask_missing"))


def _stands_there(heard: Heard, noun: Noun) -> bool:
    """ "Which paddock is the fence in": asks where a thing is, not where something was done."""
    after = heard.words[noun.span.last] if noun.span.last < len(heard.words) else ""
    return after in _PRESENT and heard.words[-1] in _STANDING


_STANDING = frozenset({"in", "on", "at", "now", "right", "currently", "today"})


def _much_sort(heard: Heard, subjects: tuple[Subject, ...], asking: Asking) -> Sort:
    """ "How many repairs" counts records; "how much last" asks for the newest."""
    if subjects and any(
        heard.asks_slot(Span(at, last), subjects[0].kind, "")
        for cue in heard.cues("ask_much")
        for at in (heard.past_articles(cue.last),)
        for last in range(at + 1, len(heard.words) + 1)
    ):
        return Sort.COUNT
    if heard.has("ask_latest") and not heard.mentions.times:
        return Sort.VALUE
    if _counts_days(heard) and subjects and not subjects[0].asks_number:
        return Sort.COUNT
    return _number_sort(subjects, asking)


def _counts_days(heard: Heard) -> bool:
    ends = {heard.past_articles(span.last) for span in heard.cues("ask_much")}
    return any(span.first in ends for span in heard.cues("ask_day"))


def _number_sort(subjects: tuple[Subject, ...], asking: Asking) -> Sort:
    first = subjects[0] if subjects else None
    if first is not None and any((first.kind, slot) in asking.newest for slot in first.asked[:1]):
        return Sort.VALUE
    return Sort.SUM


def _asks_for_plans(heard: Heard) -> bool:
    """ "Is anything planned", "do we have anything coming up"."""
    return heard.has("ask_empty") and any(
        word in ("anything", "something", "plans", "any") for word in heard.words
    )


def _what_sort(heard: Heard, subjects: tuple[Subject, ...], asking: Asking) -> Sort:
    """A slot that is a number is told or summed; any other is listed."""
    if not subjects:
        return Sort.UNKNOWN
    if not subjects[0].asks_number or heard.asks_how:
        return Sort.LIST
    return _much_sort(heard, subjects, asking)


def asked_of(heard: Heard, noun: Noun | None, sort: Sort, subjects: tuple[Subject, ...],
             asking: Asking) -> Asked:  # fmt: skip
    """What the answer names."""
    if noun is not None and noun.place_kind is not None:
        return Asked.PLACE
    if noun is not None and noun.flock is not None:
        return Asked.BIRD
    if noun is not None and noun.person:
        return Asked.PERSON
    if noun is not None and noun.day:
        return Asked.DAY
    if sort is Sort.WITHHELD and (heard.opens("ask_who") or _names_what_is_held(heard)):
        return Asked.BIRD
    if sort is Sort.WHO:
        of_birds = any(s.kind in asking.of_birds for s in subjects[:1])
        birds = any(name.role is Role.BIRD for name in heard.mentions.names)
        return Asked.BIRD if of_birds and not birds else Asked.PERSON
    if sort is Sort.EXTREME:
        if _chooses(heard):
            return Asked.PLACE
        if _names_a_day(heard):
            return Asked.DAY
        if heard.opens("ask_when"):
            return Asked.DAY
        if heard.opens("ask_where"):
            return Asked.PLACE
        if heard.opens("ask_who"):
            return Asked.BIRD
        return Asked.NUMBER
    if sort is Sort.YES_NO and heard.has("ask_ahead") and lies_ahead(heard):
        return Asked.PLAN
    if sort is Sort.WITHHELD:
        return _withheld_asked(heard)
    return Asked.SLOT


def _names_what_is_held(heard: Heard) -> bool:
    """ "What is in withdrawal": no day is asked for."""
    return heard.has("ask_held") and heard.opens("ask_what") and not heard.opens("ask_when")


def _names_a_day(heard: Heard) -> bool:
    """ "The best day", and not "the best in a day"."""
    ends = {span.last for span in heard.cues("ask_highest", "ask_lowest")}
    return any(span.first in ends for span in heard.cues("ask_day"))


def _withheld_asked(heard: Heard) -> Asked:
    if heard.has("ask_long") and not heard.opens("ask_when"):
        return Asked.NUMBER
    if heard.opens("ask_when", "ask_until", "ask_what"):
        return Asked.DATE
    return Asked.WHETHER
