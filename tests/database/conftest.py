"""A PostgreSQL server for the tests: one named by the environment, or one of their own."""

import os
import shutil
import subprocess
import tempfile
import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text
from sqlalchemy.engine import make_url

NAMED = "VOICELOG_TEST_POSTGRESQL"
INSTALLED = Path("/usr/lib/postgresql")


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """The address of a server on which databases may be made."""
    if named := os.environ.get(NAMED):
        yield named
        return
    pytest.importorskip("psycopg", reason="the driver for PostgreSQL is not installed")
    programs = _programs()
    if programs is None:
        pytest.skip(f"no PostgreSQL: {NAMED} names none, and none is installed to be started")
    # A socket's path must be short, which those that pytest gives are not.
    folder = Path(tempfile.mkdtemp(prefix="vl-pg-"))
    try:
        yield from _own_server(programs, folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def address(server: str) -> Iterator[str]:
    """The address of an empty database, dropped afterwards."""
    name = f"voicelog_test_{uuid.uuid4().hex}"
    owner = create_engine(server, isolation_level="AUTOCOMMIT")
    with owner.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
    yield make_url(server).set(database=name).render_as_string(hide_password=False)
    with owner.connect() as connection:
        connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))
    owner.dispose()


def _programs() -> Path | None:
    found = shutil.which("initdb")
    if found:
        return Path(found).parent
    versions = sorted(INSTALLED.glob("*/bin/initdb"), key=lambda path: float(path.parts[-3]))
    return versions[-1].parent if versions else None


def _as_owner() -> list[str]:
    """How to run a program as a user that the server accepts: it refuses root."""
    if os.geteuid() != 0:
        return []
    if shutil.which("runuser") and _is_user("postgres"):
        return ["runuser", "-u", "postgres", "--"]
    pytest.skip("no PostgreSQL: it does not run as root, and there is no user `postgres`")


def _is_user(name: str) -> bool:
    return subprocess.run(["id", name], capture_output=True).returncode == 0


def _own_server(programs: Path, folder: Path) -> Iterator[str]:
    as_owner = _as_owner()
    if as_owner:
        shutil.chown(folder, "postgres")
    cluster = folder / "cluster"
    _run([*as_owner, f"{programs}/initdb", "-D", str(cluster), "-A", "trust", "-U", "voicelog",
          "-E", "UTF8", "--no-sync", "--locale=C.UTF-8"])  # fmt: skip
    control = [*as_owner, f"{programs}/pg_ctl", "-D", str(cluster), "-w"]
    options = f"-c listen_addresses= -c fsync=off -k {folder}"
    _run([*control, "-l", str(folder / "log"), "-o", options, "start"])
    try:
        yield f"postgresql+psycopg://voicelog@/postgres?host={folder}"
    finally:
        _run([*control, "-m", "immediate", "stop"])


def _run(command: list[str]) -> None:
    # The server started stays behind with the pipes, so nothing may wait for their end.
    done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd="/")
    if done.returncode != 0:
        pytest.skip(f"no PostgreSQL: {' '.join(command)} ended with {done.returncode}")
