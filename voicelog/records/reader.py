"""The half of a store that reads."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlalchemy import Connection, Engine, select

from voicelog.errors import StoreError
from voicelog.records import history, keeping, questions
from voicelog.records.audio import AudioFolder, sha256_of
from voicelog.records.engine import reading
from voicelog.records.moments import ticks
from voicelog.records.schema import change, memo, parse, record
from voicelog.records.trouble import in_sentences
from voicelog.records.wanted import DayTotal, Extremes, PlaceRecord, UnitSum, Wanted
from voicelog.types import Change, Memo, Parse, Record


class StoreReader:
    """What can be asked of a store; safe to use from several threads."""

    def __init__(self, engine: Engine, where: str, folder: AudioFolder | None) -> None:
        """Use `Store.open`."""
        self._engine = engine
        self._folder = folder
        self.where = where
        """The file or address, without a password."""

    @contextmanager
    def view(self) -> Iterator[Connection]:
        """One unchanging view of the store, for questions of this room's own making.

        Raises:
            StoreError: the store cannot be read.
        """
        with in_sentences(self.where), reading(self._engine) as connection:
            yield connection

    def unparsed(self) -> tuple[Memo, ...]:
        """Memos kept but never parsed, as a crash between the two leaves them; oldest first."""
        query = history.select_memos().where(memo.c.id.not_in(select(parse.c.memo_id)))
        with self.view() as connection:
            rows = connection.execute(query.order_by(memo.c.id))
            return tuple(history.memo_from(row) for row in rows)

    def memo(self, memo_id: int) -> Memo:
        """One memo.

        Raises:
            RequestError: there is no such memo.
        """
        with self.view() as connection:
            return keeping.memo_of(connection, memo_id)

    def memos_of_recording(self, file: Path) -> tuple[Memo, ...]:
        """The memos first heard in a recording with the same bytes; none where there is none.

        A recording may have been heard again. The memos of one hearing follow each other in it.
        """
        sha256 = sha256_of(file)
        if sha256 is None:
            return ()
        query = history.select_memos().where(memo.c.audio == sha256).order_by(memo.c.id)
        first: list[Memo] = []
        with self.view() as connection:
            for row in connection.execute(query):
                found = history.memo_from(row)
                if first and not _follows(first[-1], found):
                    break
                first.append(found)
        return tuple(first)

    def memos(
        self,
        said_from: datetime | None = None,
        said_to: datetime | None = None,
        *,
        as_of: datetime | None = None,
    ) -> tuple[Memo, ...]:
        """Memos said at or after `said_from` and before `said_to`, oldest first."""
        query = history.select_memos().order_by(memo.c.said, memo.c.id)
        if said_from is not None:
            query = query.where(memo.c.said >= ticks(said_from))
        if said_to is not None:
            query = query.where(memo.c.said < ticks(said_to))
        if as_of is not None:
            query = query.where(memo.c.said <= ticks(as_of))
        with self.view() as connection:
            return tuple(history.memo_from(row) for row in connection.execute(query))

    def last_memo(
        self,
        as_of: datetime | None = None,
        *,
        before: int | None = None,
        with_records: bool = False,
    ) -> Memo | None:
        """The memo said last; of memos said in the same moment, the one kept last.

        Args:
            as_of: memos said later are not seen.
            before: only memos before this one.
            with_records: only memos that gave records.
        """
        query = history.select_memos().order_by(memo.c.said.desc(), memo.c.id.desc()).limit(1)
        if as_of is not None:
            query = query.where(memo.c.said <= ticks(as_of))
        if with_records:
            query = query.where(memo.c.id.in_(select(record.c.memo_id)))
        with self.view() as connection:
            if before is not None:
                said = ticks(keeping.memo_of(connection, before).said_at)
                earlier = (memo.c.said == said) & (memo.c.id < before)
                query = query.where((memo.c.said < said) | earlier)
            row = connection.execute(query).first()
            return None if row is None else history.memo_from(row)

    def parse_of(self, memo_id: int) -> Parse | None:
        """The newest parse of a memo; None where it was never parsed."""
        with self.view() as connection:
            return keeping.parse_of(connection, memo_id)

    def record(self, record_id: int, *, as_of: datetime | None = None) -> Record:
        """One record as it stands, or stood at `as_of`; a replaced one counts as withdrawn.

        Raises:
            RequestError: there is no such record.
        """
        with self.view() as connection:
            found = questions.record_at(connection, record_id, as_of)
            return found or history.record_of(history.source_of(connection, record_id))

    def records_of(self, memo_id: int, *, as_of: datetime | None = None) -> tuple[Record, ...]:
        """The records of a memo, withdrawn ones among them, in the order they were said."""
        with self.view() as connection:
            return questions.records_of(connection, memo_id, as_of)

    def history(self, record_id: int) -> tuple[Change, ...]:
        """What happened to a record, the first first.

        Raises:
            RequestError: there is no such record.
        """
        with self.view() as connection:
            return history.source_of(connection, record_id).changes

    def changes_by(self, memo_id: int) -> tuple[Change, ...]:
        """What a memo's instructions changed in records, the first first."""
        with self.view() as connection:
            ids = connection.scalars(
                select(change.c.record_id).where(change.c.memo_id == memo_id).distinct()
            ).all()
            changes = (item for part in ids for item in history.changes_of(connection, part))
            return tuple(item for item in changes if item.memo_id == memo_id)

    def original(self, record_id: int) -> Record:
        """A record as the parser understood it, before any change.

        Raises:
            RequestError: there is no such record.
        """
        with self.view() as connection:
            return history.original_of(history.source_of(connection, record_id))

    def audio_file(self, sha256: str) -> Path:
        """The recording of a memo.

        Raises:
            StoreError: it is gone or damaged.
            RequestError: the store never had it.
        """
        with self.view() as connection:
            blob = keeping.blob_of(connection, sha256)
        folder = self._audio_folder()
        if fault := folder.fault_of(blob):
            raise StoreError(
                fault,
                kept="The memo and its words are kept.",
                todo="Bring the recording back from a backup.",
            )
        return folder.file_of(blob)

    def find(
        self, wanted: Wanted, *, newest_first: bool = True, limit: int | None = None
    ) -> tuple[Record, ...]:
        """The records wanted, in order of the moment they begin."""
        with self.view() as connection:
            return questions.find(connection, wanted, newest_first=newest_first, limit=limit)

    def count(self, wanted: Wanted) -> int:
        """How many records are wanted."""
        with self.view() as connection:
            return questions.count(connection, wanted)

    def sums(self, wanted: Wanted, slot: str) -> tuple[UnitSum, ...]:
        """What a slot adds up to, for each unit; empty where no record has a number there."""
        with self.view() as connection:
            return questions.sums(connection, wanted, slot)

    def extremes(self, wanted: Wanted, slot: str) -> tuple[Extremes, ...]:
        """The records with the lowest and highest value of a slot, for each unit."""
        with self.view() as connection:
            return questions.extremes(connection, wanted, slot)

    def latest_by_place(self, wanted: Wanted) -> tuple[PlaceRecord, ...]:
        """The newest record at each place that has one; records without a place are one place."""
        with self.view() as connection:
            return questions.latest_by_place(connection, wanted)

    def day_totals(self, wanted: Wanted, slot: str, zone: ZoneInfo) -> tuple[DayTotal, ...]:
        """What a slot adds up to on each calendar day of a zone that has a number."""
        with self.view() as connection:
            return questions.day_totals(connection, wanted, slot, zone)

    def _audio_folder(self) -> AudioFolder:
        if self._folder is None:
            raise StoreError(
                f"The database {self.where} has no folder for recordings.",
                kept="The recording is still where it was.",
                todo="Name one in VOICELOG_RECORDINGS, or use a store in a file.",
            )
        return self._folder


def _follows(before: Memo, memo: Memo) -> bool:
    """Whether a memo of the same recording lies behind another in it."""
    if before.transcript is None or memo.transcript is None:
        return False
    return memo.transcript.from_s >= before.transcript.to_s
