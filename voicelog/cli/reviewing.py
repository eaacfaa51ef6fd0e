"""`review` and `chat`: the day's records gone over, and one place to type anything."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from voicelog import forms
from voicelog.cli.common import Desk, add_command, say, talk, with_common, write
from voicelog.cli.prompt import lines_typed
from voicelog.cli.telling import tell_noted
from voicelog.errors import RequestError
from voicelog.sentences import change_text, counted, day_text, shortened, standing_text
from voicelog.types import ChangeKind

if TYPE_CHECKING:
    from voicelog.app.chatting import Chat
    from voicelog.app.reviewing import DayReview, Outcome
    from voicelog.review import DayLog, Item

_REVIEW = """
Go over a day's records, those in doubt first: confirm, correct or withdraw them, or add a memo.

DATE is a day such as 2027-05-04, "yesterday" or "last friday"; today without one. At the prompt
type a key (h shows them) or plain words: "the second one was ...", "number three: twelve",
"the last one is right", "scratch the first". "undo" takes back your own last change, "bring back
number 2" a withdrawal. "all are right" confirms what is not in doubt. A question is answered and
changes nothing. Lines may be piped in as well. With --json the day is printed as one object, and
what each piped line did as one object a line before it.
"""
_CHAT = """
One place to type anything: a memo, a question, "what's left", an instruction, review words.

A question is answered, a memo kept with its records, "show me today" starts numbering the day's
records for words such as "the second one is right". Lines may be piped in.
"""


def add_to(app: typer.Typer) -> None:
    """Add the commands of this file to the program."""
    add_command(
        app, "review", review, _REVIEW, brief="Go over a day's records; confirm, correct, withdraw."
    )
    add_command(app, "chat", chat, _CHAT, brief="One place to type anything.")


@with_common
def review(
    desk: Desk,
    date: Annotated[str | None, typer.Argument(metavar="[DATE]", help="Today if left out.")] = None,
) -> None:
    """Go over a day's records."""
    from voicelog.app.reviewing import DayReview, day_named, log_form, outcome_form
    from voicelog.review import Action

    now = desk.now()
    at_hand = DayReview(desk.notebook, day_named(date, now), now)
    piped = not sys.stdin.isatty()
    if not desk.json:
        show_log(at_hand)
    unclear = 0
    for line in lines_typed("review> "):
        if piped and not line.strip():
            continue
        outcome = _take(at_hand, line)
        unclear += outcome is None or outcome.reply.action is Action.UNCLEAR
        if outcome is None:
            continue
        if desk.json:
            write(forms.line(outcome_form(line, outcome)))
        else:
            tell_outcome(desk, at_hand, outcome)
        if outcome.reply.action is Action.QUIT:
            break
    if desk.json:
        write(forms.line(log_form(at_hand.log)))
    if piped and unclear:
        raise typer.Exit(1)


def _take(at_hand: DayReview, line: str) -> Outcome | None:
    try:
        return at_hand.take(line)
    except RequestError as problem:
        talk(problem.paragraph())
        return None


def show_log(at_hand: DayReview) -> None:
    """The day's records with their numbers, doubts under them."""
    log = at_hand.log
    say(f"{log.day:%A} {log.day.day} {log.day:%B %Y}: {_counts(log)}.")
    for item in log.items:
        _tell_item(at_hand, item)
        for warning in at_hand.warnings_at(item):
            say(f"      Warning: {warning}")
    without = [m for m in log.memos if all(item.memo.id != m.id for item in log.items)]
    for memo in without:
        say(f"  –  {memo.said_at:%H:%M} “{shortened(memo.text)}” gave no record.")
    _tell_finished(log)


def _tell_item(at_hand: DayReview, item: Item) -> None:
    mark = ">" if item.number == at_hand.current and not at_hand.log.finished else " "
    said_at = item.memo.said_at.astimezone(at_hand.now.tzinfo)
    say(f"{mark}{item.number:3}. {standing_text(item.record, at_hand.now)}")
    say(f"      memo {item.memo.id}, {said_at:%H:%M}: “{shortened(item.record.draft.text)}”")
    if item.in_doubt:
        for doubt in item.record.draft.doubts:
            say(f"      ? {doubt}")


def _counts(log: DayLog) -> str:
    return ", ".join(
        (
            counted(len(log.memos), "memo"),
            counted(len(log.items), "record"),
            f"{len(log.in_doubt)} in doubt",
            f"{len(log.open)} to confirm",
        )
    )


def _tell_finished(log: DayLog) -> None:
    if not log.memos:
        say("No memo was said on this day.")
    elif log.finished:
        say("The day is finished: every record is confirmed, corrected or withdrawn.")


def tell_outcome(desk: Desk, at_hand: DayReview, outcome: Outcome) -> None:
    """What came of a line, for people."""
    from voicelog.review import KEYS, Action

    reply = outcome.reply
    if reply.action is Action.ANSWER:
        say(reply.text)
    elif reply.action is Action.UNCLEAR:
        talk(reply.text)
    elif reply.action is Action.HELP:
        for key, meaning in KEYS.items():
            say(f"  {key}  {meaning}")
        say("  2 FIELD VALUE  correct number 2; plain words do as well")
    elif reply.action is Action.SHOW and reply.number is None:
        show_log(at_hand)
    elif outcome.noted is not None:
        tell_noted(desk, outcome.noted)
        say(f"{day_text(at_hand.day, at_hand.now).capitalize()}: {_counts(at_hand.log)}.")
    elif reply.action in (Action.SHOW, Action.NEXT, Action.PREVIOUS):
        _tell_current(at_hand)
    elif outcome.changes:
        numbers = {item.record.id: item.number for item in at_hand.log.items}
        for change in outcome.changes:
            called = f"number {numbers[change.record_id]}"
            say(f"Changed: {change_text(change, at_hand.now, called)}.")
        if any(c.kind is ChangeKind.WITHDRAW for c in outcome.changes):
            say("u takes that back; “bring back number …” does so later.")
        if reply.text:
            say(reply.text)
        if at_hand.log.finished:
            _tell_finished(at_hand.log)
        else:
            _tell_current(at_hand)


def _tell_current(at_hand: DayReview) -> None:
    item = at_hand.log.item(at_hand.current)
    if item is None or at_hand.log.finished:
        _tell_finished(at_hand.log)
    else:
        _tell_item(at_hand, item)


@with_common
def chat(desk: Desk) -> None:
    """Take lines of any sort."""
    from voicelog.app.chatting import Chat

    talking = Chat(desk.notebook, desk.now)
    if sys.stdin.isatty():
        talk("Type a memo, a question, “what's left” or “show me today”; q ends.")
    for line in lines_typed("> "):
        if line.strip() and not _one_turn(desk, talking, line):
            break


def _one_turn(desk: Desk, talking: Chat, line: str) -> bool:
    """Answer one line; False ends the chat."""
    from voicelog.app.chatting import Sort

    try:
        turn = talking.take(line)
    except RequestError as problem:
        talk(problem.paragraph())
        return True
    if desk.json:
        write(forms.line(turn.form()))
        return turn.sort is not Sort.STOP
    if turn.answer is not None:
        say(turn.answer.text)
    if turn.text:
        say(turn.text)
    if turn.plan is not None:
        from voicelog.app.watch import due_line

        say(f"{desk.notebook.told(turn.plan)} {due_line(turn.dues)}".rstrip())
    if turn.noted is not None:
        tell_noted(desk, turn.noted)
    if turn.outcome is not None and talking.review is not None:
        tell_outcome(desk, talking.review, turn.outcome)
    elif turn.sort is Sort.REVIEW and talking.review is not None:
        show_log(talking.review)
    return turn.sort is not Sort.STOP
