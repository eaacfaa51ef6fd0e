"""The store: what was said, kept for good, and what stands of it.

    memo ──parse──▶ record ──change──▶ standing
     kept for good ────────────────▶   derived

Every call is one transaction. Whatever a call that writes has kept is on the disk when it
returns. What only few commands use is imported where it is used, to keep the others quick.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlalchemy import Connection

from voicelog.records import keeping, questions, standing
from voicelog.records.audio import AudioFolder
from voicelog.records.engine import open_engine, shown, sqlite_path, writing
from voicelog.records.reader import StoreReader
from voicelog.records.trouble import in_sentences
from voicelog.records.wanted import Fault, Imported, NewChange
from voicelog.types import Change, HeardMemo, Memo, Parse, Record, Transcript

_NOTHING_KEPT = "Nothing of the memo was kept."
_MEMO_KEPT = "The memo itself is kept, and will be understood at the next start."
_AS_IT_WAS = "Everything stands as it was."


class Store(StoreReader):
    """One farm's memos and records; safe to use from several threads."""

    @classmethod
    def open(cls, where: str, *, create: bool = True, audio: Path | None = None) -> Self:
        """Open a store, making it or bringing it to the present form first where needed.

        Args:
            where: a SQLite file, or any SQLAlchemy URL.
            create: make the store where there is none; its folder must exist.
            audio: the folder for recordings; beside a SQLite store it is `<store>.audio`.

        Raises:
            StoreError: there is no store, it cannot be opened, or it is something else.
        """
        engine = open_engine(where, create=create)
        path = sqlite_path(where)
        if audio is None and path is not None:
            audio = path.with_name(f"{path.name}.audio")
        return cls(engine, shown(where), None if audio is None else AudioFolder(path=audio))

    def close(self) -> None:
        """Let go of the file or server."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def keep_memo(
        self,
        *,
        said_at: datetime,
        text: str,
        source: str,
        transcript: Transcript | None = None,
        audio: Path | None = None,
    ) -> Memo:
        """Keep a memo whole; a recording is copied in before the memo is written.

        Raises:
            StoreError: nothing was kept, and the error says why.
            ValueError: `said_at` has no offset.
        """
        blob = None if audio is None else self._audio_folder().keep(audio)
        with self._writing(_NOTHING_KEPT) as connection:
            return keeping.keep_memo(
                connection,
                said_at=said_at,
                text=text,
                source=source,
                transcript=transcript,
                blob=blob,
            )

    def keep_heard(self, audio: Path, heard: Sequence[HeardMemo]) -> tuple[Memo, ...]:
        """Keep the memos heard in one recording: all of them or none.

        A recording of which only some memos were kept would pass for one that was heard.

        Raises:
            StoreError: nothing was kept, and the error says why.
            ValueError: a `said_at` has no offset.
        """
        blob = self._audio_folder().keep(audio)
        with self._writing(_NOTHING_KEPT) as connection:
            return tuple(
                keeping.keep_memo(
                    connection,
                    said_at=memo.said_at,
                    text=memo.transcript.text,
                    source="audio",
                    transcript=memo.transcript,
                    blob=blob,
                )
                for memo in heard
            )

    def keep_parse(
        self, memo_id: int, parse: Parse, *, parser: str, changes: Sequence[NewChange] = ()
    ) -> tuple[Record, ...]:
        """Keep what was understood of a memo, with the changes that its instructions ask for.

        A newer parse replaces the records of the older ones, except those that a person has
        confirmed, corrected or withdrawn: see `reparse.place`.

        Args:
            memo_id: the memo understood.
            parse: what was understood.
            parser: name and version of what understood it.
            changes: changes to other records that the memo asks for; none for a memo parsed
                again, because its changes are kept already.

        Returns:
            Every record of the memo that now stands, in the order said.

        Raises:
            RequestError: the memo or a changed record is unknown, or a value does not fit.
            StoreError: nothing of it was kept.
        """
        with self._writing(_MEMO_KEPT) as connection:
            keeping.keep_parse(connection, memo_id, parse, parser)
            keeping.keep_changes(connection, changes)
            return questions.records_of(connection, memo_id, None)

    def keep_changes(self, changes: Sequence[NewChange]) -> tuple[Change, ...]:
        """Keep changes to records: all of them or none.

        Raises:
            RequestError: a record or memo is unknown, or a value does not fit its field.
            StoreError: none was kept.
        """
        with self._writing(_AS_IT_WAS) as connection:
            return keeping.keep_changes(connection, changes)

    def export_lines(self) -> Iterator[str]:
        """Everything kept for good, as JSON a line, without line ends; recordings by name only.

        Equal stores give equal lines. The whole is one view of the store, held open until the
        last line is taken.
        """
        from voicelog.records import transfer

        with self.view() as connection:
            yield from transfer.export_lines(connection)

    def import_lines(self, lines: Iterable[str], *, audio: Path | None = None) -> Imported:
        """Add what `export_lines` wrote: all of it or nothing.

        Ids are kept in an empty store; elsewhere new ones are given. A memo that the store
        holds already is left as it is, with its records and their history.

        Args:
            lines: the export.
            audio: a folder of recordings to copy in from, laid out as a store's own.

        Raises:
            StoreError: a line is not what an export writes.
        """
        from voicelog.records import transfer

        with self._writing("Nothing was imported.") as connection:
            return transfer.import_lines(connection, lines, audio, self._folder)

    def backup(self, to: Path) -> None:
        """Copy the store and its recordings to `to` and `<to>.audio`, while it may be in use.

        The copy is a store itself. It is complete once `to` is there.

        Raises:
            StoreError: `to` is there already, or cannot be written.
        """
        from voicelog.records import backup

        backup.back_up(self._engine, self.where, self._folder, to)

    @classmethod
    def restore(cls, source: Path, where: str, *, audio: Path | None = None) -> Path | None:
        """Make the store at `where` from a backup; one that is there is set aside, not lost.

        Returns:
            Where the store that was there has been set aside to; None where there was none.

        Raises:
            StoreError: the backup is not sound, or the store at `where` is in use.
        """
        from voicelog.records import backup

        return backup.restore(source, where, audio)

    def rebuild(self) -> None:
        """Derive everything that questions read anew from what was kept for good."""
        with self._writing(_AS_IT_WAS) as connection:
            standing.rebuild(connection)

    def check(self) -> tuple[Fault, ...]:
        """Every fault found by reading the whole store and its recordings; empty when sound."""
        from voicelog.records import check

        with self.view() as connection:
            return check.faults(connection, self._folder)

    @contextmanager
    def _writing(self, kept: str) -> Iterator[Connection]:
        with in_sentences(self.where, kept), writing(self._engine) as connection:
            yield connection
