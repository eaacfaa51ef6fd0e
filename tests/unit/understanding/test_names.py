"""How the farm's own names are known again, as they are said, typed and heard."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from voicelog.farm import Bird, Farm, Flock, Place
from voicelog.understanding import Parser
from voicelog.understanding.lexicon import Role

NOW = datetime(2027, 5, 4, 8, 10, tzinfo=UTC)
FARM = Farm(
    places=(
        Place(name="coop A", kind="coop"),
        Place(name="coop B", kind="coop", also=("bee house",)),
        Place(name="coop 3", kind="coop"),
        Place(name="the old barn", kind="shed"),
        Place(name="Moss Field", kind="paddock"),
        Place(name="chick pen", kind="pen"),
    ),
    flocks=(Flock(name="blue flock", class_="layer"), Flock(name="bantams", class_="other")),
    birds=(Bird(name="Juniper", flock="blue flock", also=("June",)), Bird(name="Mrs Gray")),
)


@pytest.fixture(scope="module")
def parser() -> Parser:
    return Parser(FARM)


def names(parser: Parser, text: str) -> list[tuple[str, str]]:
    found = parser.mentions(text, NOW).names
    return [(name.role.value, name.value) for name in found if name.role is not Role.BREED]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("in coop b", "coop B"),
        ("in Coop B", "coop B"),
        ("in coop bee", "coop B"),
        ("in coop be", "coop B"),
        ("in coupe b", "coop B"),
        ("in coupe be", "coop B"),
        ("in the bee house", "coop B"),
        ("coop b's waterer", "coop B"),
        ("in coop three", "coop 3"),
        ("in coop 3", "coop 3"),
        ("in the old barn", "the old barn"),
        ("in old barn", "the old barn"),
        ("to moss field", "Moss Field"),
        ("in the chick pin", "chick pen"),
        ("in the pen", "chick pen"),
        ("six from b", "coop B"),
    ],
)
def test_a_place(text: str, name: str, parser: Parser) -> None:
    assert names(parser, text) == [("place", name)]


@pytest.mark.parametrize(
    ("text", "role", "name"),
    [
        ("saw juniper", "bird", "Juniper"),
        ("JUNIPER", "bird", "Juniper"),
        ("june's eggs", "bird", "Juniper"),
        ("mrs gray", "bird", "Mrs Gray"),
        ("fed the blue flock", "flock", "blue flock"),
        ("fed the hens", "flock", "blue flock"),
        ("fed the hands", "flock", "blue flock"),
        ("fed the bantams", "flock", "bantams"),
        ("two chicks", "flock", "chicks"),
        ("the pull its", "flock", "pullets"),
    ],
)
def test_birds(text: str, role: str, name: str, parser: Parser) -> None:
    assert names(parser, text) == [(role, name)]


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("coops a and b", ["coop A", "coop B"]),
        ("coops a, b", ["coop A", "coop B"]),
        ("coops a b", ["coop A", "coop B"]),
        ("coop a, b, and moss field", ["coop A", "coop B", "Moss Field"]),
        ("coop b and a good day", ["coop B"]),
        ("six from b and a bucket", ["coop B"]),
    ],
)
def test_letters_alone_in_a_list(text: str, places: list[str], parser: Parser) -> None:
    assert names(parser, text) == [("place", place) for place in places]


def test_a_place_nobody_wrote_down(parser: Parser) -> None:
    (name,) = parser.mentions("moved coop q", NOW).names
    assert (name.value, name.known) == ("coop Q", False)


@pytest.mark.parametrize("text", ["coop two eggs", "in the coop", "be quick", "a hen house"])
def test_what_is_no_name(text: str, parser: Parser) -> None:
    assert [name for name in names(parser, text) if name[0] == "place"] == []


def test_the_longest_name_is_the_one_meant() -> None:
    farm = Farm(
        places=(Place(name="coop", kind="coop"), Place(name="north coop", kind="coop")),
        birds=(Bird(name="North"),),
    )
    assert names(Parser(farm), "in the north coop") == [("place", "north coop")]


def test_a_breed_is_written_as_in_books(parser: Parser) -> None:
    (draft,) = parser.parse("one of the barred rocks is limping", NOW).records
    assert draft.birds == ("Barred Rock",)
