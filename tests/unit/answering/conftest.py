"""A small invented farm with a fortnight of records."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from voicelog.farm import Farm, read_farm
from voicelog.records import Store
from voicelog.types import (
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

FARM = """
name = "Saltgrass"
timezone = "America/Halifax"
latitude = 44.9
longitude = -63.1
helpers = ["Odile", "Fenn"]

[[place]]
name = "Gull coop"
kind = "coop"
also = ["gull"]
[[place]]
name = "Tern coop"
kind = "coop"
also = ["tern"]
[[place]]
name = "Plover coop"
kind = "coop"
also = ["plover"]
[[place]]
name = "chick pen"
kind = "pen"
[[place]]
name = "dune paddock"
kind = "paddock"
[[place]]
name = "marsh paddock"
kind = "paddock"
[[place]]
name = "brooder"
kind = "brooder"
[[place]]
name = "netting"
kind = "netting"
[[place]]
name = "east row"
kind = "nest_row"
[[place]]
name = "west row"
kind = "nest_row"
[[place]]
name = "boat shed"
kind = "shed"
[[place]]
name = "tidal pond"
kind = "water"

[[flock]]
name = "hens"
class = "layer"
count = 30
place = "Gull coop"
[[flock]]
name = "cocks"
class = "cock"
count = 3
place = "Plover coop"
[[flock]]
name = "chicks"
class = "chick"
count = 24
place = "brooder"

[[bird]]
name = "Saffron"
flock = "hens"
breed = "Light Sussex"
[[bird]]
name = "Thimble"
flock = "hens"
breed = "Welsummer"
[[bird]]
name = "Nettle"
flock = "hens"
[[bird]]
name = "Admiral"
flock = "cocks"

[[measure]]
unit = "scoop"
of = "layer"
holds = "2 lb"
[[measure]]
unit = "scoop"
of = "grower"
holds = "1.5 lb"
[[measure]]
unit = "bucket"
of = "water"
holds = "5 gallon"

[[chore]]
record = "feed"
places = ["Gull coop", "Tern coop", "Plover coop"]
every = "day"
[[chore]]
record = "doors"
every = "day"
match = { action = "shut_in" }
[[chore]]
record = "litter"
places = ["east row", "west row"]
every = "week"
match = { target = "nest_box" }
[[chore]]
record = "water"
places = ["Gull coop"]
every = "week"
match = { action = "scrubbed" }
"""


def at(text: str) -> datetime:
    """A moment of June 2027 on the farm's clock: "07 08:10" is the seventh."""
    return datetime.fromisoformat(f"2027-06-{text}").replace(tzinfo=ZONE)


def told(
    kind: str,
    said: str,
    text: str,
    place: str | None = None,
    *,
    status: Status = Status.DONE,
    day: str | None = None,
    flock: str | None = None,
    birds: tuple[str, ...] = (),
    by: str | None = None,
    **slots: SlotValue,
) -> tuple[datetime, Draft]:
    """A record and when its memo was said; `day` is another day of June that it speaks of."""
    now = at(said)
    when = Interval(from_=now, to=now, precision=Precision.MINUTE)
    if day is not None:
        start = at(f"{day} 00:00")
        when = Interval(from_=start, to=start + timedelta(days=1), precision=Precision.DAY)
    return now, Draft(
        kind=kind, status=status, when=when, when_said=day, place=place, flock=flock,
        birds=birds, by=by, slots=frozen_slots(slots), text=text, certainty=1.0,
    )  # fmt: skip


def some(value: float, unit: str) -> Quantity:
    """An amount."""
    return Quantity(value=value, unit=unit)


def records() -> Iterator[tuple[datetime, Draft]]:
    """A fortnight; Monday is the seventh."""
    eggs = {1: (10, 7), 2: (11, 8), 3: (9, 6), 4: (12, 9), 5: (10, 8), 6: (8, 7),
            7: (11, 9), 8: (13, 10), 9: (12, 8), 10: (10, 9)}  # fmt: skip
    for day, (gull, tern) in eggs.items():
        said = f"{day:02} 17:30"
        text = f"{gull} eggs in gull and {tern} in tern"
        broken = {"cracked": 2} if day == 8 else {}
        soiled = {"dirty": 3} if day == 9 else {}
        yield told("eggs", said, text, "Gull coop", count=gull, **broken)
        yield told("eggs", said, text, "Tern coop", count=tern, **soiled)
        fed = f"{day:02} 07:30"
        yield told("feed", fed, "fed gull", "Gull coop", feed_type="layer", amount=some(3, "scoop"))
        if day != 10:
            yield told("feed", fed, "fed tern", "Tern coop", feed_type="layer",
                       amount=some(2, "scoop"))  # fmt: skip
        yield told("doors", f"{day:02} 20:40", "everybody shut in", action="shut_in",
                   by="Odile" if day == 9 else None)  # fmt: skip
        yield told("doors", f"{day:02} 06:40", "let them out", action="let_out")
    yield told("feed", "08 08:00", "grower for the chick pen", "chick pen", feed_type="grower",
               amount=some(4, "scoop"))  # fmt: skip
    yield told("feed", "09 09:00", "six pounds of layer for plover", "Plover coop",
               feed_type="layer", amount=some(6, "pound"))  # fmt: skip
    yield told("feed", "10 07:50", "no time to feed tern", "Tern coop", status=Status.NOT_DONE)
    yield told("water", "07 08:00", "two buckets from the pond", "Gull coop", source="pond",
               amount=some(2, "bucket"))  # fmt: skip
    yield told("water", "09 08:00", "three buckets", "Gull coop", amount=some(3, "bucket"))
    yield told("water", "06 10:00", "scrubbed the drinker in gull", "Gull coop", action="scrubbed",
               container="drinker")  # fmt: skip
    yield told("litter", "05 10:00", "fresh straw in the east row", "east row", target="nest_box",
               material="straw", action="refreshed")  # fmt: skip
    yield told("litter", "09 10:00", "topped up the west row with shavings", "west row",
               target="nest_box", material="pine_shavings", action="topped_up")  # fmt: skip
    yield told("litter", "08 11:00", "cleaned out the floor of tern", "Tern coop", target="floor",
               action="cleaned_out", by="Fenn")  # fmt: skip
    yield told("move", "03 11:00", "gull coop to the dune paddock", "Gull coop", subject="coop",
               to="dune paddock")  # fmt: skip
    yield told("move", "08 12:00", "moved gull forty feet", "Gull coop", subject="coop",
               distance=some(40, "foot"), direction="ne")  # fmt: skip
    yield told("move", "06 12:00", "fence round the marsh paddock", subject="fence",
               to="marsh paddock")  # fmt: skip
    yield told("move", "09 16:00", "ran out of time to move tern", "Tern coop",
               status=Status.NOT_DONE, subject="coop")  # fmt: skip
    for said, volts in (("05 09:00", 4.2), ("07 09:00", 6.4), ("09 18:00", 3.9)):
        yield told("fence", said, f"fence {volts}", action="tested", voltage=some(volts, "kV"))
    yield told("fence", "08 07:00", "fence off for mowing", action="off")
    yield told("fence", "08 13:00", "fence on again", action="on")
    yield told("shade", "04 11:00", "shade up over tern", "Tern coop", action="set_up")
    yield told("broody", "02 12:00", "thimble has gone broody", "east row", birds=("Thimble",),
               action="seen")  # fmt: skip
    yield told("broody", "03 12:00", "set thimble on eleven eggs", "boat shed",
               birds=("Thimble",), action="set", eggs_under=11)  # fmt: skip
    yield told("broody", "04 12:00", "nettle is broody", "west row", birds=("Nettle",),
               action="seen")  # fmt: skip
    yield told("broody", "07 12:00", "broke nettle up", birds=("Nettle",), action="broken_up")
    yield told("health", "05 15:00", "saffron is sneezing", "Gull coop", birds=("Saffron",),
               sign="sneezing")  # fmt: skip
    yield told("health", "08 15:00", "admiral has a pale comb", "Plover coop",
               birds=("Admiral",), sign="pale_comb")  # fmt: skip
    yield told("treatment", "06 09:00", "antibiotic for saffron, three days, ten days withdrawal",
               birds=("Saffron",), what="antibiotic", dose="one drop a day", days=3,
               withdrawal_days=10)  # fmt: skip
    yield told("treatment", "07 09:00", "saffron's antibiotic", birds=("Saffron",),
               what="antibiotic", by="Fenn")  # fmt: skip
    yield told("loss", "04 07:00", "two hens gone to the fox", "Tern coop", flock="hens", count=2,
               cause="predator")  # fmt: skip
    yield told("loss", "08 18:00", "lost three chicks in the brooder", "brooder", flock="chicks",
               count=3, cause="found_dead")  # fmt: skip
    yield told("arrival", "01 09:00", "twenty four chicks came", "brooder", flock="chicks",
               count=24, how="bought", age=some(1, "day"))  # fmt: skip
    yield told("predator", "04 06:50", "fox at tern", "Tern coop", animal="fox", sign="kill")
    yield told("predator", "07 21:00", "owl over the dune paddock", "dune paddock", animal="owl",
               sign="sighting")  # fmt: skip
    yield told("treat", "06 15:00", "melon for the hens", flock="hens", what="melon")
    yield told("treat", "09 15:00", "kale for gull", "Gull coop", what="kale",
               amount=some(1, "bucket"))  # fmt: skip
    yield told("brooder", "07 10:00", "brooder at ninety", "brooder", action="checked",
               temperature=some(90, "degree"))  # fmt: skip
    yield told("brooder", "09 10:30", "brooder at eighty seven", "brooder", action="raised_lamp",
               temperature=some(87, "degree"))  # fmt: skip
    yield told("supply", "02 14:00", "three bags of layer feed, sixty dollars", item="layer feed",
               action="bought", amount=some(3, "bag"), cost=some(60, "dollar"))  # fmt: skip
    yield told("supply", "05 14:00", "starter for eighteen fifty", item="starter",
               action="bought", amount=some(1, "bag"), cost=some(18.5, "dollar"))  # fmt: skip
    yield told("supply", "05 14:05", "two bales of straw for fourteen", item="straw",
               action="bought", amount=some(2, "bale"), cost=some(14, "dollar"))  # fmt: skip
    yield told("supply", "08 08:30", "low on straw", item="straw", action="low")
    yield told("supply", "04 08:30", "low on starter", item="starter", action="low")
    yield told("sale", "05 09:00", "five dozen eggs, twenty five dollars", item="eggs",
               amount=some(5, "dozen"), price=some(25, "dollar"))  # fmt: skip
    yield told("sale", "09 11:00", "one flat of eggs, twelve dollars", item="eggs",
               amount=some(1, "flat"), price=some(12, "dollar"))  # fmt: skip
    yield told("repair", "07 14:00", "mended the ramp on plover", "Plover coop", item="ramp",
               action="mended", by="Odile")  # fmt: skip
    yield told("weather", "08 06:00", "fog, forty eight degrees", condition="fog",
               temperature=some(48, "degree"))  # fmt: skip
    yield told("weather", "09 14:00", "hot, eighty eight", condition="hot",
               temperature=some(88, "degree"))  # fmt: skip
    yield told("move", "09 19:00", "tern goes to the marsh paddock on saturday", "Tern coop",
               status=Status.PLANNED, day="12", subject="coop", to="marsh paddock")  # fmt: skip
    yield told("repair", "06 19:00", "going to fix the latch on gull on tuesday", "Gull coop",
               status=Status.PLANNED, day="08", item="latch", action="fixed")  # fmt: skip
    yield told("repair", "06 19:05", "the ramp on plover needs mending", "Plover coop",
               status=Status.PLANNED, item="ramp", action="fixed")  # fmt: skip
    yield told("supply", "09 19:05", "need to buy oyster shell", status=Status.PLANNED,
               item="oyster shell", action="bought")  # fmt: skip
    yield told("arrival", "09 19:10", "eight pullets are coming on the fourteenth",
               status=Status.PLANNED, day="14", flock="pullets", count=8)  # fmt: skip
    # Said later than most questions are asked: they must not be seen before.
    yield told("eggs", "20 17:30", "ninety nine eggs in gull", "Gull coop", count=99)


@pytest.fixture(scope="session")
def saltgrass() -> Farm:
    """The farm."""
    return read_farm(FARM)


@pytest.fixture(scope="session")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """A store with the fortnight."""
    with Store.open(str(tmp_path_factory.mktemp("answering") / "farm.db")) as store:
        for now, one in sorted(records(), key=lambda pair: pair[0]):
            memo = store.keep_memo(said_at=now, text=one.text, source="typed")
            store.keep_parse(memo.id, Parse(memo=one.text, now=now, records=(one,)), parser="hand")
        yield store
