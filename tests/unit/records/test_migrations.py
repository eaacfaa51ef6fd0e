import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

import voicelog.records
from voicelog.records import Store, Wanted, engine, schema

MIGRATIONS = Path(voicelog.records.__file__).parent / "migrations"
FIRST_STORE = Path(__file__).parent / "first_form.sql"


@pytest.mark.usefixtures("store")
def test_the_model_and_the_migrations_agree(path):
    opened = engine.open_engine(str(path), create=False)
    with opened.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"version_table": schema.VERSION_TABLE, "compare_type": True}
        )
        assert compare_metadata(context, schema.metadata) == []
    opened.dispose()


def test_the_program_knows_its_migrations():
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    scripts = ScriptDirectory.from_config(config)
    assert scripts.get_current_head() == schema.HEAD
    assert {script.revision for script in scripts.walk_revisions()} == schema.KNOWN


def test_a_store_of_the_first_form_still_opens(path):
    with closing(sqlite3.connect(path)) as first:
        first.executescript(FIRST_STORE.read_text(encoding="utf-8"))
    with Store.open(str(path), create=False) as store:
        assert [memo.text for memo in store.memos()] == ["nine eggs", "make that twelve"]
        (record,) = store.find(Wanted(kinds=("eggs",)))
        assert record.draft.slots["count"] == 12
        assert record.corrected == ("count",)
        assert store.check() == ()
        store.keep_memo(said_at=record.memo_said_at, text="and two more", source="typed")


@pytest.mark.parametrize("table", schema.KEPT, ids=lambda table: table.name)
@pytest.mark.parametrize("tamper", ["UPDATE {t} SET {k} = {k}", "DELETE FROM {t}", "REPLACE"])
def test_what_is_kept_for_good_cannot_be_changed(path, table, tamper):
    with closing(sqlite3.connect(path)) as first:
        first.executescript(FIRST_STORE.read_text(encoding="utf-8"))
        _fill_rest(first)
        key = table.primary_key.columns.values()[0].name
        before = first.execute(f"SELECT * FROM {table.name}").fetchall()
        assert before
        if tamper == "REPLACE":
            tamper = "INSERT OR REPLACE INTO {t} SELECT * FROM {t}"
        with pytest.raises(sqlite3.IntegrityError, match="kept for good"):
            first.execute(tamper.format(t=table.name, k=key))
        assert first.execute(f"SELECT * FROM {table.name}").fetchall() == before


def _fill_rest(connection):
    """Rows for the tables that the first store leaves empty."""
    connection.execute("INSERT INTO audio VALUES ('ab', '.wav', 1)")
    connection.execute("INSERT INTO superseded SELECT id, parse_id FROM record LIMIT 1")


@pytest.mark.usefixtures("store")
def test_references_are_kept_to(path):
    opened = engine.open_engine(str(path), create=False)
    with pytest.raises(IntegrityError), engine.writing(opened) as connection:
        connection.execute(text("INSERT INTO record VALUES (1, 99, 99, 0)"))
    opened.dispose()


@pytest.mark.usefixtures("store")
def test_each_commit_is_on_the_disk_and_readers_do_not_wait(path):
    opened = engine.open_engine(str(path), create=False)
    with engine.reading(opened) as connection:
        pragmas = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    opened.dispose()
    assert pragmas == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "busy_timeout": 5000,
    }


def test_a_store_of_the_present_form_opens_without_the_migration_library(path):
    Store.open(str(path)).close()
    program = (
        "import sys; from voicelog.records import Store, Wanted; "
        "assert 'sqlalchemy' not in sys.modules or 'Store' in globals(); "
        f"store = Store.open({str(path)!r}); store.find(Wanted()); store.close(); "
        "print(*[name for name in ('alembic', 'sqlalchemy.orm', 'mako') if name in sys.modules])"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert (told.returncode, told.stdout.strip(), told.stderr) == (0, "", "")


def test_the_room_is_entered_without_the_database_library():
    program = (
        "import sys; import voicelog.records; import voicelog.routine; "
        "print(*[name for name in ('alembic', 'sqlalchemy') if name in sys.modules])"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert (told.returncode, told.stdout.strip(), told.stderr) == (0, "", "")
