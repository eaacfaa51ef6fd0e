"""Recordings with spoken memos, kept like typed ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from voicelog import clock
from voicelog.app.notebook import Notebook, Noted
from voicelog.app.setting import Setting
from voicelog.errors import AudioError
from voicelog.sentences import counted, listed
from voicelog.types import HeardMemo, Transcript


def hear_file(
    notebook: Notebook, file: Path, model: Path | None = None, *, again: bool = False
) -> tuple[Noted, ...]:
    """Hear a file and keep the memos in it, the recording beside the store.

    A recording without words is kept too, as a memo without text: a better model may hear more.
    One that was cut short is kept as far as it goes, with a problem that says so, if words are
    heard in it.

    Args:
        notebook: where they are kept.
        file: the recording; long pauses part the memos in it.
        model: folder of another speech model than the farm's.
        again: keep a recording anew that was heard already; else its memos are given back.

    Raises:
        AudioError: it is not there or cannot be heard; nothing of it was kept.
        ModelError: the speech model cannot be used; nothing was kept.
        StoreError: it could not be kept.
        FarmFileError: the farm file has faults; the memos are kept, to be understood later.
    """
    from voicelog import hearing
    from voicelog.hearing.audio import cut_short, how_it_breaks_off

    changed = _last_changed(notebook.setting, file)
    before = () if again else notebook.heard_before(file)
    if before:
        return before
    transcripts = hearing.transcribe_memos(file, notebook.model_to_hear(model))
    broken_off = how_it_breaks_off(file)
    if broken_off and not any(transcript.text for transcript in transcripts):
        raise cut_short(file, broken_off)
    *noted, last = notebook.note_heard(file, _timed(notebook.setting, changed, transcripts))
    if broken_off:
        told = _heard_in_part(file, broken_off, (*noted, last))
        last = replace(last, problems=(*last.problems, told))
    return (*noted, last)


def _timed(
    setting: Setting, changed: datetime, transcripts: Sequence[Transcript]
) -> tuple[HeardMemo, ...]:
    """When each memo was said: `--now` is the beginning of a recording.

    Without it, the file's last change is when the last of its memos was said.
    """
    began = changed - timedelta(seconds=transcripts[-1].from_s)
    if setting.now_said is not None:
        began = setting.memo_now()
    return tuple(
        HeardMemo(said_at=_later(began, transcript.from_s), transcript=transcript)
        for transcript in transcripts
    )


def _later(began: datetime, seconds: float) -> datetime:
    """So many seconds of real time later, to the second, on the same clock."""
    moment = (began.astimezone(UTC) + timedelta(seconds=seconds)).astimezone(began.tzinfo)
    return (moment + timedelta(microseconds=500_000)).replace(microsecond=0)


def _heard_in_part(file: Path, how: str, noted: Sequence[Noted]) -> str:
    memos = counted(len(noted), "memo")
    numbers = listed([str(one.memo.id) for one in noted])
    of_them = f"memo {numbers}" if len(noted) == 1 else f"its {memos} ({numbers})"
    return (
        f"{file.name} breaks off: {how}. It was heard and kept as far as it goes. If the whole "
        f"recording turns up, withdraw the records of {of_them} before hearing that one."
    )


def _last_changed(setting: Setting, file: Path) -> datetime:
    """When a file was last changed, but never later than the present, on the farm's clock."""
    present = clock.now_in(setting.memo_timezone)
    try:
        changed = datetime.fromtimestamp(file.stat().st_mtime, UTC)
    except OSError as problem:
        raise AudioError(
            f"The file {file} cannot be read: {problem.strerror}.",
            kept="Nothing of it was kept.",
            todo="Check its name.",
        ) from problem
    return min(present, changed.astimezone(present.tzinfo).replace(microsecond=0))
