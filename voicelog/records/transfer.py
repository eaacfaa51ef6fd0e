"""Everything kept for good as lines of JSON, out of one store and into another."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, func, insert, select, text

from voicelog.errors import StoreError
from voicelog.records.audio import AudioFolder, Blob, is_sha256, is_suffix
from voicelog.records.keeping import keep_blob
from voicelog.records.moments import ticks
from voicelog.records.schema import KEPT, audio, change, memo, parse, record, superseded
from voicelog.records.sound import moment, sound_change, sound_parse, sound_transcript
from voicelog.records.standing import stand
from voicelog.records.wanted import Imported
from voicelog.records.written import dumps

_FORM = 1
_JSON = {"transcript", "body", "old", "new"}
"""Columns that hold JSON text; in a line they are JSON themselves."""
_DERIVED = {"said"}
"""Columns that follow from others, and stand in no line."""
_AT_ONCE = 1000
_Row = dict[str, Any]


def export_lines(connection: Connection) -> Iterator[str]:
    """One line a row, table after table, in an order that an import can follow."""
    yield dumps({"row": "voicelog", "form": _FORM})
    for table in KEPT:
        rows = connection.execution_options(yield_per=_AT_ONCE).execute(
            select(*_columns(table)).order_by(*table.primary_key.columns)
        )
        for row in rows.mappings():
            yield dumps({"row": table.name} | {name: _shown(name, row[name]) for name in row})


def import_lines(
    connection: Connection,
    lines: Iterable[str],
    recordings: Path | None,
    folder: AudioFolder | None,
) -> Imported:
    """Add the rows of an export in the open transaction; see `Store.import_lines`."""
    coming = _Import(connection, recordings, folder)
    number = 0
    try:
        for number, line in enumerate(lines, start=1):  # noqa: B007
            if line.strip():
                coming.take(json.loads(line))
        coming.write()
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError) as error:
        raise _refused(f"Line {number}", error) from error
    if not coming.begun:
        raise StoreError("There is no export to import: no line holds anything.")
    try:
        stand(connection, coming.records)
    except (ValueError, IndexError) as error:
        raise _refused("A change", error) from error
    return Imported(
        memos=coming.memos, records=len(coming.records), already_there=coming.already_there
    )


class _Import:
    """An import on its way in: which ids the rows get, and which are left out."""

    def __init__(
        self, connection: Connection, recordings: Path | None, folder: AudioFolder | None
    ) -> None:
        self.begun = False
        self.memos = 0
        self.already_there = 0
        self.records: list[int] = []
        self._connection = connection
        self._from = None if recordings is None else AudioFolder(path=recordings)
        self._folder = folder
        self._known = _known_memos(connection)
        self._keeps_ids = not self._known
        self._next = {
            table: (connection.scalar(select(func.max(table.c.id))) or 0) + 1
            for table in (memo, parse, record, change)
        }
        self._ids: dict[Table, dict[int, int]] = defaultdict(dict)
        self._left_out: dict[Table, set[int]] = defaultdict(set)
        self._drafts: dict[int, int] = {}
        self._waiting: dict[Table, list[_Row]] = {table: [] for table in KEPT}
        self._tables = {table.name: table for table in KEPT}

    def take(self, line: Any) -> None:
        """Take one line in; a fault in it raises one of the errors that `import_lines` tells."""
        name = line.pop("row")
        if not self.begun:
            if name != "voicelog" or line != {"form": _FORM}:
                raise ValueError("an export begins with another line")
            self.begun = True
            return
        table = self._tables[name]
        if set(line) != {column.name for column in _columns(table)}:
            raise ValueError(f"a row of {name} has other fields")
        row = {key: dumps(v) if key in _JSON and v is not None else v for key, v in line.items()}
        takes = {
            audio: self._audio,
            memo: self._memo,
            parse: self._parse,
            record: self._record,
            superseded: self._superseded,
            change: self._change,
        }
        takes[table](row)

    def write(self) -> None:
        """Write the rows taken in since the last time."""
        for table in KEPT:
            if rows := self._waiting[table]:
                self._connection.execute(insert(table), rows)
                self._waiting[table] = []
        if self._connection.dialect.name == "postgresql":
            for table in self._next:
                self._connection.execute(
                    text(
                        f"SELECT setval(pg_get_serial_sequence('{table.name}', 'id'),"
                        f" GREATEST(1, (SELECT max(id) FROM {table.name})))"
                    )
                )

    def _audio(self, row: _Row) -> None:
        blob = Blob(**row)
        if not (is_sha256(blob.sha256) and is_suffix(blob.suffix) and _natural(blob.bytes)):
            raise ValueError("this names no recording")
        if self._from is not None and self._folder is not None:
            file = self._from.file_of(blob)
            if file.exists():
                blob = self._folder.keep(file, expected=blob)
        keep_blob(self._connection, blob)

    def _memo(self, row: _Row) -> None:
        row["said"] = ticks(moment(row["said_at"]))
        if not isinstance(row["text"], str) or not isinstance(row["source"], str):
            raise TypeError("a memo has words and a source")
        if row["transcript"] is not None:
            sound_transcript(row["transcript"])
        if there := self._known.get(_identity(row)):
            self._ids[memo][row["id"]] = there.pop(0)
            self._left_out[memo].add(row["id"])
            self.already_there += 1
            return
        self._add(memo, row)
        self.memos += 1

    def _parse(self, row: _Row) -> None:
        if not isinstance(row["parser"], str):
            raise TypeError("a parse names its parser")
        self._drafts[row["id"]] = sound_parse(row["body"])
        self._add(parse, row, of=(memo, "memo_id"))

    def _record(self, row: _Row) -> None:
        if not 0 <= row["position"] < self._drafts[row["parse_id"]]:
            raise IndexError("its parse has no such record")
        if row["parse_id"] not in self._left_out[parse]:
            row["parse_id"] = self._ids[parse][row["parse_id"]]
        if added := self._add(record, row, of=(memo, "memo_id")):
            self.records.append(added)

    def _superseded(self, row: _Row) -> None:
        if row["record_id"] not in self._left_out[record]:
            row["record_id"] = self._ids[record][row["record_id"]]
            row["parse_id"] = self._ids[parse][row["parse_id"]]
            self._queue(superseded, row)

    def _change(self, row: _Row) -> None:
        sound_change(row)
        if row["memo_id"] is not None:
            row["memo_id"] = self._ids[memo][row["memo_id"]]
        row["old"], row["new"] = row["old"] or "null", row["new"] or "null"
        self._add(change, row, of=(record, "record_id"))

    def _add(self, table: Table, row: _Row, of: tuple[Table, str] | None = None) -> int | None:
        """Queue a row under its new id, unless what it belongs `of` is left out."""
        there = row["id"]
        if not _natural(there) or not there or there in self._ids[table]:
            raise ValueError("its id is none, or taken")
        if of is not None:
            owner, column = of
            if row[column] in self._left_out[owner]:
                self._left_out[table].add(there)
                self._ids[table][there] = 0
                return None
            row[column] = self._ids[owner][row[column]]
        row["id"] = there if self._keeps_ids else self._next[table]
        self._next[table] += 1
        self._ids[table][there] = row["id"]
        self._queue(table, row)
        return int(row["id"])

    def _queue(self, table: Table, row: _Row) -> None:
        self._waiting[table].append(row)
        if len(self._waiting[table]) >= _AT_ONCE:
            self.write()


def _columns(table: Table) -> list[Any]:
    return [column for column in table.columns if column.name not in _DERIVED]


def _shown(name: str, value: Any) -> Any:
    return json.loads(value) if name in _JSON and value is not None else value


def _natural(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**63


def _identity(row: _Row) -> tuple[Any, ...]:
    return tuple(row[name] for name in ("said_at", "text", "source", "transcript", "audio"))


def _known_memos(connection: Connection) -> dict[tuple[Any, ...], list[int]]:
    found: dict[tuple[Any, ...], list[int]] = defaultdict(list)
    for row in connection.execute(select(memo).order_by(memo.c.id)).mappings():
        found[_identity(dict(row))].append(row["id"])
    return found


def _refused(what: str, error: Exception) -> StoreError:
    told = f"it lacks {error}" if isinstance(error, KeyError) else str(error)
    return StoreError(
        f"{what} is not what an export writes: {told}.",
        kept="Nothing was imported.",
        todo="Import the file as `voicelog export` wrote it.",
    )
