"""A conversation by voice: each utterance is kept with its sound, understood and read back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from voicelog.app.chatting import Chat, Sort, Turn
from voicelog.app.notebook import Notebook
from voicelog.app.read_back import read_back
from voicelog.errors import FarmFileError, RequestError, VoicelogError
from voicelog.sentences import listed

if TYPE_CHECKING:
    from voicelog.hearing.listening import Heard, Utterance
    from voicelog.hearing.vosk_engine import Recogniser


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One utterance and what came of it."""

    text: str
    """The words, without those that woke the listener."""
    line: str
    """What to read back."""
    turn: Turn | None = None
    """None where it failed; `line` then says why and what was kept."""


class HandsFree:
    """Takes what listening gives, until one says to stop."""

    def __init__(
        self,
        notebook: Notebook,
        *,
        wake: Sequence[str] = (),
        partly: Callable[[str], None] | None = None,
        unsure: Callable[[str], None] | None = None,
    ) -> None:
        """Talk on a notebook.

        Args:
            notebook: where memos are kept.
            wake: words that a memo must begin with; others are not kept.
            partly: is shown the words heard so far of the utterance that is going on.
            unsure: is shown what was heard and not kept, being hardly speech.
        """
        self.chat = Chat(notebook, notebook.setting.memo_now)
        self._notebook = notebook
        self._wake = tuple(wake)
        self._partly = partly
        self._unsure = unsure

    def take(self, heard: Iterable[Heard]) -> Iterator[Said]:
        """What came of each utterance, when it is kept and understood.

        Raises:
            StoreError: an utterance could not be kept; those before it are.
        """
        from voicelog.hearing.listening import Partial, Unsure

        with TemporaryDirectory(prefix="voicelog-") as folder:
            for item in heard:
                if isinstance(item, Partial):
                    self._show(self._partly, item.text)
                elif isinstance(item, Unsure):
                    self._show(self._unsure, item.text)
                else:
                    said = self._said(item, Path(folder) / "utterance.wav")
                    if said is not None:
                        yield said
                    if said is not None and said.turn is not None and said.turn.sort is Sort.STOP:
                        return

    def _show(self, shown: Callable[[str], None] | None, text: str) -> None:
        from voicelog.hearing.wake import is_called

        if shown is not None:
            shown(text if is_called(text, self._wake) else "")

    def _said(self, utterance: Utterance, file: Path) -> Said | None:
        from voicelog.hearing.audio import write_wav
        from voicelog.hearing.wake import without_wake

        transcript = utterance.transcript
        called = without_wake(transcript, self._wake) if self._wake else transcript
        if called is None:
            return None
        write_wav(file, utterance.samples)
        self._notebook.last_kept = None
        try:
            turn = self.chat.take_spoken(called, file)
        except (RequestError, FarmFileError) as problem:
            return Said(text=called.text, line=problem.paragraph())
        except VoicelogError:
            raise
        except Exception as problem:
            # The utterances after one that breaks the parser are still to be kept.
            memo = self._notebook.last_kept
            if memo is None:
                raise
            return Said(
                text=called.text,
                line=f"It is kept as memo {memo.id}, but could not be understood "
                f"({type(problem).__name__}: {problem}).",
            )
        return Said(text=called.text, line=read_back(turn, self._notebook), turn=turn)


def wake_words(text: str, recogniser: Recogniser) -> tuple[str, ...]:
    """The words of `text` as they are heard.

    Raises:
        RequestError: there is none, or the recogniser's vocabulary lacks one.
    """
    words = tuple(text.lower().replace("’", "'").split())
    unknown = [word for word in words if not recogniser.knows(word)]
    if not words or unknown:
        raise RequestError(
            f"The speech model does not know {listed(unknown)}, so no memo can begin with it."
            if unknown
            else "No word is given that memos are to begin with.",
            kept="Nothing was kept.",
            todo="Choose words of everyday English.",
        )
    return words
