"""One short line for what came of spoken words: it is shown, and may be read aloud."""

from __future__ import annotations

from collections.abc import Iterator

from voicelog.app.actions import SHOW_LEFT
from voicelog.app.chatting import Sort, Turn
from voicelog.app.notebook import Notebook, Noted
from voicelog.app.watch import due_line, due_today, told_warning
from voicelog.sentences import change_text, counted, shortened, what_text, when_text

_LONGEST = 300
"""Letters; whoever works does not listen longer."""

STOPPED = "Listening has ended."


def read_back(turn: Turn, notebook: Notebook) -> str:
    """What was understood and done, in one line."""
    told = shortened(" ".join(filter(None, _sentences(turn, notebook))), _LONGEST)
    # First of all, and not at the cost of what was kept.
    return " ".join((*_warnings(turn), told))


def _sentences(turn: Turn, notebook: Notebook) -> Iterator[str]:
    if turn.answer is not None:
        yield turn.answer.text
    elif turn.noted is not None:
        yield from _of_memo(turn.noted, notebook)
    if turn.plan is not None:
        yield notebook.told(turn.plan)
    if turn.dues:
        yield due_line(turn.dues)
    if turn.text:
        yield turn.text
    if turn.outcome is not None:
        yield turn.outcome.reply.text or _changed(len(turn.outcome.changes))
    elif turn.review is not None:
        log = turn.review.log
        yield f"{counted(len(log.items), 'record')}, {len(log.in_doubt)} in doubt."
    if turn.sort is Sort.STOP:
        yield STOPPED


def _warnings(turn: Turn) -> Iterator[str]:
    records = () if turn.noted is None else turn.noted.records
    for warning in turn.warnings:
        yield f"Warning: {shortened(told_warning(warning, records), _LONGEST)}"


def _of_memo(noted: Noted, notebook: Notebook) -> Iterator[str]:
    said_at = noted.memo.said_at
    drafts = [record.draft for record in noted.records]
    told = [
        f"{what_text(draft)} ({when_text(draft.when, said_at)})"
        if draft.when_said
        else what_text(draft)
        for draft in drafts
    ]
    if told:
        yield f"Kept: {'; '.join(told)}."
    for change in noted.changes:
        yield f"Changed: {change_text(change, said_at)}."
    yield from noted.problems
    for question in noted.parse.questions:
        yield notebook.ask(question, said_at).text
    if any(item.action == SHOW_LEFT for item in noted.parse.instructions):
        yield notebook.told(notebook.left(said_at))
        yield due_line(due_today(notebook, said_at))
    doubts = [doubt for draft in drafts for doubt in draft.doubts]
    yield from doubts[:1]
    if len(doubts) > 1:
        yield f"{len(doubts) - 1} more in doubt."


def _changed(changes: int) -> str:
    return f"{counted(changes, 'change')} made." if changes else "Nothing was changed."
