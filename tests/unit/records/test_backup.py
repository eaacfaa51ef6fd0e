import threading

import pytest

from voicelog.errors import StoreError
from voicelog.records import Store, Wanted


@pytest.fixture
def recording(tmp_path):
    file = tmp_path / "memo.wav"
    file.write_bytes(b"sound")
    return file


@pytest.fixture
def backup(store, say, at, draft, recording, tmp_path):
    """A backup of a store with a record and a recording."""
    say(at(4), draft(count=9))
    store.keep_memo(said_at=at(4), text="heard", source="audio", audio=recording)
    to = tmp_path / "copies" / "monday.db"
    to.parent.mkdir()
    store.backup(to)
    return to


def lines_of(path):
    with Store.open(str(path), create=False) as opened:
        assert opened.check() == ()
        return list(opened.export_lines())


def test_a_backup_is_a_store_with_its_recordings(store, backup):
    assert lines_of(backup) == list(store.export_lines())
    assert sorted(file.name for file in backup.parent.iterdir()) == [
        "monday.db", "monday.db.audio"
    ]  # fmt: skip


def test_a_backup_never_overwrites(store, backup, tmp_path):
    before = backup.read_bytes()
    with pytest.raises(StoreError, match="is there already"):
        store.backup(backup)
    assert backup.read_bytes() == before
    with pytest.raises(StoreError, match="does not exist"):
        store.backup(tmp_path / "none" / "copy.db")


def test_a_backup_of_a_store_in_use_is_one_moment_of_it(store, say, at, draft, tmp_path):
    stop = threading.Event()

    def go_on():
        while not stop.is_set():
            say(at(4), draft(count=9), draft("feed"))

    writer = threading.Thread(target=go_on)
    writer.start()
    try:
        for number in range(5):
            to = tmp_path / f"{number}.db"
            store.backup(to)
            with Store.open(str(to)) as copy:
                assert copy.check() == ()
                parsed = len(copy.memos()) - len(copy.unparsed())
                assert copy.count(Wanted()) == 2 * parsed
    finally:
        stop.set()
        writer.join()


@pytest.mark.usefixtures("backup")
def test_a_lost_recording_does_not_stop_the_backup(store, tmp_path):
    (memo,) = (memo for memo in store.memos() if memo.audio)
    store.audio_file(memo.audio).unlink()
    store.backup(tmp_path / "second.db")
    with Store.open(str(tmp_path / "second.db")) as copy:
        assert len(copy.memos()) == 2
        assert len(copy.check()) == 1


def test_restoring_to_a_new_place(backup, tmp_path):
    assert Store.restore(backup, str(tmp_path / "new.db")) is None
    assert lines_of(tmp_path / "new.db") == lines_of(backup)


def test_restoring_sets_the_present_store_aside(store, backup, path, at):
    store.keep_memo(said_at=at(5), text="after the backup", source="typed")
    present = list(store.export_lines())
    store.close()
    aside = Store.restore(backup, str(path))
    assert lines_of(path) == lines_of(backup)
    assert lines_of(aside) == present
    again = Store.restore(backup, str(path))
    assert again not in (aside, None)


def test_a_store_in_use_is_not_restored_over(store, backup, path):
    store.memos()
    with pytest.raises(StoreError, match="in use"):
        Store.restore(backup, str(path))
    assert len(store.memos()) == 2


@pytest.mark.parametrize("spoil", ["recording", "database", "text", "none"])
def test_a_backup_that_is_not_sound_restores_nothing(store, backup, path, spoil):
    before = list(store.export_lines())
    store.close()
    if spoil == "recording":
        (file,) = (f for f in backup.with_name("monday.db.audio").rglob("*") if f.is_file())
        file.write_bytes(b"noise")
    elif spoil == "database":
        content = bytearray(backup.read_bytes())
        content[8192:] = b"\x55" * (len(content) - 8192)
        backup.write_bytes(content)
    elif spoil == "text":
        backup.write_text("not a store")
    else:
        backup.unlink()
    with pytest.raises(StoreError):
        Store.restore(backup, str(path))
    assert lines_of(path) == before
