"""A small invented farm, a store on it, and the command line called in this process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from typer.testing import CliRunner

from voicelog.records import Store
from voicelog.types import Draft, Interval, Parse, Precision, Quantity, Status, frozen_slots

FARM = """\
name = "Plum Hollow"
timezone = "America/New_York"
latitude = 42.0
longitude = -72.0

[[place]]
name = "coop A"
kind = "coop"

[[place]]
name = "coop B"
kind = "coop"
also = ["bee coop"]

[[flock]]
name = "hens"
class = "layer"
count = 36

[[bird]]
name = "Juniper"
flock = "hens"

[[chore]]
record = "eggs"
places = ["coop A", "coop B"]
every = "day"
by = "12:00"

[[chore]]
record = "fence"
every = "2 days"
match = { action = "tested" }
"""
ZONE = ZoneInfo("America/New_York")
NOW = "2027-05-04T18:00"


class Ran:
    """What a call of the command line gave."""

    def __init__(self, code: int, out: str, err: str) -> None:
        self.code = code
        self.out = out
        self.err = err


@pytest.fixture(autouse=True)
def _plain_surroundings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    for name in ("VOICELOG_STORE", "VOICELOG_FARM", "VOICELOG_RECORDINGS", "VOICELOG_TRACE"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def farm_file(tmp_path: Path) -> Path:
    """The farm file, beside where the store goes."""
    path = tmp_path / "farm.toml"
    path.write_text(FARM, encoding="utf-8")
    return path


@pytest.fixture
def store_file(tmp_path: Path, farm_file: Path) -> Path:
    """Where the store goes; nothing is there yet."""
    assert farm_file.exists()
    return tmp_path / "store.db"


@pytest.fixture
def call() -> Callable[..., Ran]:
    """The command line, without a store named."""
    from voicelog.cli import app

    def called(*arguments: str, typed: str | bytes | None = None) -> Ran:
        result = CliRunner().invoke(app, list(arguments), input=typed, prog_name="voicelog")
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        return Ran(result.exit_code, result.stdout, result.stderr)

    return called


@pytest.fixture
def run(call: Callable[..., Ran], store_file: Path) -> Callable[..., Ran]:
    """The command line on the store of this test, on an evening in May."""

    def called(*arguments: str, typed: str | bytes | None = None, now: str = NOW) -> Ran:
        first, *rest = arguments
        return call(first, "--store", str(store_file), "--now", now, *rest, typed=typed)

    return called


def at(clock: str, day: str = "2027-05-04") -> datetime:
    """A moment on the farm's clock."""
    return datetime.fromisoformat(f"{day}T{clock}").replace(tzinfo=ZONE)


def draft(kind: str, said_at: datetime, text: str, **fields: object) -> Draft:
    """A done record of that moment; keywords that are no field of it are its slots."""
    common = {name: fields.pop(name) for name in list(fields) if name in Draft.__slots__}
    plain = Draft(
        kind=kind,
        status=Status.DONE,
        when=Interval(from_=said_at, to=said_at, precision=Precision.MINUTE),
        when_said=None,
        place=None,
        flock=None,
        birds=(),
        slots=frozen_slots(fields),  # type: ignore[arg-type]
        text=text,
        certainty=0.9,
    )
    return replace(plain, **common)  # type: ignore[arg-type]


def keep(store: Store, said_at: datetime, text: str, *drafts: Draft) -> None:
    """Keep a memo with these records, as if a parser had read them out of it."""
    memo = store.keep_memo(said_at=said_at, text=text, source="typed")
    store.keep_parse(memo.id, Parse(memo=text, now=said_at, records=drafts), parser="by hand")


@pytest.fixture
def filled(store_file: Path) -> Path:
    """A store with a day of records that no parser had a part in."""
    with Store.open(str(store_file)) as store:
        fed = "two scoops of layer for coop b"
        feeding = draft(
            "feed",
            at("08:10"),
            fed,
            place="coop B",
            feed_type="layer",
            amount=Quantity(value=2, unit="scoop"),
        )
        keep(store, at("08:10"), fed, feeding)
        eggs = "nine eggs from coop a, four from coop b"
        keep(
            store,
            at("11:50"),
            eggs,
            draft("eggs", at("11:50"), "nine eggs from coop a", place="coop A", count=9),
            draft(
                "eggs",
                at("11:50"),
                "four from coop b",
                place="coop B",
                count=4,
                doubts=("Was that four in coop B?",),
            ),
        )
        bought = "bought two bags of layer feed for forty dollars"
        supply = draft(
            "supply",
            at("13:00", "2027-05-03"),
            bought,
            item="layer feed",
            action="bought",
            amount=Quantity(value=2, unit="bag"),
            cost=Quantity(value=40, unit="dollar"),
        )
        keep(store, at("13:00", "2027-05-03"), bought, supply)
    return store_file
