"""What was understood, read back in short plain lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from voicelog.app.actions import SHOW_LEFT
from voicelog.app.notebook import Noted
from voicelog.cli.common import Desk, say
from voicelog.cli.watched import tell_warnings
from voicelog.sentences import cautions_of, change_text, record_text, shortened
from voicelog.types import Draft, Parse


def tell_parse(parse: Parse) -> None:
    """A memo that was understood and not stored."""
    _tell_records(parse.records, parse.now)
    for question in parse.questions:
        say(f"Question: {shortened(question)}")
    for instruction in parse.instructions:
        say(f"Instruction: {shortened(instruction.text)} ({instruction.action.replace('_', ' ')})")
    _tell_rest(parse.records, parse.unused)
    if not (parse.records or parse.questions or parse.instructions or parse.unused):
        say("Nothing was said.")


def tell_noted(desk: Desk, noted: Noted) -> None:
    """A memo that was kept, what its instructions changed, and the answers it asks for."""
    from voicelog.app.watch import due_line, due_today, warnings_of

    say(f"Kept as memo {noted.memo.id}.")
    drafts = tuple(record.draft for record in noted.records)
    _tell_records(drafts, noted.memo.said_at)
    tell_warnings(warnings_of(desk.notebook, noted), noted)
    for change in noted.changes:
        say(f"Changed: {change_text(change, noted.memo.said_at)}.")
    for problem in noted.problems:
        say(f"? {problem}")
    for question in noted.parse.questions:
        answer = desk.notebook.ask(question, noted.memo.said_at)
        say(f"{shortened(question)} — {answer.text}")
    if any(item.action == SHOW_LEFT for item in noted.parse.instructions):
        told = desk.notebook.told(desk.notebook.left(noted.memo.said_at))
        also = due_line(due_today(desk.notebook, noted.memo.said_at))
        say(f"{told} {also}".rstrip())
    _tell_rest(drafts, noted.parse.unused)


def _tell_records(drafts: Sequence[Draft], now: datetime) -> None:
    for number, draft in enumerate(drafts, start=1):
        say(f"{number:3}. {record_text(draft, now)}")
        for doubt in draft.doubts:
            say(f"     ? {doubt}")


def _tell_rest(drafts: Iterable[Draft], unused: Sequence[str]) -> None:
    for caution in cautions_of(drafts):
        say(f"Caution: {caution.text}")
    if unused:
        say(f"Left over: {'; '.join(shortened(words) for words in unused)}")
