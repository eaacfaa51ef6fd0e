"""`note`, `parse`, `hear` and `listen`: memos in."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from voicelog import forms
from voicelog.app.notebook import Noted
from voicelog.cli.common import Desk, page, say, stdin_lines, talk, typed, with_common, write
from voicelog.cli.telling import tell_noted, tell_parse
from voicelog.errors import RequestError, VoicelogError

TextArgument = Annotated[
    list[str],
    typer.Argument(metavar="TEXT", help="The memo; - reads one a line from standard input."),
]

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
"""
_HEAR = """
Keep spoken memos from audio files (wav, flac, ogg/opus, mp3, m4a) with their records.

Each file is for itself: one that cannot be heard is told, nothing of it is kept, the others go
on, and the exit code is 1. The recording is copied beside the store. A memo's time is --now
where it was given, else the file's own time of last change, so that what was recorded in the
morning and is heard at night keeps its hour.
"""
_LISTEN = """
Keep spoken memos from the microphone, hands free, until told to stop or Ctrl-C is pressed.

Needs the extra for microphones: pip install 'voicelog[mic]'.
"""


def add_to(app: typer.Typer) -> None:
    """Add the commands of this file to the program."""
    app.command("note", help=page("note", _NOTE))(note)
    app.command("hear", help=page("hear", _HEAR))(hear)
    app.command("listen", help=page("listen", _LISTEN))(listen)
    app.command("parse", help=page("parse", _PARSE))(parse)


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
    now = desk.now()
    _show(desk, desk.notebook.note(said, now))


def _note_lines(desk: Desk) -> None:
    bad = 0
    for number, line in enumerate(stdin_lines(), start=1):
        if not line.strip():
            continue
        try:
            said_at, text = forms.memo_line(line) if desk.json else (None, line)
            if not text.strip():
                raise RequestError("The memo is empty.")
            moment = desk.now() if said_at is None else desk.setting.moment(said_at)
            noted = desk.notebook.note(text, moment)
        except RequestError as problem:
            bad += 1
            talk(f"Line {number} was not kept: {problem.paragraph()}")
            continue
        _show(desk, noted)
    if bad:
        raise typer.Exit(1)


def _show(desk: Desk, noted: Noted) -> None:
    if desk.json:
        form = forms.note(noted.memo, noted.parse, noted.records, noted.changes, noted.problems)
        write(forms.line(form))
    else:
        tell_noted(desk, noted)


@with_common
def parse(desk: Desk, text: TextArgument) -> None:
    """Show what a memo says."""
    now = desk.now()
    if text == ["-"]:
        for line in stdin_lines():
            write(forms.line(forms.parse(desk.notebook.parse(line, now))))
        return
    understood = desk.notebook.parse(typed(text), now)
    if desk.json:
        write(forms.line(forms.parse(understood)))
    else:
        tell_parse(understood)


@with_common
def hear(
    desk: Desk,
    files: Annotated[list[Path], typer.Argument(metavar="FILE…", help="Audio files.")],
    model: Annotated[
        Path | None, typer.Option("--model", help="Folder of another speech model.")
    ] = None,
) -> None:
    """Keep spoken memos from files."""
    from voicelog.app.recordings import hear_file
    from voicelog.cli.screens import progress

    bad = 0
    for file in progress(files, "hearing"):
        try:
            memos = hear_file(desk.notebook, file, model)
        except VoicelogError as problem:
            bad += 1
            talk(f"{file}: {problem.paragraph()}")
            continue
        for noted in memos:
            if desk.json:
                form = forms.note(
                    noted.memo, noted.parse, noted.records, noted.changes, noted.problems
                )
                assert noted.memo.transcript is not None
                write(forms.line(forms.heard(str(file), noted.memo.transcript, form)))
            else:
                say(f"{file}: “{noted.memo.text}”")
                tell_noted(desk, noted)
        if not memos and not desk.json:
            say(f"{file}: no words were heard.")
    if bad:
        raise typer.Exit(1)


@with_common
def listen(
    desk: Desk,
    model: Annotated[
        Path | None, typer.Option("--model", help="Folder of another speech model.")
    ] = None,
) -> None:
    """Keep spoken memos from the microphone."""
    from voicelog.app.recordings import listen_on

    talk("Listening; say “stop listening” or press Ctrl-C to end.")
    for noted in listen_on(desk.notebook, desk.setting, model):
        _show(desk, noted)
