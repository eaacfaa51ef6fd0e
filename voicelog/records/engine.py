"""Opens the database behind a store, and refuses what is none."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError
from sqlalchemy.pool import QueuePool

from voicelog.errors import StoreError
from voicelog.records.schema import APPLICATION_ID, HEAD, KNOWN, VERSION_TABLE
from voicelog.records.trouble import in_sentences
from voicelog.records.unwritable import ReadOnly, read_only

WAIT_S = 5.0
"""How long to wait for another writer, in seconds."""
_WRITER = 0x766C6F67
_MAGIC = b"SQLite format 3\x00"
_MEMORY = ":memory:"
_OTHER = "Name another one with --store."


def sqlite_path(where: str) -> Path | None:
    """The file of a SQLite store; None for a database of another kind."""
    if where == _MEMORY:
        raise _in_memory()
    if "://" not in where:
        return Path(where).expanduser()
    try:
        url = make_url(where)
    except ArgumentError as error:
        raise StoreError(f"{where!r} is no address of a database.", todo=_OTHER) from error
    if url.get_backend_name() != "sqlite":
        return None
    if url.database in (None, "", _MEMORY):
        raise _in_memory()
    assert url.database is not None
    return Path(url.database)


def shown(where: str) -> str:
    """The address as it may be shown: without a password."""
    return make_url(where).render_as_string() if "://" in where else where


def open_engine(where: str, *, create: bool) -> Engine:
    """An engine on a store of the current form, made or brought up first where needed.

    A store in a file that cannot be written is opened for reading alone, where that can be done.

    Raises:
        StoreError: there is no store and none may be made, or what is there is none.
    """
    path = sqlite_path(where)
    if path is None:
        return _in_form(_server_engine(where), where, create=create)
    try:
        return _in_form(_file_engine(path, create=create), where, create=create)
    except StoreError as error:
        refused = read_only(path, error.__cause__)
        if refused is None:
            raise
        try:
            return _in_form(_file_engine(path, create=False, refused=refused), where, create=False)
        except StoreError:
            raise error from error.__cause__


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """One unchanging view of the store."""
    with engine.connect() as connection:
        if engine.dialect.name != "sqlite":
            connection = connection.execution_options(isolation_level="REPEATABLE READ")
        with connection.begin():
            yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """One transaction, kept whole or not at all; one writer at a time."""
    with engine.connect() as connection:
        connection = connection.execution_options(voicelog_writes=True)
        with connection.begin():
            if engine.dialect.name == "postgresql":
                connection.execute(text(f"SET LOCAL lock_timeout = '{int(WAIT_S * 1000)}ms'"))
                connection.execute(text(f"SELECT pg_advisory_xact_lock({_WRITER})"))
            yield connection


def refuse_what_is_no_store(path: Path) -> bool:
    """Whether the file is a store or could become one; looks at its bytes and writes none.

    Returns:
        False where there is nothing yet.

    Raises:
        StoreError: the file is something else.
    """
    if path.is_dir():
        raise StoreError(f"{path} is a folder, not a store.", todo="Name a file inside it.")
    if not path.parent.is_dir():
        raise StoreError(
            f"The store {path} cannot be there: the folder {path.parent} does not exist.",
            todo="Make the folder, or name another store with --store.",
        )
    if not path.exists():
        return False
    try:
        with path.open("rb") as file:
            head = file.read(100)
    except OSError as error:
        raise StoreError(
            f"The store {path} cannot be read: {error.strerror}.",
            todo="Give yourself the right to read it, or name another store with --store.",
        ) from error
    if not head:
        return False
    if not head.startswith(_MAGIC):
        raise StoreError(f"The file {path} is not a store, and was left as it was.", todo=_OTHER)
    if int.from_bytes(head[68:72], "big") != APPLICATION_ID:
        raise StoreError(
            f"The file {path} is another program's database, and was left as it was.", todo=_OTHER
        )
    return True


def _in_form(engine: Engine, where: str, *, create: bool) -> Engine:
    try:
        with in_sentences(shown(where)):
            _bring_to_form(engine, where, create=create)
    except BaseException:
        engine.dispose()
        raise
    return engine


def _file_engine(path: Path, *, create: bool, refused: ReadOnly | None = None) -> Engine:
    there = refuse_what_is_no_store(path)
    if not there and not create:
        raise _no_store(str(path))
    uri = f"{path.absolute().as_uri()}?mode={'rw' if there else 'rwc'}"
    if refused is not None:
        uri = refused.uri

    def connect() -> sqlite3.Connection:
        return sqlite3.connect(
            uri, uri=True, timeout=WAIT_S, isolation_level=None, check_same_thread=False
        )

    engine = create_engine("sqlite://", creator=connect, poolclass=QueuePool)

    @event.listens_for(engine, "connect")
    def _prepare(connection: sqlite3.Connection, _: Any) -> None:
        connection.execute("PRAGMA foreign_keys = ON")
        # With a write-ahead log, only FULL makes a commit survive a power cut.
        connection.execute("PRAGMA synchronous = FULL")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # A writer that begins as a reader could not wait for another writer to end.
        writes = connection.get_execution_options().get("voicelog_writes")
        if writes and refused is not None:
            raise refused.problem
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    if refused is not None:
        event.listen(engine, "engine_disposed", lambda _: refused.close())
    if not there:
        with in_sentences(str(path)):
            _mark(connect())
    return engine


def _mark(connection: sqlite3.Connection) -> None:
    try:
        # The mark goes into the file itself before the log exists, so that a store whose
        # making was cut short is known as one.
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        _begin_log(connection)
    finally:
        connection.close()


def _begin_log(connection: sqlite3.Connection) -> None:
    """Begin the write-ahead log, for which SQLite does not wait where another process reads."""
    until = time.monotonic() + WAIT_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.01)
        else:
            return


def _server_engine(where: str) -> Engine:
    try:
        return create_engine(where, connect_args={"connect_timeout": int(WAIT_S)})
    except (NoSuchModuleError, ImportError) as error:
        raise StoreError(
            f"The database {shown(where)} needs a driver that is not installed: {error}.",
            todo="Install it; for PostgreSQL: pip install 'voicelog[postgresql]'.",
        ) from error


def _bring_to_form(engine: Engine, where: str, *, create: bool) -> None:
    with reading(engine) as connection:
        version = _version(connection)
    if version == HEAD:
        return
    if version is None and not create:
        raise _no_store(shown(where))
    if version is not None and version not in KNOWN:
        raise StoreError(
            f"The store {shown(where)} was written by a newer version of this program "
            f"(form {version}; this one knows up to {HEAD}).",
            kept="It was left as it was.",
            todo="Install the newer version.",
        )
    from voicelog.records.upgrade import bring_up

    with writing(engine) as connection:
        # Another process may have done it while this one waited its turn.
        if _version(connection) != HEAD:
            bring_up(connection)


def _version(connection: Connection) -> str | None:
    if not inspect(connection).has_table(VERSION_TABLE):
        return None
    version: str | None = connection.scalar(text(f"SELECT version_num FROM {VERSION_TABLE}"))
    return version


def _in_memory() -> StoreError:
    return StoreError("A store in memory would lose what was said.", todo="Name a file.")


def _no_store(where: str) -> StoreError:
    return StoreError(
        f"There is no store at {where}.", todo="Say or type a first memo with `voicelog note`."
    )
