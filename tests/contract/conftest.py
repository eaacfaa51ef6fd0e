"""One invented farm, a parser for it, and the program run as other programs run it."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from voicelog.farm import Farm, load_farm

Form = dict[str, Any]

FARM = """\
name = "Quince Bank"
timezone = "America/New_York"
{sun}

[[place]]
name = "coop A"
kind = "coop"

[[place]]
name = "coop B"
kind = "coop"
also = ["bee coop"]

[[place]]
name = "north paddock"
kind = "paddock"

[[flock]]
name = "hens"
class = "layer"
count = 36
place = "coop B"

[[flock]]
name = "pullets"
class = "pullet"
count = 12

[[bird]]
name = "Juniper"
flock = "hens"

[[bird]]
name = "Clove"
flock = "hens"

[[chore]]
record = "eggs"
places = ["coop A", "coop B"]
every = "day"
by = "12:00"

[[chore]]
record = "fence"
every = "2 days"
match = {{ action = "tested" }}

[[chore]]
record = "litter"
every = "week"

[[chore]]
record = "move"
places = ["coop A"]
every = "month"
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What one call of the program gave."""

    code: int
    out: bytes
    err: str

    @property
    def objects(self) -> list[Form]:
        """The objects printed, one a line."""
        assert self.out.endswith(b"\n") or not self.out
        return [json.loads(line) for line in self.out.split(b"\n")[:-1]]

    @property
    def object(self) -> Form:
        """The only object printed."""
        (form,) = self.objects
        return form


Call = Callable[..., Ran]


@pytest.fixture(autouse=True)
def _plain_surroundings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    for name in ("VOICELOG_STORE", "VOICELOG_FARM", "VOICELOG_TRACE", "VOICELOG_MODEL"):
        monkeypatch.delenv(name, raising=False)


def _farm_file(folder: Path, sun: str) -> Path:
    path = folder / "farm.toml"
    path.write_text(FARM.format(sun=sun), encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def farm_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The farm, in the north."""
    return _farm_file(tmp_path_factory.mktemp("north"), "latitude = 42.0\nlongitude = -72.0")


@pytest.fixture(scope="session")
def farm(farm_file: Path) -> Farm:
    return load_farm(farm_file)


@pytest.fixture(scope="session")
def southern_farm(tmp_path_factory: pytest.TempPathFactory) -> Farm:
    """The same farm south of the equator."""
    sun = "latitude = -42.0\nlongitude = -72.0"
    return load_farm(_farm_file(tmp_path_factory.mktemp("south"), sun))


@pytest.fixture(scope="session")
def sunless_farm(tmp_path_factory: pytest.TempPathFactory) -> Farm:
    """The same farm without latitude and longitude."""
    return load_farm(_farm_file(tmp_path_factory.mktemp("sunless"), ""))


@pytest.fixture
def store_file(tmp_path: Path) -> Path:
    """Where the store goes; nothing is there yet."""
    return tmp_path / "store.db"


@pytest.fixture
def run(farm_file: Path, store_file: Path) -> Call:
    """The program with the farm and an own store, its output as bytes."""
    from voicelog.cli import app

    def called(*arguments: str, now: str = "2027-05-04T18:00", typed: bytes | None = None) -> Ran:
        first, *rest = arguments
        options = ["--store", str(store_file), "--farm", str(farm_file), "--now", now]
        given: Sequence[str] = [first, *options, *rest]
        result = CliRunner().invoke(app, given, input=typed, prog_name="voicelog")
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return Ran(code=result.exit_code, out=result.stdout_bytes, err=result.stderr)

    return called


@pytest.fixture
def note(run: Call) -> Callable[..., list[Form]]:
    """Memos noted in one go, as pairs of a time and a text; their objects."""

    def noted(*memos: tuple[str, str]) -> list[Form]:
        lines = [json.dumps({"now": now, "text": text}) for now, text in memos]
        ran = run("note", "--json", "-", typed="\n".join(lines).encode())
        assert (ran.code, ran.err) == (0, "")
        return ran.objects

    return noted
