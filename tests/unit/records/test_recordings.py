import hashlib

import pytest

from voicelog.errors import RequestError, StoreError
from voicelog.records import Store


@pytest.fixture
def recording(tmp_path):
    file = tmp_path / "Memo 1.WAV"
    file.write_bytes(b"RIFF" + bytes(range(256)) * 40)
    return file


def hear(store, at, file):
    return store.keep_memo(said_at=at(4), text="eggs", source="audio", audio=file)


def files(path):
    folder = path.with_name(f"{path.name}.audio")
    return sorted(file.relative_to(folder) for file in folder.rglob("*") if file.is_file())


def test_a_recording_is_copied_under_its_hash(store, path, at, recording):
    memo = hear(store, at, recording)
    sha256 = hashlib.sha256(recording.read_bytes()).hexdigest()
    assert memo.audio == sha256
    assert [str(file) for file in files(path)] == [f"{sha256[:2]}/{sha256}.wav"]
    assert store.audio_file(sha256).read_bytes() == recording.read_bytes()
    recording.unlink()
    assert store.audio_file(sha256).exists()


def test_the_same_recording_is_kept_once(store, path, at, recording, tmp_path):
    same = tmp_path / "copy.flac"
    same.write_bytes(recording.read_bytes())
    first, again, other = (hear(store, at, file) for file in (recording, recording, same))
    assert first.audio == again.audio == other.audio
    assert len(files(path)) == 1
    assert store.audio_file(first.audio).suffix == ".wav"
    assert store.check() == ()


def test_an_odd_suffix_is_left_off(store, at, tmp_path):
    odd = tmp_path / "memo.w v"
    odd.write_bytes(b"sound")
    memo = hear(store, at, odd)
    assert store.audio_file(memo.audio).suffix == ""


def test_a_recording_that_is_not_there_keeps_nothing(store, at, tmp_path):
    with pytest.raises(StoreError, match=r"none\.wav cannot be kept.*Nothing of the memo"):
        hear(store, at, tmp_path / "none.wav")
    assert store.memos() == ()


def test_a_file_in_the_folders_place_is_told(store, path, at, recording):
    path.with_name(f"{path.name}.audio").write_text("not a folder")
    with pytest.raises(StoreError, match="cannot be kept"):
        hear(store, at, recording)
    assert store.memos() == ()


def test_a_damaged_recording_is_found_told_and_mended_by_the_same(store, at, recording):
    memo = hear(store, at, recording)
    file = store.audio_file(memo.audio)
    file.write_bytes(b"noise")
    with pytest.raises(StoreError, match=r"is damaged.*words are kept"):
        store.audio_file(memo.audio)
    assert [fault.what for fault in store.check()] == [f"The recording {file} is damaged."]
    hear(store, at, recording)
    assert store.check() == ()


def test_a_lost_recording_is_found(store, at, recording):
    memo = hear(store, at, recording)
    store.audio_file(memo.audio).unlink()
    (fault,) = store.check()
    assert "cannot be read" in fault.what
    with pytest.raises(RequestError, match="no recording"):
        store.audio_file("0" * 64)


def test_what_a_crash_left_in_the_folder_is_found(store, path, at, recording):
    hear(store, at, recording)
    left = path.with_name(f"{path.name}.audio") / ".unfinished-abc"
    left.write_bytes(b"half")
    (fault,) = store.check()
    assert "cut short" in fault.what


def test_a_folder_of_another_place_can_be_named(path, at, recording, tmp_path):
    with Store.open(str(path), audio=tmp_path / "sounds") as store:
        memo = hear(store, at, recording)
        assert tmp_path / "sounds" in store.audio_file(memo.audio).parents
