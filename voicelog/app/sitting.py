"""What was changed in one sitting of the review, so that the last change can be taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from voicelog.moments import interval_from_text
from voicelog.records import NewChange
from voicelog.types import Change, ChangeKind, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What one line changed."""

    changes: tuple[Change, ...]
    before: tuple[Record, ...]
    """The records as they stood before."""


def taken_back(step: Step, now: datetime) -> tuple[NewChange, ...]:
    """The changes that make a step undone, the last first.

    A withdrawal is undone by confirming, which is the way back that a history knows; a
    correction by the value that stood before. A confirmation of a record that stood has no
    opposite and gives nothing.
    """
    stood = {record.id: record for record in step.before}
    found: list[NewChange] = []
    for change in reversed(step.changes):
        found.extend(_opposites(change, stood[change.record_id], now))
    return tuple(found)


def _opposites(change: Change, before: Record, now: datetime) -> Sequence[NewChange]:
    plain = NewChange(record_id=change.record_id, kind=ChangeKind.CONFIRM, at=now)
    if change.kind is ChangeKind.WITHDRAW:
        return () if before.withdrawn else (plain,)
    if change.kind is ChangeKind.CONFIRM:
        return (replace(plain, kind=ChangeKind.WITHDRAW),) if before.withdrawn else ()
    old = change.old
    if change.field == "when" and isinstance(old, str):
        return (
            replace(
                plain, kind=ChangeKind.CORRECT, field=change.field, new=interval_from_text(old)
            ),
        )
    return (replace(plain, kind=ChangeKind.CORRECT, field=change.field, new=old),)
