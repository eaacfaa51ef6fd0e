"""The records of a day's memos as a numbered list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from voicelog.types import Memo, Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One record in the list."""

    number: int
    """Counted from 1."""
    record: Record
    memo: Memo

    @property
    def settled(self) -> bool:
        """Whether a person has confirmed, corrected or withdrawn it."""
        record = self.record
        return record.withdrawn or record.confirmed or bool(record.corrected)

    @property
    def in_doubt(self) -> bool:
        """Whether there is something to ask that nobody has settled."""
        return bool(self.record.draft.doubts) and not self.settled


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLog:
    """The records of one day's memos, those that were doubted first."""

    day: date
    memos: tuple[Memo, ...]
    items: tuple[Item, ...]

    @property
    def open(self) -> tuple[Item, ...]:
        """Records that nobody has settled yet."""
        return tuple(item for item in self.items if not item.settled)

    @property
    def in_doubt(self) -> tuple[Item, ...]:
        """Records with a doubt that nobody has settled yet."""
        return tuple(item for item in self.items if item.in_doubt)

    @property
    def finished(self) -> bool:
        """Whether nothing is left to settle."""
        return not self.open

    def item(self, number: int) -> Item | None:
        """The record of that number; -1 is the last."""
        if number == -1 and self.items:
            return self.items[-1]
        return next((item for item in self.items if item.number == number), None)

    def after(self, number: int) -> Item | None:
        """The first unsettled record after that number, or the first of all; None: finished."""
        later = (item for item in self.open if item.number > number)
        return next(later, next(iter(self.open), None))


def day_log(
    day: date,
    memos: Sequence[Memo],
    records: Sequence[Record],
    *,
    numbered: Sequence[int] = (),
) -> DayLog:
    """The list of a day.

    Args:
        day: the calendar day.
        memos: the memos said on it, in order.
        records: their records, withdrawn ones among them.
        numbered: ids of records that have a number already, in order; they keep it, so that
            "the second one" goes on being the same while the list is worked on.
    """
    by_memo = {memo.id: (at, memo) for at, memo in enumerate(memos)}
    known = {record_id: at for at, record_id in enumerate(numbered)}

    def order(record: Record) -> tuple[int, bool, int, int]:
        new = len(known)
        doubted = bool(record.draft.doubts)
        return known.get(record.id, new), not doubted, by_memo[record.memo_id][0], record.id

    return DayLog(
        day=day,
        memos=tuple(memos),
        items=tuple(
            Item(number=number, record=record, memo=by_memo[record.memo_id][1])
            for number, record in enumerate(sorted(records, key=order), start=1)
        ),
    )
