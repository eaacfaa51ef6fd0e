"""What is told to the keeper about records, times and changes, in one place.

Short plain lines, so that every screen and a voice say the same. Names of kinds and slots come
from the catalogue.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta

from voicelog.catalogue import Caution, Kind, SlotType, load_catalogue
from voicelog.catalogue.units import find_unit
from voicelog.moments import interval_from_text
from voicelog.types import (
    Change,
    ChangeKind,
    Draft,
    Interval,
    Precision,
    Quantity,
    Record,
    Status,
)

_STATUS = {Status.DONE: "", Status.NOT_DONE: "not done: ", Status.PLANNED: "planned: "}
_WORDS_SHOWN = 300
"""Letters of a memo's words that a line shows."""


def printable(text: str) -> str:
    """A text that a terminal shows and never obeys: control characters as spaces."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def shortened(text: str, length: int = _WORDS_SHOWN) -> str:
    """A printable text cut to `length` letters."""
    shown = " ".join(printable(text).split())
    return shown if len(shown) <= length else f"{shown[: length - 1]}…"


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun: "1 record", "2 records"."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(names: Sequence[str]) -> str:
    """Names in a row: "a, b and c"."""
    *first, last = names or ("",)
    return f"{', '.join(first)} and {last}" if first else last


def value_text(value: object) -> str:
    """A field's value as it is read out: "2.5 scoops", "shut in", "—" for none."""
    if value is None or value == ():
        return "—"
    if isinstance(value, Quantity):
        return amount_text(value.value, value.unit)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return number_text(value)
    if isinstance(value, tuple):
        return listed([value_text(item) for item in value])
    return printable(str(value)).replace("_", " ")


def amount_text(number: int | float, unit: str) -> str:
    """An amount as it is read out: "1 scoop", "2.5 scoops"."""
    called = find_unit(unit)
    forms = () if called is None else called.forms
    plural = next((form[1] for form in forms if form[0] == unit and len(form) > 1), unit)
    return f"{number_text(number)} {unit if abs(number) == 1 else plural}"


def number_text(number: int | float) -> str:
    """A number without a needless ".0" and without long fractions."""
    if isinstance(number, int) or number.is_integer():
        return f"{int(number):,}"
    return f"{number:,.3f}".rstrip("0")


def slot_texts(draft: Draft) -> list[str]:
    """The slots that were said, in the catalogue's order: "eggs 27", "cracked 2".

    A declared choice speaks for itself: "tested", not "what was done tested".
    """
    kind = load_catalogue().kind(draft.kind)
    titles = {slot.name: f"{slot.title} " for slot in kind.slots}
    titles |= {slot.name: "" for slot in kind.slots if slot.type is SlotType.CHOICE}
    known = [name for name in titles if name in draft.slots]
    others = [name for name in draft.slots if name not in titles]
    return [
        f"{titles.get(name, f'{name} ')}{value_text(draft.slots[name])}"
        for name in (*known, *others)
    ]


def record_text(draft: Draft, now: datetime) -> str:
    """A record in one line: "eggs gathered, coop B: eggs 27, cracked 2 (today 08:10)"."""
    return f"{what_text(draft)} ({when_text(draft.when, now)})"


def what_text(draft: Draft) -> str:
    """What a record says without its time: "eggs gathered, coop B: eggs 27, cracked 2"."""
    kind = load_catalogue().kind(draft.kind)
    about = [text for text in (draft.place, draft.flock, *draft.birds) if text]
    if draft.by:
        about.append(f"by {draft.by}")
    head = ", ".join([kind.title, *(printable(text) for text in about)])
    slots = slot_texts(draft)
    if not kind.slots:
        slots = [f"“{shortened(draft.text)}”"]
    told = f"{head}: {', '.join(slots)}" if slots else head
    return f"{_STATUS[draft.status]}{told}"


def standing_text(record: Record, now: datetime) -> str:
    """A stored record in one line, with what a person did to it."""
    told = record_text(record.draft, now)
    if record.withdrawn:
        return f"withdrawn: {told}"
    if record.confirmed:
        return f"{told} ✓"
    return f"{told} (corrected)" if record.corrected else told


def change_text(change: Change, now: datetime, called: str = "") -> str:
    """What was changed, in one line; the record is `called` so, by its id otherwise."""
    called = called or f"record {change.record_id}"
    if change.kind is ChangeKind.WITHDRAW:
        return f"{called} is withdrawn"
    if change.kind is ChangeKind.CONFIRM:
        return f"{called} is confirmed"
    name = (change.field or "").replace("_", " ")
    old, new = (_field_text(change.field, value, now) for value in (change.old, change.new))
    return f"{called}: {name} was {old}, is {new}"


def _field_text(field: str | None, value: object, now: datetime) -> str:
    if field == "when" and isinstance(value, str):
        return when_text(interval_from_text(value), now)
    return value_text(value)


def cautions_of(drafts: Iterable[Draft]) -> tuple[Caution, ...]:
    """The cautions that go with these records, each once."""
    catalogue = load_catalogue()
    names = (_caution_of(catalogue.kind(draft.kind), draft) for draft in drafts)
    return tuple(catalogue.caution(name) for name in dict.fromkeys(names) if name)


def _caution_of(kind: Kind, draft: Draft) -> str | None:
    """The kind's caution, where it is not for some values only: water from a creek, not a tap."""
    if not kind.caution_where:
        return kind.caution
    said = any(draft.slots.get(slot) in values for slot, values in kind.caution_where.items())
    return kind.caution if said else None


def day_text(day: date, now: datetime) -> str:
    """The day as it is called now: "yesterday", "today", "tomorrow", or its date."""
    apart = (day - now.date()).days
    if apart in (-1, 0, 1):
        return ("yesterday", "today", "tomorrow")[apart + 1]
    return f"{day:%a} {day.day} {day:%b}" + ("" if day.year == now.year else f" {day.year}")


def when_text(when: Interval, now: datetime) -> str:
    """A time as precisely as it was said and no more."""
    start, end = (None if s is None else s.astimezone(now.tzinfo) for s in (when.from_, when.to))
    if start is None or end is None:
        return _open_text(start, end, now)
    if when.precision in (Precision.MINUTE, Precision.HOUR, Precision.PART_OF_DAY):
        if start == end:
            return f"{day_text(start.date(), now)} {start:%H:%M}"
        if end - start <= timedelta(days=1):
            return f"{day_text(start.date(), now)} {start:%H:%M}–{end:%H:%M}"
    first = start.date()
    last = max(first, (end - timedelta(microseconds=1)).date())
    if first == last:
        return day_text(first, now)
    return f"{day_text(first, now)} – {day_text(last, now)}"


def _open_text(start: datetime | None, end: datetime | None, now: datetime) -> str:
    if start is not None:
        return f"since {day_text(start.date(), now)}"
    if end is not None:
        return f"before {day_text(end.date(), now)}"
    return "at no time said"
