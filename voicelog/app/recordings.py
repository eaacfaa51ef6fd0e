"""Spoken memos: files and the microphone, kept like typed ones."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from voicelog import clock
from voicelog.app.actions import STOP
from voicelog.app.notebook import Notebook, Noted
from voicelog.app.setting import Setting
from voicelog.catalogue import load_catalogue
from voicelog.errors import AudioError


def hear_file(
    notebook: Notebook, file: Path, model: Path | None = None, *, again: bool = False
) -> Noted:
    """Hear a file and keep the memo in it, the recording beside the store.

    A recording without words is kept too, as a memo without text: a better model may hear more.
    One that was cut short is kept as far as it goes, with a problem that says so, if words are
    heard in it.

    Args:
        notebook: where it is kept.
        file: the recording.
        model: folder of another speech model.
        again: keep a recording anew that is a memo already; else that memo is given back.

    Raises:
        AudioError: it is not there or cannot be heard; nothing of it was kept.
        ModelError: the speech model cannot be used; nothing was kept.
        StoreError: it could not be kept.
        FarmFileError: the farm file has faults; the memo is kept, to be understood later.
    """
    from voicelog import hearing
    from voicelog.hearing.audio import cut_short, how_it_breaks_off

    said_at = _said_at(notebook.setting, file)
    before = None if again else notebook.heard_before(file)
    if before is not None:
        return before
    transcript = hearing.transcribe(file, model)
    broken_off = how_it_breaks_off(file)
    if broken_off and not transcript.text:
        raise cut_short(file, broken_off)
    noted = notebook.note(
        transcript.text, said_at, source="audio", transcript=transcript, audio=file
    )
    if not broken_off:
        return noted
    return replace(noted, problems=(*noted.problems, _heard_in_part(file, broken_off, noted)))


def _heard_in_part(file: Path, how: str, noted: Noted) -> str:
    return (
        f"{file.name} breaks off: {how}. It was heard and kept as far as it goes. If the whole "
        f"recording turns up, withdraw the records of memo {noted.memo.id} before hearing that one."
    )


def listen_on(
    notebook: Notebook,
    model: Path | None = None,
    *,
    started: Callable[[], None],
    partly: Callable[[str], None] | None = None,
) -> Iterator[Noted]:
    """Keep each utterance at the microphone, until one says to stop.

    Args:
        notebook: where they are kept.
        model: folder of another speech model.
        started: is called when the microphone is open.
        partly: is shown the words heard so far of the utterance that is going on.

    Raises:
        AudioError: there is no microphone, or its library is not installed.
        ModelError: the speech model cannot be used.
    """
    from voicelog.hearing import load_recogniser
    from voicelog.hearing.listening import listen
    from voicelog.hearing.microphone import microphone

    with microphone() as chunks:
        heard = listen(load_recogniser(model), chunks)
        started()
        yield from keep_heard(notebook, heard, partly)


def keep_heard(
    notebook: Notebook, heard: Iterable[object], partly: Callable[[str], None] | None = None
) -> Iterator[Noted]:
    """Keep what listening gives, each utterance with its sound; ends when one says to stop."""
    from voicelog.hearing.audio import write_wav
    from voicelog.hearing.listening import Partial, Utterance

    with TemporaryDirectory(prefix="voicelog-") as folder:
        file = Path(folder) / "utterance.wav"
        for item in heard:
            if isinstance(item, Partial) and partly is not None:
                partly(item.text)
            if not isinstance(item, Utterance):
                continue
            write_wav(file, item.samples)
            noted = notebook.note(
                item.transcript.text,
                notebook.setting.memo_now(),
                source="audio",
                transcript=item.transcript,
                audio=file,
            )
            yield noted
            if _says_stop(noted):
                return


def _says_stop(noted: Noted) -> bool:
    said = " ".join(noted.memo.text.lower().split())
    asked = any(item.action == STOP for item in noted.parse.instructions)
    return asked or said in load_catalogue().lists.get(STOP, ())


def _said_at(setting: Setting, file: Path) -> datetime:
    """`--now`, else when the file was last changed, but never later than the present."""
    if setting.now_said is not None:
        return setting.memo_now()
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
