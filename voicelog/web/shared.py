"""One notebook for all requests, used by one thread at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from threading import RLock
from typing import Self

from voicelog.app import Notebook, Noted, Setting
from voicelog.errors import FarmFileError, VoicelogError
from voicelog.types import HeardMemo, Memo, Transcript


class KeptUnreadError(VoicelogError):
    """A memo is kept, but what should follow from it failed."""

    def __init__(self, memo: Memo, problem: Exception) -> None:
        """Name the memo and what went wrong after it was kept."""
        self.memo = memo
        why = (
            problem.what
            if isinstance(problem, VoicelogError)
            else f"A fault in the program stopped this: {type(problem).__name__}: {problem}."
        )
        super().__init__(
            f"The memo is kept as number {memo.id}, but could not be understood now. {why}",
            kept="No word of it is lost.",
            todo="It is tried again when the program starts next; it need not be sent again.",
        )


class SharedNotebook(Notebook):
    """A notebook that several threads may ask; the parser and the store are opened once.

    Hearing a recording takes long and needs neither, so it goes on outside the lock: only one
    recording is heard at a time, and the screens stay quick meanwhile.
    """

    def __init__(self, setting: Setting, tell: Callable[[str], None]) -> None:
        """Share a notebook on a setting; `tell` takes sentences for whoever runs the server.

        Raises:
            FarmFileError: the farm file has faults.
        """
        super().__init__(setting, tell)
        self.hearing = RLock()
        """Held while a recording is heard."""
        self.farm_trouble = ""
        """Why the farm file, changed since, cannot be read; empty when it can."""
        self._lock = RLock()
        self._farm_read = _stamp(setting.farm_path)
        # Read now, so that there is a farm to go on with when its file is spoilt later.
        assert setting.farm

    @contextmanager
    def at_work(self) -> Iterator[Self]:
        """The notebook for this thread alone, with the farm file as it is now."""
        with self._lock:
            self._read_farm_again()
            yield self

    def note(
        self,
        text: str,
        said_at: datetime,
        *,
        source: str = "typed",
        transcript: Transcript | None = None,
        audio: Path | None = None,
    ) -> Noted:
        """Keep a memo and understand it.

        Raises:
            KeptUnreadError: the memo is kept and something after that failed.
            StoreError: the memo was not kept.
        """
        with self._keeping():
            return super().note(text, said_at, source=source, transcript=transcript, audio=audio)

    def note_heard(self, audio: Path, heard: Sequence[HeardMemo]) -> tuple[Noted, ...]:
        """Keep the memos of a recording and understand them.

        Raises:
            KeptUnreadError: the memos are kept and something after that failed.
            StoreError: the memos were not kept.
        """
        with self._keeping():
            return super().note_heard(audio, heard)

    @contextmanager
    def _keeping(self) -> Iterator[None]:
        with self.at_work():
            self.last_kept = None
            try:
                yield
            except Exception as problem:
                if self.last_kept is None:
                    raise
                raise KeptUnreadError(self.last_kept, problem) from problem

    def _read_farm_again(self) -> None:
        stamp = _stamp(self.setting.farm_path)
        if stamp == self._farm_read:
            return
        self._farm_read = stamp
        fresh = replace(self.setting)
        try:
            # Reads the file; a memo must not be refused for a slip in it.
            assert fresh.farm
        except FarmFileError as problem:
            self.farm_trouble = problem.paragraph()
            return
        self.farm_trouble = ""
        self.setting = fresh
        self.__dict__.pop("parser", None)


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
