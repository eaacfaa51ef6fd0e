"""The review of one day, on a notebook: what a line asks for is done and kept at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Any

from voicelog import forms
from voicelog.app.actions import SHOW_LEFT
from voicelog.app.notebook import Notebook, Noted
from voicelog.app.sitting import Step, taken_back
from voicelog.app.watch import due_line, due_today, warnings_about
from voicelog.catalogue import load_catalogue
from voicelog.errors import RequestError
from voicelog.records import NewChange
from voicelog.review import Action, DayLog, Item, Reply, day_log, read_reply
from voicelog.types import Change, ChangeKind, Parse, Record

_LONGEST_QUESTION = 500
"""Characters; a longer line is no question to a list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of a line."""

    reply: Reply
    changes: tuple[Change, ...] = ()
    noted: Noted | None = None
    """The memo that was added."""

    @property
    def answered(self) -> bool:
        """Whether the line was a question, which the reply's text answers."""
        return self.reply.action is Action.ANSWER


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
        self._steps: list[Step] = []

    def take(self, line: str) -> Outcome:
        """Do what a line asks for.

        Raises:
            StoreError: it could not be kept; everything stands as it was.
            RequestError: a value does not fit its field.
        """
        farm = self._notebook.setting.farm
        reply = read_reply(line, self.log, self.current, farm=farm, now=self.now)
        reply = self._answered(line, reply) or reply
        if reply.action is Action.ADD:
            return self._add(reply)
        if reply.action is Action.UNDO:
            return self._undo(reply)
        if reply.action is Action.NEXT:
            self._go_on()
        elif reply.action is Action.PREVIOUS:
            self.current = max(self.current - 1, min(1, len(self.log.items)))
        elif reply.number is not None and not reply.changes:
            self.current = reply.number
        if not reply.changes:
            return Outcome(reply=reply)
        changes, before = self._keep(reply.changes)
        self._steps.append(Step(changes=changes, before=before))
        # A record that was named elsewhere in the list does not move the person from theirs.
        here = self.log.item(self.current)
        if here is None or here.settled:
            self._go_on()
        return Outcome(reply=reply, changes=changes)

    def warnings_at(self, item: Item) -> tuple[str, ...]:
        """The gravest of what a memo warns of, at the last of its records in the list."""
        records = [i.record for i in self.log.items if i.memo.id == item.memo.id]
        if records[-1].id != item.record.id:
            return ()
        found = warnings_about(self._notebook, records, self.now)
        return tuple(f"{warning.text} {warning.caution or ''}".rstrip() for warning in found)

    def _keep(self, wanted: Sequence[NewChange]) -> tuple[tuple[Change, ...], tuple[Record, ...]]:
        """Keep changes and read the list again; with the records as they stood before."""
        touched = {change.record_id for change in wanted}
        before = tuple(i.record for i in self.log.items if i.record.id in touched)
        changes = self._notebook.writing.keep_changes(wanted)
        self.log = self._read([item.record.id for item in self.log.items])
        return changes, before

    def _undo(self, reply: Reply) -> Outcome:
        """Take back the last change of this sitting that is not taken back yet."""
        if not self._steps:
            return _unclear(
                "You changed nothing in this sitting that could be taken back. “Bring back "
                "number 2” brings back a withdrawn record; a field and its value correct one."
            )
        step = self._steps[-1]
        wanted = taken_back(step, self.now)
        touched = {change.record_id for change in step.changes}
        items = [item for item in self.log.items if item.record.id in touched]
        self.current = items[0].number if items else self.current
        numbers = ", ".join(str(item.number) for item in items)
        if not wanted:
            self._steps.pop()
            return _unclear(
                f"Your last change confirmed number {numbers}, which changed no value and stays. "
                "Correct or withdraw it by number if it is wrong."
            )
        changes, _ = self._keep(wanted)
        self._steps.pop()
        told = replace(reply, number=self.current, text=_what_is_back(items, changes))
        return Outcome(reply=told, changes=changes)

    def _answered(self, line: str, reply: Reply) -> Reply | None:
        """The answer, where a line that would change a value, or is unclear, asks something."""
        if not _may_ask(line, reply):
            return None
        plain = " ".join(line.lower().replace("’", "'").split()).rstrip("?!.")
        if plain in load_catalogue().lists.get(SHOW_LEFT, ()):
            told = self._notebook.told(self._notebook.left(self.now))
            also = due_line(due_today(self._notebook, self.now))
            return Reply(action=Action.ANSWER, text=f"{told} {also}".rstrip())
        if only_asks(self._notebook.parse(line, self.now)):
            said = self._notebook.ask(line, self.now)
            return Reply(
                action=Action.ANSWER if said.understood else Action.UNCLEAR, text=said.text
            )
        if line.rstrip().endswith("?") and reply.changes:
            return Reply(
                action=Action.UNCLEAR, text="That is put as a question, so nothing was changed."
            )
        return None

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


def only_asks(parse: Parse) -> bool:
    """Whether words ask something and tell nothing."""
    return bool(parse.questions) and not parse.records and not parse.instructions


def _may_ask(line: str, reply: Reply) -> bool:
    """Whether it is worth reading a line as a question: keys and bare values are not."""
    if reply.action not in (Action.CHANGE, Action.UNCLEAR) or len(line) > _LONGEST_QUESTION:
        return False
    corrects = any(change.kind is ChangeKind.CORRECT for change in reply.changes)
    if line.rstrip().endswith("?"):
        return True
    return len(line.split()) > 1 and (corrects or reply.action is Action.UNCLEAR)


def _what_is_back(items: Sequence[Item], changes: Sequence[Change]) -> str:
    back = {change.record_id for change in changes if change.kind is ChangeKind.CONFIRM}
    told = "Your last change is taken back."
    numbers = [str(item.number) for item in items if item.record.id in back]
    return f"{told} Number {', '.join(numbers)} stands again, as confirmed." if numbers else told


def _unclear(text: str) -> Outcome:
    return Outcome(reply=Reply(action=Action.UNCLEAR, text=text))


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
