"""An invented farm for sums of the trade, and a way to keep what was told there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from voicelog.answering import answer
from voicelog.farm import Farm, read_farm
from voicelog.records import Store
from voicelog.types import (
    Answer,
    Draft,
    Interval,
    Parse,
    Precision,
    Quantity,
    SlotValue,
    Status,
    frozen_slots,
)

ZONE = ZoneInfo("America/Halifax")
NOW = datetime(2027, 6, 15, 12, tzinfo=ZONE)
"""A Tuesday at noon; that day's eggs are not gathered yet."""

LAND = """
name = "Thrift Point"
timezone = "America/Halifax"
latitude = 44.9
longitude = -63.1

[[place]]
name = "Gull coop"
kind = "coop"
[[place]]
name = "Tern coop"
kind = "coop"
[[place]]
name = "dune paddock"
kind = "paddock"
[[place]]
name = "marsh paddock"
kind = "paddock"
[[place]]
name = "hill paddock"
kind = "paddock"
[[place]]
name = "brooder"
kind = "brooder"
[[place]]
name = "long net"
kind = "netting"
"""
HENS = """
[[flock]]
name = "hens"
class = "layer"
count = 10
since = 2027-05-01
place = "Gull coop"
[[bird]]
name = "Mabel"
flock = "hens"
[[bird]]
name = "Tansy"
flock = "hens"
"""
PULLETS = """
[[flock]]
name = "pullets"
class = "pullet"
count = 4
since = 2027-05-01
hatched = 2027-01-20
place = "Tern coop"
"""
CHICKS = """
[[flock]]
name = "chicks"
class = "chick"
count = 20
since = 2027-06-02
hatched = 2027-06-01
place = "brooder"
"""
MEASURES = """
[[measure]]
unit = "scoop"
of = "layer"
holds = "2.5 lb"
[[measure]]
unit = "bag"
of = "layer"
holds = "50 lb"
[[measure]]
unit = "bucket"
of = "water"
holds = "5 gallon"
"""

Row = tuple[datetime, Draft]


def farm(*parts: str) -> Farm:
    """The land with these parts of its farm file."""
    return read_farm("".join((LAND, *parts)))


def at(text: str) -> datetime:
    """A moment of 2027 on the farm's clock: "06-07 08:10"."""
    return datetime.fromisoformat(f"2027-{text}").replace(tzinfo=ZONE)


def told(
    kind: str,
    said: str,
    text: str,
    *,
    place: str | None = None,
    flock: str | None = None,
    birds: tuple[str, ...] = (),
    status: Status = Status.DONE,
    **slots: SlotValue,
) -> Row:
    """A record and when its memo was said."""
    now = at(said)
    return now, Draft(
        kind=kind, status=status, when=Interval(from_=now, to=now, precision=Precision.MINUTE),
        when_said=None, place=place, flock=flock, birds=birds, slots=frozen_slots(slots),
        text=text, certainty=1.0,
    )  # fmt: skip


def some(value: float, unit: str) -> Quantity:
    """An amount."""
    return Quantity(value=value, unit=unit)


def eggs(counts: dict[int, int]) -> list[Row]:
    """What was gathered in the evening of days of June."""
    return [
        told("eggs", f"06-{day:02} 17:30", f"{count} eggs in gull", place="Gull coop", count=count)
        for day, count in counts.items()
    ]


@contextmanager
def kept(rows: Iterable[Row]) -> Iterator[Store]:
    """A store that holds these records."""
    with (
        TemporaryDirectory() as folder,
        Store.open(str(Path(folder) / "farm.db")) as store,
    ):
        for now, draft in sorted(rows, key=lambda row: row[0]):
            memo = store.keep_memo(said_at=now, text=draft.text, source="typed")
            parse = Parse(memo=draft.text, now=now, records=(draft,))
            store.keep_parse(memo.id, parse, parser="hand")
        yield store


def ask(question: str, rows: Iterable[Row], of: Farm, now: datetime = NOW) -> Answer:
    """The answer from these records alone."""
    with kept(rows) as store:
        return answer(question, store, of, now)


def midnight(text: str) -> datetime:
    """The beginning of a day of 2027: "06-24"."""
    return at(f"{text} 00:00")


def later(days: float) -> datetime:
    """So many days after the moment of asking."""
    return NOW + timedelta(days=days)
