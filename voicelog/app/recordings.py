"""Spoken memos: files and the microphone, kept like typed ones."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from voicelog import clock
from voicelog.app.actions import STOP
from voicelog.app.notebook import Notebook, Noted
from voicelog.app.setting import Setting
from voicelog.catalogue import load_catalogue
from voicelog.errors import AudioError


def hear_file(notebook: Notebook, file: Path, model: Path | None = None) -> Noted:
    """Hear a file and keep the memo in it, the recording beside the store.

    A recording without words is kept too, as a memo without text: a better model may hear more.

    Raises:
        AudioError: it is not there or cannot be heard; nothing of it was kept.
        ModelError: the speech model cannot be used; nothing was kept.
        StoreError: it could not be kept.
    """
    from voicelog import hearing

    said_at = _said_at(notebook.setting, file)
    transcript = hearing.transcribe(file, model)
    return notebook.note(
        transcript.text, said_at, source="audio", transcript=transcript, audio=file
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
                notebook.setting.now(),
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
