"""A record through time: the draft it began as, and what each change made of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from voicelog.moments import interval_from_text, interval_text
from voicelog.records.moments import FOREVER, ticks
from voicelog.records.written import FieldValue
from voicelog.types import Change, ChangeKind, Draft, Status, frozen_slots

_TEXT_FIELDS = frozenset({"when_said", "place", "flock", "by"})
_NOT_CORRECTABLE = frozenset({"text", "certainty", "doubts"})


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """A record at one moment."""

    draft: Draft
    withdrawn: bool = False
    confirmed: bool = False
    corrected: tuple[str, ...] = ()

    @property
    def settled(self) -> bool:
        """Whether a person has had a say in it, so that no new parse may replace it."""
        return self.withdrawn or self.confirmed or bool(self.corrected)


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """A state and how long it stood, in ticks of `moments`."""

    since: int
    """Inclusive."""
    until: int
    """Exclusive."""
    state: State


def state_of(draft: Draft, changes: Sequence[Change]) -> State:
    """What the changes, in the order they were kept, make of a draft.

    Raises:
        ValueError: a correction's value does not fit its field.
    """
    state = State(draft=draft)
    for change in changes:
        state = _changed(state, change)
    return state


def revisions(said_at: datetime, draft: Draft, changes: Sequence[Change]) -> tuple[Revision, ...]:
    """Every state of a record from when its memo was said until now, in order of time.

    A change counts from the moment it names, whatever the order in which changes were kept.
    """
    said = ticks(said_at)
    moment_of = {change.id: max(said, ticks(change.at)) for change in changes}
    moments = sorted({said, *moment_of.values()})
    ends = [*moments[1:], FOREVER]
    return tuple(
        Revision(
            since=since,
            until=until,
            state=state_of(draft, [c for c in changes if moment_of[c.id] <= since]),
        )
        for since, until in zip(moments, ends, strict=True)
    )


def field_value(draft: Draft, name: str) -> FieldValue:
    """The value of a common field or slot as a change writes it; None where it is empty."""
    if name == "when":
        return interval_text(draft.when)
    if name == "status":
        return draft.status.value
    if name == "birds":
        return draft.birds
    if name == "kind":
        return draft.kind
    if name in _TEXT_FIELDS:
        text: str | None = getattr(draft, name)
        return text
    return draft.slots.get(name)


def _changed(state: State, change: Change) -> State:
    if change.kind is ChangeKind.WITHDRAW:
        return replace(state, withdrawn=True, confirmed=False)
    if change.kind is ChangeKind.CONFIRM:
        # Confirming is also the way back from a withdrawal.
        return replace(state, withdrawn=False, confirmed=True)
    if not change.field:
        raise ValueError("a correction names the field it changes")
    return replace(
        state,
        draft=_corrected(state.draft, change.field, change.new),
        corrected=(*(n for n in state.corrected if n != change.field), change.field),
    )


def _corrected(draft: Draft, name: str, new: FieldValue) -> Draft:
    if name in _NOT_CORRECTABLE:
        raise ValueError(f"`{name}` belongs to the memo and is not corrected")
    if name == "birds":
        if not isinstance(new, tuple | None):
            raise ValueError(f"`birds` takes a list of names, not {new!r}")
        return replace(draft, birds=new or ())
    if isinstance(new, tuple):
        raise ValueError(f"`{name}` takes one value, not {new!r}")
    if name in ("kind", "status", "when") or (name in _TEXT_FIELDS and new is not None):
        if not isinstance(new, str) or not new:
            raise ValueError(f"`{name}` takes a text, not {new!r}")
        return _with_text(draft, name, new)
    if name in _TEXT_FIELDS:
        return _with_text(draft, name, None)
    slots = {slot: value for slot, value in draft.slots.items() if slot != name}
    return replace(draft, slots=frozen_slots(slots if new is None else {**slots, name: new}))


def _with_text(draft: Draft, name: str, new: str | None) -> Draft:
    if name == "when":
        return replace(draft, when=interval_from_text(new or ""))
    if name == "status":
        return replace(draft, status=Status(new or ""))
    if name == "kind":
        return replace(draft, kind=new or "")
    if name == "place":
        return replace(draft, place=new)
    if name == "flock":
        return replace(draft, flock=new)
    if name == "by":
        return replace(draft, by=new)
    return replace(draft, when_said=new)
