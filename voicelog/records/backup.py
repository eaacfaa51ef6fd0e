"""Whole copies of a store with its recordings, and the way back from one."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlalchemy import Engine, select

from voicelog.errors import StoreError
from voicelog.records import check
from voicelog.records.audio import AudioFolder, Blob
from voicelog.records.engine import open_engine, reading, sqlite_path, writing
from voicelog.records.schema import audio
from voicelog.records.transfer import export_lines, import_lines
from voicelog.records.trouble import in_sentences

_ELSEWHERE = "Name another place."


def back_up(engine: Engine, where: str, folder: AudioFolder | None, to: Path) -> None:
    """Copy a store that may be in use; see `Store.backup`."""
    recordings = _beside(to)
    for taken in (to, recordings.path):
        if taken.exists():
            raise StoreError(f"{taken} is there already.", kept="It was left.", todo=_ELSEWHERE)
    if not to.parent.is_dir():
        raise StoreError(f"The folder {to.parent} does not exist.", todo="Make it first.")
    with _unfinished(to) as part:
        with in_sentences(str(to), "The store itself is untouched."):
            if engine.dialect.name == "sqlite":
                _copy_file(engine, part)
            else:
                _copy_rows(engine, where, part)
        copied = open_engine(str(part), create=False)
        try:
            _copy_recordings(copied, folder, recordings)
        finally:
            copied.dispose()
        part.replace(to)


def restore(source: Path, where: str, recordings: Path | None) -> Path | None:
    """Make the store at `where` from a backup; see `Store.restore`."""
    backup = open_engine(str(source), create=False)
    try:
        with in_sentences(str(source)), reading(backup) as connection:
            found = check.faults(connection, _beside(source))
        if found:
            raise StoreError(
                f"The backup {source} is not sound: {found[0].what}",
                kept="Nothing was restored.",
                todo="Use an older backup.",
            )
        path = sqlite_path(where)
        if path is None:
            _into_server(backup, source, where, recordings)
            return None
        aside = _set_aside(path) if path.exists() else None
        back_up(backup, str(source), _beside(source), path)
        return aside
    finally:
        backup.dispose()


def _beside(path: Path) -> AudioFolder:
    return AudioFolder(path=path.with_name(f"{path.name}.audio"))


@contextmanager
def _unfinished(to: Path) -> Iterator[Path]:
    """A name for the copy until it is complete."""
    part = to.with_name(f"{to.name}.unfinished")
    _remove(part)
    try:
        yield part
    finally:
        _remove(part)


def _remove(path: Path) -> None:
    for file in _files(path):
        file.unlink(missing_ok=True)


def _files(path: Path) -> tuple[Path, ...]:
    return tuple(path.with_name(path.name + end) for end in ("", "-wal", "-shm"))


def _copy_file(engine: Engine, part: Path) -> None:
    with reading(engine) as connection, closing(sqlite3.connect(part)) as copy:
        source = connection.connection.driver_connection
        assert isinstance(source, sqlite3.Connection)
        source.backup(copy)


def _copy_rows(engine: Engine, where: str, part: Path) -> None:
    copy = open_engine(str(part), create=True)
    try:
        with in_sentences(where), reading(engine) as source, writing(copy) as target:
            import_lines(target, export_lines(source), None, None)
    finally:
        copy.dispose()


def _copy_recordings(copied: Engine, folder: AudioFolder | None, to: AudioFolder) -> None:
    with reading(copied) as connection:
        for row in connection.execute(select(audio)):
            blob = Blob(sha256=row.sha256, suffix=row.suffix, bytes=row.bytes)
            # A recording lost already must not stop all the others from being backed up.
            if folder is not None and folder.fault_of(blob) is None:
                to.keep(folder.file_of(blob), expected=blob)


def _into_server(backup: Engine, source: Path, where: str, recordings: Path | None) -> None:
    target = open_engine(where, create=True)
    folder = None if recordings is None else AudioFolder(path=recordings)
    try:
        with in_sentences(where), reading(backup) as lines, writing(target) as connection:
            import_lines(connection, export_lines(lines), _beside(source).path, folder)
    finally:
        target.dispose()


def _set_aside(path: Path) -> Path:
    """Rename a store with its recordings to a name that is free."""
    engine = open_engine(str(path), create=False)
    try:
        with in_sentences(str(path)), closing(engine.raw_connection()) as connection:
            # Leaves nothing in the log, so that the file alone is the store.
            connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    finally:
        engine.dispose()
    if any(file.exists() for file in _files(path)[1:]):
        raise StoreError(
            f"The store {path} is in use.",
            kept="It was left as it was, and nothing was restored.",
            todo="Close every other program that uses it.",
        )
    number = 1
    while (aside := path.with_name(f"{path.name}.before-restore-{number}")).exists():
        number += 1
    if _beside(path).path.exists():
        _beside(path).path.rename(_beside(aside).path)
    path.rename(aside)
    return aside
