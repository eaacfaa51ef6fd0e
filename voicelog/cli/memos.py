"""`note`, `parse` and `hear`: memos in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from voicelog import forms
from voicelog.app.notebook import Noted
from voicelog.cli.common import Desk, add_command, say, stdin_lines, talk, typed, with_common, write
from voicelog.cli.telling import tell_noted, tell_parse
from voicelog.errors import (
    AudioError,
    FarmFileError,
    ModelError,
    RequestError,
    StoreError,
    VoicelogError,
)
from voicelog.sentences import listed, shortened
from voicelog.types import Parse, Transcript

TextArgument = Annotated[
    list[str],
    typer.Argument(metavar="TEXT", help="The memo; - reads one a line from standard input."),
]

WhyOption = Annotated[bool, typer.Option("--why", help="Show what every word and rule did for it.")]

_NOTE = """
Keep a typed memo and the records in it, and show what was understood and what is in doubt.

The memo is on the disk before anything is made of it. A memo may hold several events, corrects
itself, names what was not done or is planned, and may speak of the memo before: what such words
changed is shown too.

With --json and - for TEXT it reads one {"now", "text"} a line and prints one object a line. A
line that cannot be kept is told with its number; the others go on, and the exit code is 1.
"""
_PARSE = """
Understand a memo and show it; nothing is stored.

With - for TEXT it reads a memo a line from standard input and prints one JSON object a line, in
order. Lines end at line feeds only (CR LF is one); an empty line gives an object without records.

With --why it shows what each word was used for and which rule or entry of the catalogue decided,
and for each record how it was weighed and where each of its fields comes from.
"""
_HEAR = """
Keep spoken memos from audio files (wav, flac, ogg/opus, mp3, m4a) with their records.

Each file is for itself: one that cannot be heard is told, nothing of it is kept, the others go on,
and the exit code is 1. One that was heard before is not kept again: its memo is shown. One that was
cut short is kept as far as it goes, if words are heard in it, and that is told. The recording is
copied beside the store.

Two seconds without a word part the memos of a file. --now is when a file begins, and each memo has
its own time after that. Without --now the last memo's time is when the file was last changed, and
the others' so much earlier: what was recorded in the morning and is heard at night keeps its hour.

With --why it shows besides which reading of the sound was taken, and what each word of it did.
"""


def add_to(app: typer.Typer) -> None:
    """Add the commands of this file to the program."""
    add_command(app, "note", note, _NOTE, brief="Keep a typed memo and the records in it.")
    add_command(app, "hear", hear, _HEAR, brief="Keep spoken memos from audio files.")
    add_command(app, "parse", parse, _PARSE, brief="Show what a memo says; store nothing.")


@with_common
def note(desk: Desk, text: TextArgument) -> None:
    """Keep typed memos."""
    if text == ["-"]:
        _note_lines(desk)
        return
    said = typed(text)
    if not said.strip():
        raise RequestError(
            "The memo is empty.", kept="Nothing was kept.", todo="Write what was done."
        )
    now = memo_now(desk)
    _show(desk, desk.notebook.note(said, now))


def memo_now(desk: Desk) -> datetime:
    """The time of a memo, which a fault in the farm file does not stop."""
    try:
        return desk.setting.memo_now()
    except RequestError as problem:
        raise typer.BadParameter(problem.paragraph(), param_hint="--now") from problem


def _note_lines(desk: Desk) -> None:
    bad = 0
    for number, line in enumerate(stdin_lines(), start=1):
        if not line.strip():
            continue
        try:
            said_at, text = forms.memo_line(line) if desk.json else (None, line)
            if not text.strip():
                raise RequestError("The memo is empty.")
            zone = desk.setting.memo_timezone
            moment = memo_now(desk) if said_at is None else desk.setting.moment(said_at, zone)
            noted = desk.notebook.note(text, moment)
        except RequestError as problem:
            bad += 1
            talk(f"Line {number} was not kept: {problem.paragraph()}")
        except FarmFileError as problem:
            # The lines after it are to be kept whole as well.
            bad += 1
            talk(f"Line {number}: {problem.paragraph() if bad == 1 else problem.kept}")
        except VoicelogError:
            raise
        except Exception as problem:
            # The lines after one that breaks the parser are still to be kept.
            bad += 1
            talk(f"Line {number} met a fault in the program, {problem!r}. {desk.kept()}")
        else:
            _show(desk, noted)
    if bad:
        raise typer.Exit(1)


def _show(desk: Desk, noted: Noted) -> None:
    if desk.json:
        write(forms.line(_form(desk, noted)))
    else:
        tell_noted(desk, noted)


def _form(desk: Desk, noted: Noted) -> forms.Form:
    from voicelog.app.watch import warning_form, warnings_of

    form = forms.note(noted.memo, noted.parse, noted.records, noted.changes, noted.problems)
    warnings = warnings_of(desk.notebook, noted)
    return {**form, "warnings": [warning_form(warning) for warning in warnings]}


@with_common
def parse(
    desk: Desk,
    text: TextArgument,
    why: WhyOption = False,
) -> None:
    """Show what a memo says."""
    now = desk.now()
    if text == ["-"]:
        for line in stdin_lines():
            write(forms.line(_parsed(desk, line, now, why=why)))
        return
    if desk.json:
        write(forms.line(_parsed(desk, typed(text), now, why=why)))
        return
    understood = desk.notebook.parse(typed(text), now)
    tell_parse(understood)
    if why:
        _tell_why(desk, typed(text), understood)


def _tell_why(desk: Desk, memo: str | Transcript, understood: Parse) -> None:
    from voicelog.cli.explaining import tell_why

    why = desk.notebook.why_parsed(memo, understood.now)
    tell_why(why, understood.records, understood.now)


def _parsed(desk: Desk, text: str, now: datetime, *, why: bool) -> forms.Form:
    form = forms.parse(desk.notebook.parse(text, now))
    if why:
        form["why"] = forms.memo_why(desk.notebook.why_parsed(text, now))
    return form


@with_common
def hear(
    desk: Desk,
    files: Annotated[list[str], typer.Argument(metavar="FILE…", help="Audio files.")],
    model: Annotated[
        Path | None, typer.Option("--model", help="Folder of another speech model.")
    ] = None,
    again: Annotated[
        bool, typer.Option("--again", help="Keep recordings anew that were heard before.")
    ] = False,
    why: WhyOption = False,
) -> None:
    """Keep spoken memos from files."""
    from voicelog.app.recordings import hear_file
    from voicelog.cli.screens import progress

    memo_now(desk)
    bad = 0
    for file in progress(files, "hearing"):
        try:
            heard = hear_file(desk.notebook, Path(file), model, again=again)
        except (AudioError, FarmFileError, ModelError, StoreError) as problem:
            bad += 1
            talk(_of_file(file, problem))
        else:
            # The name stands as it was given: a path would lose a leading "./".
            _show_heard(desk, file, heard, why=why)
    if bad:
        raise typer.Exit(1)


def _of_file(file: str, problem: VoicelogError) -> str:
    """The error, naming the file once and as it was given."""
    told, name = problem.paragraph(), Path(file).name
    if told.startswith(name):
        return f"{file}{told.removeprefix(name)}"
    return told if file in told else f"{file}: {told}"


def _show_heard(desk: Desk, file: str, heard: Sequence[Noted], *, why: bool) -> None:
    if any(noted.heard_before for noted in heard):
        ids = listed([str(noted.memo.id) for noted in heard])
        talk(
            f"{file}: heard already as {'memo' if len(heard) == 1 else 'memos'} {ids}; nothing is "
            "kept again. To keep it anew, give --again."
        )
    for noted in heard:
        transcript = noted.memo.transcript
        if desk.json and transcript is not None:
            for problem in noted.problems:
                talk(f"{file}: {problem}")
            form = forms.heard(file, transcript, _form(desk, noted))
            if why:
                told = desk.notebook.why_parsed(transcript, noted.memo.said_at)
                form["why"] = forms.memo_why(told)
            write(forms.line(form))
            continue
        say(f"{_where(file, heard, noted)}: {_words(noted)}")
        tell_noted(desk, noted)
        if why and transcript is not None:
            # What is kept may have been understood by an earlier version.
            _tell_why(desk, transcript, desk.notebook.parse(transcript, noted.memo.said_at))


def _where(file: str, heard: Sequence[Noted], noted: Noted) -> str:
    """The file, and where it holds several memos, how far into it this one begins."""
    if len(heard) == 1 or noted.memo.transcript is None:
        return file
    seconds = int(noted.memo.transcript.from_s)
    return f"{file} at {seconds // 60}:{seconds % 60:02}"


def _words(noted: Noted) -> str:
    return f"“{shortened(noted.memo.text)}”" if noted.memo.text else "no words were heard."
