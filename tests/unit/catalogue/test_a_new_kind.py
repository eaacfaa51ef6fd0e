"""A new kind of record is one file of data: understood, kept and listed without a line of code."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from voicelog.catalogue import loader
from voicelog.farm import Farm, Flock, Place
from voicelog.records import Store
from voicelog.records.wanted import Wanted
from voicelog.types import Quantity
from voicelog.understanding import Parser

DATA = Path(loader.__file__).with_name("data")
NOW = datetime(2027, 5, 4, 8, 10, tzinfo=UTC)
MOWING = """
kind = "mowing"
title = "mowing"
chore = "mow the grass"
main = "height"
needs = ["height"]
per_place = true
says = ["mow~"]
about = ["grass height"]

[slot.height]
type = "quantity"
tells = "helps"
title = "height"
dimensions = ["length"]
before = ["to", "down to"]
low = 1
high = 20

[slot.with]
type = "choice"
tells = "helps"
title = "machine"
[slot.with.values]
scythe = ["scythe+"]
push_mower = ["push mower+"]
"""


@pytest.fixture(scope="module")
def parser(tmp_path_factory: pytest.TempPathFactory) -> Parser:
    data = shutil.copytree(DATA, tmp_path_factory.mktemp("catalogue") / "data")
    (data / "kinds" / "mowing.toml").write_text(MOWING, encoding="utf-8")
    farm = Farm(
        places=(
            Place(name="hill paddock", kind="paddock"),
            Place(name="creek paddock", kind="paddock"),
        ),
        flocks=(Flock(name="hens", class_="layer", count=10),),
    )
    return Parser(farm, catalogue=loader.read_catalogue(data))


@pytest.mark.parametrize(
    "text",
    [
        "mowed the hill paddock to four inches with the scythe",
        "mowed the hill paddock four inches, scythe",
        "hill paddock: mowed to four inches with the scythe",
    ],
)
def test_it_is_understood(text: str, parser: Parser) -> None:
    (draft,) = parser.parse(text, NOW).records
    assert (draft.kind, draft.place) == ("mowing", "hill paddock")
    assert dict(draft.slots) == {"height": Quantity(value=4, unit="inch"), "with": "scythe"}
    assert draft.doubts == ()


def test_it_knows_plans_places_and_doubts(parser: Parser) -> None:
    first, second = parser.parse("mowed hill paddock and creek paddock to four inches", NOW).records
    assert {first.place, second.place} == {"hill paddock", "creek paddock"}
    (plan,) = parser.parse("tomorrow i need to mow the hill paddock", NOW).records
    assert plan.status == "planned"
    (left,) = parser.parse("didn't mow the hill paddock", NOW).records
    assert left.status == "not_done"
    (doubted,) = parser.parse("mowed the hill paddock to forty inches", NOW).records
    assert doubted.doubts


def test_it_stands_beside_the_other_kinds(parser: Parser) -> None:
    got = parser.parse("gathered six eggs and mowed the hill paddock to four inches", NOW)
    assert [draft.kind for draft in got.records] == ["eggs", "mowing"]


def test_it_is_kept_and_listed(parser: Parser, tmp_path: Path) -> None:
    text = "mowed the hill paddock to four inches with the scythe"
    with Store.open(str(tmp_path / "farm.db")) as store:
        memo = store.keep_memo(said_at=NOW, text=text, source="typed")
        store.keep_parse(memo.id, parser.parse(text, NOW), parser="1")
        (record,) = store.find(Wanted(kinds=("mowing",)))
    assert record.draft.slots["height"] == Quantity(value=4, unit="inch")
    assert record.draft.text == text
