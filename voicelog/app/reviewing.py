"""The review of one day, on a notebook: what a line asks for is done and kept at once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from voicelog import forms
from voicelog.app.notebook import Notebook, Noted
from voicelog.errors import RequestError
from voicelog.review import Action, DayLog, Reply, day_log, read_reply
from voicelog.types import Change


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of a line."""

    reply: Reply
    changes: tuple[Change, ...] = ()
    noted: Noted | None = None
    """The memo that was added."""


class DayReview:
    """One day's records and the place in the list where the person is."""

    def __init__(self, notebook: Notebook, day: date, now: datetime) -> None:
        """Read the day's memos and records as they stand at `now`."""
        self._notebook = notebook
        self.now = now
        self.day = day
        self.log = self._read(())
        first = self.log.after(0)
        self.current = first.number if first else min(1, len(self.log.items))

    def take(self, line: str) -> Outcome:
        """Do what a line asks for.

        Raises:
            StoreError: it could not be kept; everything stands as it was.
            RequestError: a value does not fit its field.
        """
        farm = self._notebook.setting.farm
        reply = read_reply(line, self.log, self.current, farm=farm, now=self.now)
        if reply.action is Action.ADD:
            return self._add(reply)
        if reply.action is Action.NEXT:
            self._go_on()
        elif reply.number is not None:
            self.current = reply.number
        if not reply.changes:
            return Outcome(reply=reply)
        changes = self._notebook.writing.keep_changes(reply.changes)
        self.log = self._read([item.record.id for item in self.log.items])
        self._go_on()
        return Outcome(reply=reply, changes=changes)

    def _add(self, reply: Reply) -> Outcome:
        if not reply.text:
            raise RequestError("There is no memo to add.", todo="Write its words after the a.")
        # A memo added to an earlier day belongs to that day's last moment.
        ends = datetime.combine(self.day, time(23, 59), tzinfo=self.now.tzinfo)
        noted = self._notebook.note(reply.text, min(self.now, ends))
        self.log = self._read([item.record.id for item in self.log.items])
        return Outcome(reply=reply, noted=noted)

    def _go_on(self) -> None:
        after = self.log.after(self.current)
        if after is not None:
            self.current = after.number

    def _read(self, numbered: list[int] | tuple[int, ...]) -> DayLog:
        store = self._notebook.reading
        starts = datetime.combine(self.day, time(), tzinfo=self.now.tzinfo)
        ends = datetime.combine(self.day + timedelta(days=1), time(), tzinfo=self.now.tzinfo)
        memos = store.memos(starts, ends, as_of=self.now)
        records = [record for memo in memos for record in store.records_of(memo.id, as_of=self.now)]
        return day_log(self.day, memos, records, numbered=numbered)


def day_named(text: str | None, now: datetime) -> date:
    """The day that a date, or words such as "yesterday" or "last friday", name; today for none.

    Raises:
        RequestError: the text names no day.
    """
    if text is None:
        return now.date()
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        pass
    from voicelog.text.times import find_times

    for span in find_times(text, now)[:1]:
        begins = span.when.from_ or span.when.to
        if begins is not None and span.start == 0 and span.end == len(text.rstrip()):
            return begins.date()
    raise RequestError(
        f"{text!r} names no day.",
        todo='Write it like 2027-05-04, or "yesterday", or "last friday".',
    )


def log_form(log: DayLog) -> dict[str, Any]:
    """A day's list as JSON has it."""
    return {
        "date": log.day.isoformat(),
        "memos": [
            {
                "memo_id": memo.id,
                "said_at": memo.said_at.isoformat(),
                "text": memo.text,
                "source": memo.source,
            }
            for memo in log.memos
        ],
        "records": [
            {"number": item.number, **forms.record(item.record), "in_doubt": item.in_doubt}
            for item in log.items
        ],
        "in_doubt": len(log.in_doubt),
        "open": len(log.open),
        "finished": log.finished,
    }


def outcome_form(line: str, outcome: Outcome) -> dict[str, Any]:
    """What came of a line, as JSON has it."""
    noted = outcome.noted
    return {
        "line": line,
        "action": outcome.reply.action.value,
        "number": outcome.reply.number,
        "text": outcome.reply.text,
        "changes": [forms.change(change) for change in outcome.changes],
        "memo_id": None if noted is None else noted.memo.id,
    }
