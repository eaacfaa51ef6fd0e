"""The store on a PostgreSQL server does what it does on a file."""

import threading
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine, text
from sqlalchemy.exc import DBAPIError

from voicelog.app import Notebook, find_setting
from voicelog.errors import StoreError
from voicelog.records import NewChange, Store, Wanted, engine, schema
from voicelog.types import (
    ChangeKind,
    Draft,
    Interval,
    Parse,
    Precision,
    Quantity,
    Status,
    frozen_slots,
)

ZONE = ZoneInfo("Pacific/Auckland")
BEGIN = datetime(2027, 5, 1, 6, tzinfo=ZONE)


def draft(number, **slots):
    when = BEGIN + timedelta(hours=5 * number)
    return Draft(
        kind=("eggs", "feed", "water")[number % 3],
        status=Status.NOT_DONE if number % 7 == 6 else Status.DONE,
        when=Interval(from_=when, to=when, precision=Precision.HOUR),
        when_said=None,
        place=(None, "Coop A", "coop b", "über Pen")[number % 4],
        flock=None,
        birds=("Juno",) if number % 5 == 0 else (),
        slots=frozen_slots(slots or {"count": number, "amount": scoops(number / 4)}),
        text=f"memo {number} %_",
        certainty=0.5,
    )


def scoops(value):
    return Quantity(value=value, unit="scoop")


def fill(store, count=40):
    """Keep memos with two records each, then correct, confirm, withdraw and parse again."""
    for number in range(count):
        drafts = (draft(number), draft(number + 1))
        memo = store.keep_memo(said_at=drafts[1].when.from_, text=f"memo {number}", source="typed")
        store.keep_parse(
            memo.id, Parse(memo=memo.text, now=memo.said_at, records=drafts), parser="first"
        )

    for number, kind in enumerate(ChangeKind):
        at = BEGIN + timedelta(days=20)
        store.keep_changes(
            [NewChange(record_id=number + 1, kind=kind, at=at, field="count", new=1000)]
        )
    again = Parse(memo="", now=BEGIN, records=(draft(50), draft(3)))
    store.keep_parse(3, again, parser="second")


@pytest.fixture
def store(address):
    with Store.open(address) as opened:
        yield opened


WISHES = [
    {},
    {"kinds": ("eggs", "feed")},
    {"statuses": (Status.NOT_DONE,)},
    {"places": ("coop a", None)},
    {"places": ("ÜBER pen",)},
    {"bird": "JUNO"},
    {"slots": frozen_slots({"count": 8, "amount": scoops(2)})},
    {"when_from": BEGIN + timedelta(days=2), "when_to": BEGIN + timedelta(days=4)},
    {"as_of": BEGIN + timedelta(days=2)},
    {"include_withdrawn": True},
    {"text": "_ 12"},
    {"other_than_flocks": ("cocks",)},
]


@pytest.mark.parametrize("wish", WISHES, ids=str)
def test_every_question_has_the_answer_that_a_file_gives(address, tmp_path, wish):
    wanted = Wanted(**wish)
    answers = []
    for where in (address, str(tmp_path / "farm.db")):
        with Store.open(where) as store:
            fill(store)
            answers.append(
                (
                    store.find(wanted),
                    store.find(wanted, newest_first=False, limit=3),
                    store.count(wanted),
                    store.sums(wanted, "amount"),
                    store.extremes(wanted, "count"),
                    store.latest_by_place(wanted),
                    store.day_totals(wanted, "count", ZONE),
                )
            )
    assert answers[0] == answers[1]
    assert answers[0][2] > 0


def test_an_export_goes_from_server_to_file_and_back(store, tmp_path):
    fill(store)
    lines = list(store.export_lines())
    with Store.open(str(tmp_path / "farm.db")) as file:
        file.import_lines(lines)
        assert list(file.export_lines()) == lines
        assert file.check() == store.check() == ()
    assert store.import_lines(lines).memos == 0


def test_ids_go_on_after_an_import(store, tmp_path):
    with Store.open(str(tmp_path / "farm.db")) as file:
        fill(file, 4)
        lines = list(file.export_lines())
    store.import_lines(lines)
    fill(store, 4)
    assert len(store.memos()) == 8
    assert store.check() == ()


def test_a_backup_is_a_file_and_comes_back_to_a_server(store, address, server, tmp_path):
    recording = tmp_path / "memo.wav"
    recording.write_bytes(b"sound")
    fill(store, 4)
    with Store.open(address, audio=tmp_path / "sounds") as heard:
        heard.keep_memo(said_at=BEGIN, text="heard", source="audio", audio=recording)
        heard.backup(tmp_path / "backup.db")
        lines = list(heard.export_lines())
    with Store.open(str(tmp_path / "backup.db")) as file:
        assert list(file.export_lines()) == lines
        assert file.check() == ()
    owner = create_engine(server, isolation_level="AUTOCOMMIT")
    with owner.connect() as connection:
        connection.execute(text("CREATE DATABASE voicelog_test_restored"))
    try:
        restored = address.replace(address.split("/")[-1].split("?")[0], "voicelog_test_restored")
        Store.restore(tmp_path / "backup.db", restored, audio=tmp_path / "restored")
        with Store.open(restored, audio=tmp_path / "restored") as back:
            assert list(back.export_lines()) == lines
            assert back.check() == ()
    finally:
        with owner.connect() as connection:
            connection.execute(text("DROP DATABASE voicelog_test_restored WITH (FORCE)"))
        owner.dispose()


def test_recordings_go_to_the_folder_that_the_setting_names(address, tmp_path):
    recording = tmp_path / "memo.wav"
    recording.write_bytes(b"sound")
    with Notebook(find_setting(address, recordings=tmp_path / "sounds")) as notebook:
        kept = notebook.writing.keep_memo(
            said_at=BEGIN, text="heard", source="audio", audio=recording
        )
        assert kept.audio is not None
        file = notebook.reading.audio_file(kept.audio)
    assert file.is_relative_to(tmp_path / "sounds")
    assert file.read_bytes() == b"sound"


def test_recordings_need_a_folder(store, tmp_path):
    with pytest.raises(StoreError, match="no folder for recordings"):
        store.keep_memo(said_at=BEGIN, text="", source="audio", audio=tmp_path / "memo.wav")


@pytest.mark.parametrize("table", schema.KEPT, ids=lambda table: table.name)
@pytest.mark.parametrize(
    "tamper", ["UPDATE {t} SET {k} = {k}", "DELETE FROM {t}", "TRUNCATE {t} CASCADE"]
)
def test_what_is_kept_for_good_cannot_be_changed(store, address, table, tamper):
    fill(store, 4)
    owner = create_engine(address)
    with owner.begin() as connection:
        connection.execute(text("INSERT INTO audio VALUES ('ab', '.wav', 1)"))
    key = table.primary_key.columns.values()[0].name
    with pytest.raises(DBAPIError, match="kept for good"), owner.begin() as connection:
        connection.execute(text(tamper.format(t=table.name, k=key)))
    owner.dispose()


def test_the_model_and_the_migrations_agree(store, address):
    assert store.memos() == ()
    opened = engine.open_engine(address, create=False)
    with opened.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"version_table": schema.VERSION_TABLE, "compare_type": True}
        )
        assert compare_metadata(context, schema.metadata) == []
    opened.dispose()


def test_a_newer_form_is_left_as_it_was(store, address):
    store.close()
    owner = create_engine(address)
    with owner.begin() as connection:
        connection.execute(text(f"UPDATE {schema.VERSION_TABLE} SET version_num = '9999'"))
    owner.dispose()
    with pytest.raises(StoreError, match="newer version"):
        Store.open(address)


def test_a_database_without_a_store_is_made_only_where_it_may(address):
    with pytest.raises(StoreError, match="no store at"):
        Store.open(address, create=False)
    Store.open(address).close()
    Store.open(address, create=False).close()


def test_a_database_that_is_not_there_is_told(address):
    with pytest.raises(StoreError, match=r"does not answer|refused"):
        Store.open(address.replace("voicelog_test_", "none_"))


def test_a_character_that_the_server_cannot_hold_is_told(store):
    with pytest.raises(StoreError, match="Nothing of the memo was kept"):
        store.keep_memo(said_at=BEGIN, text="a\x00b", source="typed")


def test_a_lock_is_waited_for_then_told(store, address, monkeypatch):
    monkeypatch.setattr(engine, "WAIT_S", 0.3)
    opened = engine.open_engine(address, create=False)
    with (
        engine.writing(opened),
        pytest.raises(StoreError, match=r"locked.*Nothing of the memo was kept"),
    ):
        store.keep_memo(said_at=BEGIN, text="eggs", source="typed")
    opened.dispose()
    assert store.memos() == ()


def test_writers_on_one_record_take_turns(store, address):
    fill(store, 4)
    faults = []

    def correct(new):
        change = NewChange(
            record_id=1,
            kind=ChangeKind.CORRECT,
            at=datetime(2027, 6, 1, tzinfo=UTC),
            field="count",
            new=new,
        )
        try:
            with Store.open(address) as own:
                for _ in range(5):
                    own.keep_changes([change])
        except StoreError as error:
            faults.append(error)

    before = len(store.history(1))
    writers = [threading.Thread(target=correct, args=(number,)) for number in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert faults == []
    history = store.history(1)
    assert len(history) == before + 20
    assert all(
        a.new == b.old for a, b in zip(history[before:], history[before + 1 :], strict=False)
    )
    assert store.check() == ()
