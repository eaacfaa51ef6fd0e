"""`ask` and `left`: what the records say."""

from __future__ import annotations

from typing import Annotated

import typer

from voicelog import forms
from voicelog.cli.common import Desk, add_command, example, say, typed, with_common, write
from voicelog.errors import RequestError
from voicelog.sentences import shortened, when_text

_ASK = """
Answer a question in a sentence, with the memos that the answer rests on.

What nobody recorded is said to have no record; it is never taken for "no" or for none. A question
that is not understood says so and ends with exit code 1.

With --why it shows what each word was used for, how the question was read, how many records were
looked at, which condition left how many out, and how the value came about.
"""
_LEFT = """
Show what is left to do today, what was done or skipped, and what is not due yet.

The chores are those of the farm file. The last line says the same in a breath.

What is due by the records beside them stands under a heading of its own: eggs that were set,
young birds by their age, a hold that ends, a line to test, ground to leave, what is running short.
Each says why. With --json it is the list "due", which is there when anything is due.
"""


def add_to(app: typer.Typer) -> None:
    """Add the commands of this file to the program."""
    add_command(app, "ask", ask, _ASK, brief="Answer a question from the records.")
    add_command(app, "left", left, _LEFT, brief="Show what is left to do today.")


_MOST_MEMOS = 3
"""How many of the memos that an answer rests on are shown; the decisive one is the first."""


@with_common
def ask(
    desk: Desk,
    question: Annotated[list[str], typer.Argument(metavar="QUESTION")],
    why: Annotated[
        bool, typer.Option("--why", help="Show how it was read and what was looked up.")
    ] = False,
) -> None:
    """Answer a question."""
    asked = typed(question)
    if not asked.strip():
        raise RequestError("The question is empty.", todo="Ask in plain words.")
    now = desk.now()
    answer = desk.notebook.ask(asked, now)
    if desk.json:
        form = forms.answer(answer)
        if why:
            form["why"] = forms.question_why(desk.notebook.why_answered(asked, now))
        write(forms.line(form))
    else:
        say(answer.text)
        rested_on = {item.memo: item for item in reversed(answer.evidence)}
        memos = list(reversed(rested_on.values()))
        for item in memos[:_MOST_MEMOS]:
            when = when_text(item.when, now)
            say(f"  memo {item.memo}, {when}: “{shortened(item.text)}”")
        if len(memos) > _MOST_MEMOS:
            say(f"  and {len(memos) - _MOST_MEMOS} more; --json lists them")
        if why:
            from voicelog.cli.explaining import tell_why_answered

            tell_why_answered(desk.notebook.why_answered(asked, now), now)
    if not answer.understood:
        raise typer.Exit(1)


@with_common
def left(desk: Desk) -> None:
    """Show what is left today."""
    from voicelog.app.watch import due_today, with_due
    from voicelog.cli.watched import tell_due

    now = desk.now()
    plan = desk.notebook.left(now)
    dues = due_today(desk.notebook, now)
    if desk.json:
        write(forms.line(with_due(forms.day_plan(plan), dues)))
        return
    if desk.setting.farm.chores:
        from voicelog.cli.screens import day_plan_table, show

        show(day_plan_table(plan, now))
        say(desk.notebook.told(plan))
    else:
        say(_no_chores(desk))
    tell_due(dues, now)


def _no_chores(desk: Desk) -> str:
    how = f"add one, such as:\n  {example('farm add chore')}"
    if desk.setting.farm_exists:
        return f"The farm file {desk.setting.farm_path} names no chores; {how}"
    return f"No chores are known without a farm file; make one with `voicelog farm new` and {how}"
