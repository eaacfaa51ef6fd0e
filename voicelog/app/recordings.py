"""Spoken memos: files and the microphone, kept like typed ones."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from voicelog import clock
from voicelog.app.notebook import Notebook, Noted
from voicelog.app.setting import Setting
from voicelog.errors import AudioError


def hear_file(notebook: Notebook, file: Path, model: Path | None = None) -> tuple[Noted, ...]:
    """Hear a file and keep the memos in it, the recording beside the store.

    Raises:
        AudioError: it is not there or cannot be heard; nothing of it was kept.
        ModelError: the speech model cannot be used.
        StoreError: it could not be kept.
    """
    said_at = _said_at(notebook.setting, file)
    from voicelog import hearing

    heard = hearing.transcribe(file, model)
    transcripts = heard if isinstance(heard, tuple) else (heard,)
    return tuple(
        notebook.note(transcript.text, said_at, source="audio", transcript=transcript, audio=file)
        for transcript in transcripts
        if transcript.text.strip()
    )


def listen_on(notebook: Notebook, setting: Setting, model: Path | None = None) -> Iterator[Noted]:
    """Keep each utterance at the microphone, until told to stop.

    Raises:
        AudioError: there is no microphone, or its library is not installed.
    """
    raise AudioError("There is no microphone.")


def _said_at(setting: Setting, file: Path) -> datetime:
    """`--now`, else when the file was last changed, but never later than the present."""
    if setting.now_said is not None:
        return setting.now()
    present = clock.now_in(setting.farm.timezone)
    try:
        changed = datetime.fromtimestamp(file.stat().st_mtime, UTC)
    except OSError as problem:
        raise AudioError(
            f"The file {file} cannot be read: {problem.strerror}.",
            kept="Nothing of it was kept.",
            todo="Check its name.",
        ) from problem
    return min(present, changed.astimezone(present.tzinfo).replace(microsecond=0))
