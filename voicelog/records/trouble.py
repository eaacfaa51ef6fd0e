"""What a database complains of, in sentences for the keeper."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from voicelog.errors import StoreError

_SQLITE = {
    "BUSY": "locked",
    "LOCKED": "locked",
    "READONLY": "read-only",
    "FULL": "full",
    "CANTOPEN": "closed",
    "NOTADB": "foreign",
    "CORRUPT": "damaged",
    "IOERR": "disk",
    "PERM": "closed",
}
_FULL_BELOW = 1 << 18
"""Free bytes under which a disk that failed is told as full; a small memo and its log need less."""
_POSTGRESQL = {"55P03": "locked", "25006": "read-only", "53100": "full", "42501": "closed"}

_SENTENCES = {
    "locked": (
        "The store {where} is locked: another program has been writing to it for over "
        "five seconds.",
        "Close the other program or wait for it, then try again.",
    ),
    "read-only": (
        "The store {where} cannot be written: the file or its folder is read-only.",
        "Give yourself the right to write there, or name another store with --store.",
    ),
    "full": (
        "The store {where} cannot be written: the disk is full.",
        "Free some space, then try again.",
    ),
    "closed": (
        "The store {where} cannot be written: the file or its folder is read-only, or may not be "
        "opened.",
        "Check that the folder is there and that you may write in it.",
    ),
    "foreign": (
        "The file {where} is not a store, and was left as it was.",
        "Name another file with --store.",
    ),
    "damaged": (
        "The store {where} is damaged.",
        "Run `voicelog doctor`, and restore the last backup if it says so.",
    ),
    "disk": (
        "The disk failed while the store {where} was being read or written.",
        "Check the disk and its free space, then try again.",
    ),
    "unreachable": (
        "The database {where} does not answer.",
        "Check that it runs and that its address, user and password are right.",
    ),
}


@contextmanager
def in_sentences(where: str, kept: str = "") -> Iterator[None]:
    """Turn what the database raises inside into a `StoreError` that says what was `kept`."""
    try:
        yield
    except (DBAPIError, sqlite3.Error, UnicodeEncodeError) as error:
        raise told(error, where, kept) from error


def told(error: Exception, where: str, kept: str) -> StoreError:
    """The error that says what happened to the store at `where`."""
    if isinstance(error, UnicodeEncodeError):
        return StoreError(
            f"The text holds {error.object[error.start : error.end]!r}, which is no letter.",
            kept=kept,
            todo="Say or type it again without it.",
        )
    sentences = _SENTENCES.get(_trouble(error, where))
    if sentences is None:
        cause = getattr(error, "orig", None) or error
        return StoreError(
            f"The store {where} refused: {str(cause).strip().splitlines()[0]}.",
            kept=kept,
            todo="Run `voicelog doctor` to see whether the store is sound.",
        )
    what, todo = sentences
    return StoreError(what.format(where=where), kept=kept, todo=todo)


def _trouble(error: Exception, where: str) -> str:
    cause = error.orig if isinstance(error, DBAPIError) else error
    name = getattr(cause, "sqlite_errorname", None)
    if name:
        trouble = _SQLITE.get(name.split("_")[1], "")
        return "full" if trouble == "disk" and _no_space_at(where) else trouble
    state = getattr(cause, "sqlstate", None)
    if state:
        return _POSTGRESQL.get(state, "")
    return "unreachable" if type(cause).__name__ == "OperationalError" else ""


def _no_space_at(where: str) -> bool:
    """Whether the disk of a store's file is full; SQLite tells that of its log as a failure."""
    path = where.partition("///")[2] or where
    try:
        return shutil.disk_usage(Path(path).expanduser().parent).free < _FULL_BELOW
    except OSError:
        return False
