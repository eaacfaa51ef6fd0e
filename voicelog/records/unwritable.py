"""Reads a SQLite store where nothing can be written: a protected stick, a full disk.

A store with a write-ahead log needs a file for its index beside it even to be read. Where none
can be made, the store's file alone is read if it is the whole store; else a copy of it with its
log, in a temporary folder.
"""

from __future__ import annotations

import shutil
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy.exc import DBAPIError

_CANNOT_WRITE = ("SQLITE_CANTOPEN", "SQLITE_READONLY", "SQLITE_IOERR", "SQLITE_FULL")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadOnly:
    """A store that can be read and not written."""

    uri: str
    """Where to read it."""
    problem: sqlite3.Error
    """What stopped it from being opened for writing."""
    folder: TemporaryDirectory[str] | None = None
    """Holds the copy that is read, where it is one."""

    def close(self) -> None:
        """Remove the copy."""
        if self.folder is not None:
            self.folder.cleanup()


def read_only(path: Path, cause: BaseException | None) -> ReadOnly | None:
    """How to read the store at `path`, which could not be opened for writing.

    Args:
        path: the store's file.
        cause: what the database raised when it was opened.

    Returns:
        None where it cannot be read either, or where something else was the cause.
    """
    problem = cause.orig if isinstance(cause, DBAPIError) else cause
    if not isinstance(problem, sqlite3.Error) or not path.exists():
        return None
    if not getattr(problem, "sqlite_errorname", "").startswith(_CANNOT_WRITE):
        return None
    log = path.with_name(f"{path.name}-wal")
    if log.exists() and log.stat().st_size:
        # The log may hold memos that the file does not have yet.
        return _copied(path, log, problem)
    return ReadOnly(uri=f"{path.absolute().as_uri()}?mode=ro&immutable=1", problem=problem)


def _copied(path: Path, log: Path, problem: sqlite3.Error) -> ReadOnly | None:
    try:
        folder = TemporaryDirectory(prefix="voicelog-")
    except OSError:
        return None
    copy = Path(folder.name) / "store.db"
    try:
        shutil.copyfile(path, copy)
        shutil.copyfile(log, f"{copy}-wal")
    except OSError:
        folder.cleanup()
        return None
    return ReadOnly(uri=f"{copy.as_uri()}?mode=ro", problem=problem, folder=folder)
