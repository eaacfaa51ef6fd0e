"""A farm file made and added to."""

from __future__ import annotations

import errno
from datetime import date
from pathlib import Path

import pytest

from voicelog.app.farm_edits import add_part, farm_form, new_farm
from voicelog.errors import FarmFileError, RequestError
from voicelog.farm import Farm, load_farm


def made(path: Path) -> Farm:
    return new_farm(path, name="Plum", timezone="Europe/Oslo", latitude=60.0, longitude=None)


def test_a_new_file_reads_back(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "farm.toml"
    farm = made(path)
    assert load_farm(path) == farm
    assert (farm.name, farm.timezone, farm.latitude) == ("Plum", "Europe/Oslo", 60.0)


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_text("# mine\n")
    with pytest.raises(RequestError, match="already"):
        made(path)
    assert path.read_text() == "# mine\n"


def test_an_unknown_zone_is_refused_with_a_hint(tmp_path: Path) -> None:
    with pytest.raises(RequestError, match="Europe/Oslo"):
        new_farm(tmp_path / "f.toml", name="x", timezone="oslo", latitude=None, longitude=None)


def test_what_is_added_reads_back_and_comments_stay(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    made(path)
    path.write_text(path.read_text() + "# by hand")
    name = 'the "new" coop \\ ü\x7f'
    add_part(path, "place", {"name": name, "kind": "coop", "also": ["a", "b"]})
    add_part(path, "flock", {"name": "hens", "class": "layer", "since": date(2027, 1, 2)})
    farm = add_part(
        path,
        "chore",
        {"record": "fence", "every": "2 days", "match": {"action": "tested"}, "by": None},
    )
    assert farm == load_farm(path)
    assert [place.name for place in farm.places] == [name]
    assert farm.flocks[0].since == date(2027, 1, 2)
    assert dict(farm.chores[0].match) == {"action": "tested"}
    assert "# by hand\n" in path.read_text()
    assert farm_form(farm)["chore"][0]["every"] == "2 day"


@pytest.mark.parametrize(
    ("part", "fields"),
    [
        ("place", {"name": "x", "kind": "castle"}),
        ("flock", {"name": "x", "class": "dragon"}),
        ("chore", {"record": "nothing"}),
    ],
)
def test_a_fault_leaves_the_file_as_it_was(
    tmp_path: Path, part: str, fields: dict[str, str]
) -> None:
    path = tmp_path / "farm.toml"
    made(path)
    before = path.read_bytes()
    with pytest.raises(FarmFileError):
        add_part(path, part, fields)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_where_nothing_may_be_written_the_reason_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(Path, "open", refuse)
    monkeypatch.setattr(Path, "unlink", refuse)
    with pytest.raises(FarmFileError, match=r"cannot be written: Read-only.*left as it was"):
        made(tmp_path / "farm.toml")
