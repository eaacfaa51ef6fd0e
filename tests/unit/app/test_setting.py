"""Which store, farm file and time a command goes by."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicelog.app.setting import find_setting, user_folder
from voicelog.errors import FarmFileError, RequestError


@pytest.fixture(autouse=True)
def home(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def test_without_options_both_are_in_the_users_folder(home: Path) -> None:
    setting = find_setting()
    assert setting.store_path == home / "voicelog" / "voicelog.db"
    assert setting.farm_path == home / "voicelog" / "farm.toml"
    assert user_folder() == home / "voicelog"


def test_the_farm_file_beside_the_store_is_taken(tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_text('name = "here"\ntimezone = "Asia/Tokyo"\n')
    setting = find_setting(str(tmp_path / "mine.db"))
    assert setting.farm.name == "here"
    assert setting.now().tzinfo is not None


def test_without_one_beside_the_store_it_is_the_users(tmp_path: Path, home: Path) -> None:
    assert find_setting(str(tmp_path / "mine.db")).farm_path == home / "voicelog" / "farm.toml"


def test_no_farm_file_is_a_farm_without_names() -> None:
    farm = find_setting().farm
    assert (farm.places, farm.chores) == ((), ())


def test_a_farm_file_that_was_named_must_be_there(tmp_path: Path) -> None:
    with pytest.raises(FarmFileError, match=r"nowhere\.toml"):
        _ = find_setting(farm=tmp_path / "nowhere.toml").farm


@pytest.mark.parametrize(
    ("store", "path"),
    [
        ("/a/b.db", "/a/b.db"),
        ("sqlite:////a/b.db", "/a/b.db"),
        ("postgresql://host/farm", None),
    ],
)
def test_the_file_of_a_store(store: str, path: str | None) -> None:
    assert find_setting(store).store_path == (Path(path) if path else None)


@pytest.mark.parametrize(
    ("now", "iso"),
    [
        ("2027-05-04T08:10", "2027-05-04T08:10:00+09:00"),
        ("2027-05-04", "2027-05-04T00:00:00+09:00"),
        ("2027-05-04T08:10+02:00", "2027-05-04T15:10:00+09:00"),
        ("2027-05-04T08:10Z", "2027-05-04T17:10:00+09:00"),
    ],
)
def test_now_is_on_the_farms_clock(tmp_path: Path, now: str, iso: str) -> None:
    (tmp_path / "farm.toml").write_text('name = "here"\ntimezone = "Asia/Tokyo"\n')
    assert find_setting(str(tmp_path / "s.db"), now=now).now().isoformat() == iso


@pytest.mark.parametrize("now", ["", "noon", "2027-13-01", "0001-01-01T00:00", "9999-12-31"])
def test_a_now_that_is_none_is_refused(now: str) -> None:
    with pytest.raises(RequestError, match="no date and time"):
        find_setting(now=now).now()


def test_a_server_keeps_recordings_in_the_folder_named_and_a_file_beside_itself(
    tmp_path: Path,
) -> None:
    on_server = find_setting("postgresql://host/farm", recordings=tmp_path)
    assert on_server.recordings_apart == tmp_path
    assert find_setting("postgresql://host/farm").recordings_apart is None
    assert find_setting(str(tmp_path / "a.db"), recordings=tmp_path).recordings_apart is None
