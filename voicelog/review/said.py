"""The new value of a field, read from a few words: "was coop A", "twelve", "cost 8 dollars"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import datetime

from voicelog.catalogue import Kind, Slot, SlotType, expand_all, load_catalogue
from voicelog.farm import Farm
from voicelog.records import NewChange
from voicelog.review.values import COMMON_FIELDS, NewValue, as_slot, fit, is_number
from voicelog.text.numbers import find_numbers
from voicelog.text.quantities import find_quantities
from voicelog.text.times import cut_off, find_times
from voicelog.types import ChangeKind, Draft, Quantity, Record, SlotValue, Status

_LEADING = re.compile(
    r"^(?:was|is|were|are|it|that|should|have|been|be|make|made|actually|really|no|"
    r"at|in|on|for|the|set|change|to|=|:|,|-)\b[\s:=,]*|^[:=,\-–]+\s*",
    re.IGNORECASE,
)
_EMPTY = frozenset({"none", "nothing", "nobody", "nowhere", "empty", "unknown", "-", "—"})
_BESIDE = frozenset({"no", "not", "a", "an", "of", "the", "about", "and", "none", "nothing"})
_LONGEST_NAME = 6
"""Words in a place's name; more are a sentence."""
_STATUSES = {"done": Status.DONE, "not done": Status.NOT_DONE, "planned": Status.PLANNED}
_TOLD_TIME = re.compile(r"^[\s:=,\-–]*(?:(?:that|it)\s+)?(?:was|is)\b|^[\s:=,\-–]+", re.IGNORECASE)
_Said = tuple[str, NewValue]


def read_correction(
    words: str, record: Record, *, farm: Farm, now: datetime
) -> tuple[NewChange, ...]:
    """The changes that the words make of a record; empty where they say none.

    A field may be named before the value; without one, the value finds the field that it fits:
    a place of the farm, a flock, a bird, a declared value, an amount, a number, a time.
    """
    text = words.strip()
    named = _field_named(text, record.draft)
    if named is None:
        said = list(_fields_that_fit(_stripped(text), record, farm))[:1]
        said = said or list(_when(text, record))
    else:
        field, rest = named
        said = list(_value_of(field, _stripped(rest), record, farm))
    changes = [
        NewChange(record_id=record.id, kind=ChangeKind.CORRECT, at=now, field=field, new=value)
        for field, value in said
    ]
    return tuple(changes)


def unknown_place(words: str, record: Record, farm: Farm) -> str | None:
    """The words that name a place the farm file does not have; None where they name none.

    A place is named by the field's name before it, or by a word for a sort of place in it.
    """
    named = _field_named(words.strip(), record.draft)
    said = _stripped(words if named is None else named[1])
    if named is not None and named[0] != "place":
        return None
    plain = re.findall(r"[\w'-]+", said.lower())
    sorts = {word for sort in load_catalogue().places for form in expand_all(sort.words)
             for word in (form,)} | {place.kind for place in farm.places}  # fmt: skip
    is_short = 0 < len(plain) <= _LONGEST_NAME
    if not is_short or not (named is not None or any(word in sorts for word in plain)):
        return None
    return None if _known(said, _places(farm)) else said


def _stripped(text: str) -> str:
    while (shorter := _LEADING.sub("", text).strip()) != text:
        if not shorter:
            return text
        text = shorter
    return text.rstrip(".!")


def _field_named(text: str, draft: Draft) -> tuple[str, str] | None:
    """The field that the words begin with, and the words after it; the longest name wins."""
    plain = text.lower()
    best: tuple[str, str] | None = None
    length = 0
    for field, names in _field_names(draft):
        for name in names:
            found = re.match(rf"(?:the\s+)?{re.escape(name)}(?![\w-])", plain)
            if found and found.end() > length and found.end() < len(plain):
                best, length = (field, text[found.end() :]), found.end()
    return best


def _field_names(draft: Draft) -> Iterator[tuple[str, tuple[str, ...]]]:
    for field in COMMON_FIELDS:
        yield field, (field,)
    for slot in load_catalogue().kind(draft.kind).slots:
        plain = slot.name.replace("_", " ")
        yield slot.name, (slot.name, plain, slot.title.lower(), *expand_all(slot.ask))


def _value_of(field: str, text: str, record: Record, farm: Farm) -> Iterator[_Said]:
    """The value of a field that was named."""
    plain = text.lower()
    slot = load_catalogue().kind(record.draft.kind).slot(field)
    if plain in _EMPTY and not (slot and is_number(slot)) and field not in {"kind", "status"}:
        yield field, None
    elif slot is not None:
        yield from _slot_value(slot, text, record)
    elif field == "when":
        yield from _when(text, record)
    elif field == "status" and plain.replace("_", " ") in _STATUSES:
        yield field, _STATUSES[plain.replace("_", " ")].value
    elif field == "kind":
        yield from _kind(plain)
    elif field == "birds":
        names = [part.strip() for part in re.split(r",|\band\b", text) if part.strip()]
        yield field, tuple(_known(name, _birds(farm)) or name for name in names)
    elif field == "place" and farm.places:
        if (place := _known(text, _places(farm))) is not None:
            yield field, place
    elif field in {"place", "flock", "by"}:
        known = {"place": _places, "flock": _flocks}.get(field, _helpers)(farm)
        yield field, _known(text, known) or text


def _fields_that_fit(text: str, record: Record, farm: Farm) -> Iterator[_Said]:
    """Every field that the words fit without naming it, the likeliest first."""
    plain = text.lower()
    if plain in _STATUSES:
        yield "status", _STATUSES[plain].value
    for field, known in (("place", _places), ("flock", _flocks), ("birds", _birds)):
        if name := _known(text, known(farm)):
            yield field, (name,) if field == "birds" else name
    kind = load_catalogue().kind(record.draft.kind)
    for slot in kind.slots:
        if declared := _declared(slot, plain):
            yield slot.name, declared
    if (amount := _amount(text)) is not None and _says_only_amounts(text, kind):
        fitted = fit(record.draft, None, amount)
        if fitted is not None:
            yield fitted
        for slot in kind.slots:
            value = as_slot(slot, amount, record.draft.slots.get(slot.name))
            if is_number(slot) and isinstance(amount, Quantity) and value is not None:
                yield slot.name, value
    yield from _kind(plain)


def _slot_value(slot: Slot, text: str, record: Record) -> Iterator[_Said]:
    declared = _declared(slot, text.lower())
    if declared is not None:
        yield slot.name, declared
        return
    if slot.type is SlotType.WORDS:
        yield slot.name, text
        return
    amount = _amount(text)
    said: SlotValue = text if amount is None else amount
    value = as_slot(slot, said, record.draft.slots.get(slot.name))
    if value is not None:
        yield slot.name, value


def _declared(slot: Slot, plain: str) -> str | None:
    """The declared value of a slot that the words say, by name or by its words."""
    for value in slot.values:
        names = (value.name, value.name.replace("_", " "), *expand_all(value.words))
        if plain in names:
            return value.name
    return None


def _amount(text: str) -> SlotValue | None:
    """The amount or number said; of "ten, no, twelve" the last, of "twelve, not ten" the first."""
    spans = find_quantities(text) or find_numbers(text)
    plain = [span for span in spans if not getattr(span, "ordinal", False)]
    if not plain:
        return 0 if text.lower() in {"none", "nothing"} else None
    later = plain[-1] if re.search(r"\bno\b", text.lower()) else plain[0]
    unit = getattr(later, "unit", None)
    return Quantity(value=later.value, unit=unit) if unit else later.value


def _says_only_amounts(text: str, kind: Kind) -> bool:
    """Whether the words beside the amounts are words of the kind, or of correcting oneself."""
    spans = find_quantities(text) or find_numbers(text)
    rest = list(text)
    for span in spans:
        rest[span.start : span.end] = " " * (span.end - span.start)
    notations = list(kind.about)
    for slot in kind.slots:
        notations += [*slot.labels, *slot.ask, *(w for value in slot.values for w in value.words)]
    known = {word for form in expand_all(tuple(notations)) for word in form.split()} | _BESIDE
    return all(word in known for word in re.findall(r"[^\s,.]+", "".join(rest).lower()))


def _when(text: str, record: Record) -> Iterator[_Said]:
    draft = record.draft
    lean = "future" if draft.status is Status.PLANNED else "past"
    said_at = record.memo_said_at
    # The whole must be the time: a time inside other words says nothing of this field.
    for words in dict.fromkeys((_TOLD_TIME.sub("", text).strip(" .!"), _stripped(text))):
        spans = find_times(words, said_at, "future" if lean == "future" else "past")
        if len(spans) == 1 and (spans[0].start, spans[0].end) == (0, len(words)):
            done = draft.status is not Status.PLANNED
            yield "when", cut_off(spans[0].when, said_at) if done else spans[0].when
            yield "when_said", words
            return


def _kind(plain: str) -> Iterator[_Said]:
    for kind in load_catalogue().kinds:
        if plain in {kind.name, kind.title.lower()}:
            yield "kind", kind.name


def _known(text: str, names: Iterable[tuple[str, tuple[str, ...]]]) -> str | None:
    """The printed name of what is called so."""
    plain = " ".join(text.lower().split()).removeprefix("the ")
    for name, others in names:
        if plain in {called.lower().removeprefix("the ") for called in (name, *others)}:
            return name
    return None


def _places(farm: Farm) -> Iterator[tuple[str, tuple[str, ...]]]:
    return ((place.name, place.also) for place in farm.places)


def _flocks(farm: Farm) -> Iterator[tuple[str, tuple[str, ...]]]:
    return ((flock.name, flock.also) for flock in farm.flocks)


def _birds(farm: Farm) -> Iterator[tuple[str, tuple[str, ...]]]:
    return ((bird.name, bird.also) for bird in farm.birds)


def _helpers(farm: Farm) -> Iterator[tuple[str, tuple[str, ...]]]:
    return ((name, ()) for name in farm.helpers)
