"""Instructions in a memo, as changes to records that earlier memos gave.

"Scratch that" takes back every record of the memo before, "make that twelve" changes the main
number of its last record, "that was …" the field named. Whatever cannot be carried out is told
in a sentence and changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from voicelog.app.actions import CONFIRM, SHOW_LEFT, SHOW_REVIEW, STOP, WITHDRAW
from voicelog.records import NewChange, Wanted
from voicelog.review.values import fit
from voicelog.types import ChangeKind, Instruction, Memo, Record

if TYPE_CHECKING:
    from voicelog.records import Store

_SCREENS = frozenset({SHOW_LEFT, SHOW_REVIEW, STOP})
"""Actions that a screen answers and that change no record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the instructions of one memo come to."""

    changes: tuple[NewChange, ...] = ()
    problems: tuple[str, ...] = ()
    """Whole sentences: what could not be carried out, and why."""


def asked_of(store: Store, memo: Memo, instructions: Sequence[Instruction]) -> Asked:
    """The changes that a kept memo's instructions ask for; nothing is changed yet."""
    asked = [_asked(store, memo, item) for item in instructions if item.action not in _SCREENS]
    return Asked(
        changes=tuple(change for one in asked for change in one.changes),
        problems=tuple(problem for one in asked for problem in one.problems),
    )


def _asked(store: Store, memo: Memo, instruction: Instruction) -> Asked:
    meant = _meant(store, memo, instruction)
    if not meant:
        return _problem(instruction, "there is no record before it that it could mean")
    if instruction.action == WITHDRAW:
        return _all(memo, meant, ChangeKind.WITHDRAW)
    if instruction.action == CONFIRM:
        return _all(memo, meant, ChangeKind.CONFIRM)
    if instruction.value is None:
        return _problem(instruction, "it does not say what to change it to")
    fits = ((record, fit(record.draft, instruction.slot, instruction.value))
            for record in reversed(meant))  # fmt: skip
    found = next(((record, fitted) for record, fitted in fits if fitted is not None), None)
    if found is None:
        return _problem(instruction, f"record {meant[-1].id} has nothing that this could change")
    record, (field, value) = found
    change = NewChange(
        record_id=record.id,
        kind=ChangeKind.CORRECT,
        at=memo.said_at,
        field=field,
        new=value,
        memo_id=memo.id,
    )
    return Asked(changes=(change,))


def _meant(store: Store, memo: Memo, instruction: Instruction) -> Sequence[Record]:
    """The records an instruction is about, the last one last; withdrawn ones are past change."""
    before = store.last_memo(memo.said_at, before=memo.id, with_records=True)
    if before is None:
        return ()
    records = store.records_of(before.id, as_of=memo.said_at)
    standing = [record for record in records if not record.withdrawn]
    if instruction.ordinal is not None:
        at = instruction.ordinal - 1 if instruction.ordinal > 0 else instruction.ordinal
        return [standing[at]] if -len(standing) <= at < len(standing) else ()
    if instruction.kind is None:
        return standing
    of_kind = [record for record in standing if record.draft.kind == instruction.kind]
    return of_kind or _newest_of_kind(store, memo, instruction.kind)


def _newest_of_kind(store: Store, memo: Memo, kind: str) -> Sequence[Record]:
    found = store.find(Wanted(kinds=(kind,), as_of=memo.said_at))
    return [r for r in sorted(found, key=_order_said) if r.memo_id != memo.id][-1:]


def _order_said(record: Record) -> tuple[float, int]:
    return record.memo_said_at.timestamp(), record.id


def _all(memo: Memo, records: Iterable[Record], kind: ChangeKind) -> Asked:
    return Asked(
        changes=tuple(
            NewChange(record_id=record.id, kind=kind, at=memo.said_at, memo_id=memo.id)
            for record in records
        )
    )


def _problem(instruction: Instruction, why: str) -> Asked:
    return Asked(problems=(f"“{instruction.text}” changed nothing: {why}.",))
