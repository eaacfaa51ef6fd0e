"""The farm file: what it may hold, what is taken where nothing is said, and its faults."""

from __future__ import annotations

from datetime import date, time
from pathlib import Path

import pytest

from voicelog.errors import FarmFileError
from voicelog.farm import EMPTY_FARM, Bird, Every, Farm, Flock, Measure, Place, load_farm, read_farm

WHOLE = """
name = "Plover Lane"
timezone = "Pacific/Auckland"
latitude = -41
longitude = 174.5
currency = "pound"
helpers = ["Wren"]
helpers_sound_like = { Wren = "ren" }

[[place]]
name = "coop B"
kind = "coop"
also = ["bee coop"]
sounds_like = "coop bee"

[[flock]]
name = "hens"
class = "layer"
count = 36
since = 2027-03-01
hatched = "2025-04-10"
place = "coop B"
also = ["old girls"]

[[bird]]
name = "Juniper"
flock = "hens"
breed = "Barred Rock"
also = ["June"]
sounds_like = "june a purr"

[[measure]]
unit = "scoop"
of = "layer"
holds = "3.2 lb"

[[chore]]
record = "eggs"
places = ["coop B"]
every = "2 days"
by = "12:30"
words = "egg round"
"""
HENS = '[[flock]]\nname = "x"\nclass = "layer"\n'
CHORE = '[[chore]]\nrecord = "eggs"\n'
COOP = '[[place]]\nname = "coop B"\nkind = "coop"\n'


def faults(text: str) -> list[str]:
    """The lines told about a text, one for each fault."""
    with pytest.raises(FarmFileError) as refused:
        read_farm(text)
    assert refused.value.kept
    assert refused.value.todo
    return [line.strip() for line in refused.value.what.splitlines()[1:] if line.strip()]


def test_every_part_is_read() -> None:
    farm = read_farm(WHOLE)
    assert (farm.name, farm.timezone, farm.currency) == ("Plover Lane", "Pacific/Auckland", "pound")
    assert (farm.latitude, farm.longitude, farm.helpers) == (-41.0, 174.5, ("Wren",))
    assert farm.helpers_sound_like == {"Wren": "ren"}
    assert farm.places == (
        Place(name="coop B", kind="coop", also=("bee coop",), sounds_like="coop bee"),
    )
    assert farm.flocks == (
        Flock(
            name="hens", class_="layer", count=36, since=date(2027, 3, 1),
            hatched=date(2025, 4, 10), place="coop B", also=("old girls",),
        ),
    )  # fmt: skip
    assert farm.birds == (
        Bird(
            name="Juniper", flock="hens", breed="Barred Rock", also=("June",),
            sounds_like="june a purr",
        ),
    )  # fmt: skip
    assert farm.measures == (Measure(unit="scoop", of="layer", holds="3.2 lb"),)
    (chore,) = farm.chores
    assert (chore.record, chore.places, chore.by) == ("eggs", ("coop B",), time(12, 30))
    assert (chore.every, chore.words) == (Every(count=2, unit="day"), "egg round")
    assert farm.place("coop B") is farm.places[0]
    assert farm.place("coop Z") is None


def test_nothing_need_be_said() -> None:
    assert read_farm("") == EMPTY_FARM == Farm()
    assert (EMPTY_FARM.timezone, EMPTY_FARM.currency, EMPTY_FARM.latitude) == (
        "UTC",
        "dollar",
        None,
    )


def test_a_chore_without_more_is_once_a_day_for_the_farm() -> None:
    (chore,) = read_farm('[[chore]]\nrecord = "weather"\n').chores
    assert (chore.places, chore.by, dict(chore.match)) == ((), None, {})
    assert chore.every == Every(count=1, unit="day")


@pytest.mark.parametrize(
    ("every", "count", "unit"),
    [("day", 1, "day"), ("2 days", 2, "day"), ("week", 1, "week"), ("3 weeks", 3, "week"),
     ("month", 1, "month")],
)  # fmt: skip
def test_how_often(every: str, count: int, unit: str) -> None:
    (chore,) = read_farm(f'{CHORE}every = "{every}"\n').chores
    assert chore.every == Every(count=count, unit=unit)


@pytest.mark.parametrize(
    ("chore", "words"),
    [
        ('record = "eggs"', "gather eggs"),
        ('record = "litter"\nmatch = { target = "nest_box" }', "bedding (nest box)"),
        ('record = "doors"\nmatch = { action = "shut_in" }', "open or shut the doors (shut in)"),
        ('record = "eggs"\nwords = "egg round"', "egg round"),
    ],
)
def test_a_chore_is_called_by_its_kind_and_what_it_must_have(chore: str, words: str) -> None:
    assert read_farm(f"[[chore]]\n{chore}\n").chores[0].words == words


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("dragon = 1", "farm.toml: dragon: is not known; known here: "),
        (f"{COOP}colour = 1", "farm.toml: place[1].colour: is not known; "),
        ("name = 3", "farm.toml: name: is missing or no text; "),
        ('timezone = "Moon/Base"', "farm.toml: timezone: 'Moon/Base' is not known; write one like"),
        ('timezone = "../etc"', "farm.toml: timezone: '../etc' is not known; "),
        ("latitude = 91", "farm.toml: latitude: 91 is no such angle; degrees from -90 to 90"),
        ('longitude = "west"', "farm.toml: longitude: 'west' is no such angle; "),
        ("latitude = true", "farm.toml: latitude: True is no such angle; "),
        ('helpers = "Wren"', "farm.toml: helpers: is no list of texts; "),
        ('helpers_sound_like = "ren"', "farm.toml: helpers_sound_like: 'ren' is no table; "),
        (
            'helpers = ["Wren"]\nhelpers_sound_like = { Finn = "fin" }',
            "farm.toml: helpers_sound_like.Finn: there is no helper 'Finn'; helpers of this farm "
            "are Wren",
        ),
        (f'{COOP}sounds_like = "coop"', "farm.toml: place[1].sounds_like: 'coop' has not as many"),
        (f'{HENS}sounds_like = "x2"', "farm.toml: flock[1].sounds_like: 'x2' is not to be read al"),
        (
            '[[bird]]\nname = "x"\nsounds_like = ["a"]',
            "farm.toml: bird[1].sounds_like: is missing or no text; ",
        ),
        ("place = 1", "farm.toml: place: is not a list of tables; begin each with [[place]]"),
        ('[[place]]\nkind = "coop"', "farm.toml: place[1].name: is missing or no text; "),
        ('[[place]]\nname = "x"\nkind = "castle"', "farm.toml: place[1].kind: 'castle' is not kn"),
        (COOP + COOP, "farm.toml: place: 'coop B' is given twice; give each its own name"),
        ('[[flock]]\nname = "x"\nclass = "duck"', "farm.toml: flock[1].class: 'duck' is not known"),
        (f"{HENS}count = -1", "farm.toml: flock[1].count: -1 is b"),
        (f"{HENS}count = 1.5", "farm.toml: flock[1].count: 1.5 is"),
        (f'{HENS}since = "May"', "farm.toml: flock[1].since: 'May'"),
        ('[[measure]]\nunit = "scoop"', "farm.toml: measure[1].holds: is missing or no text; "),
        ('[[chore]]\nrecord = "dance"', "farm.toml: chore[1].record: 'dance' is not known; one of"),
        (f'{CHORE}every = "often"', "farm.toml: chore[1].every: 'often' is not"),
        (f'{CHORE}every = "0 days"', "farm.toml: chore[1].every: '0 days' is "),
        (f'{CHORE}by = "noonish"', "farm.toml: chore[1].by: 'noonish' is no ti"),
        (f'{CHORE}places = ["moon"]',
         "farm.toml: chore[1].places: there is no place 'moon'; places of this farm are not given"),
        ("latitude = nan", "farm.toml: latitude: nan is no such angle; "),
        (f"{HENS}since = 5", "farm.toml: flock[1].since: 5 is no date; write it like 2027-03-01"),
        (f"{HENS}since = 2027-03-01T08:00:00", "farm.toml: flock[1].since: datetime.datetime("),
        (f'{CHORE}match = 3', "farm.toml: chore[1].match: 3 is no table; "),
        (CHORE + 'match = { colour = "brown" }',
         "farm.toml: chore[1].match.colour: is no slot of that record; slots of eggs are "),
    ],
)  # fmt: skip
def test_a_fault_names_its_key_and_hints(text: str, line: str) -> None:
    (told,) = faults(text)
    assert told.startswith(line), told


def test_all_faults_are_told_at_once() -> None:
    lines = faults(
        'dragon = 1\ntimezone = "Moon/Base"\nlatitude = 91\n'
        '[[place]]\nkind = "castle"\n[[flock]]\nname = "x"\nclass = "duck"\ncount = -1\n'
        '[[chore]]\nrecord = "dance"\nevery = "often"\n'
    )
    for key in (
        "dragon", "timezone", "latitude", "place[1].name", "place[1].kind", "flock[1].class",
        "flock[1].count", "chore[1].record", "chore[1].every",
    ):  # fmt: skip
        assert sum(f": {key}: " in line for line in lines) == 1, key
    assert len(lines) == 9


def test_a_text_that_is_no_toml() -> None:
    with pytest.raises(FarmFileError, match=r"farm\.toml is not well-formed TOML"):
        read_farm("name = ")


def test_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(FarmFileError, match="cannot be read"):
        load_farm(tmp_path / "none.toml")
    (tmp_path / "latin.toml").write_bytes(b'name = "caf\xe9"')
    with pytest.raises(FarmFileError, match="cannot be read"):
        load_farm(tmp_path / "latin.toml")


def test_the_fault_names_the_file_it_stands_in(tmp_path: Path) -> None:
    (tmp_path / "plover.toml").write_text("dragon = 1\n", encoding="utf-8")
    with pytest.raises(FarmFileError, match=r"plover\.toml has 1 fault"):
        load_farm(tmp_path / "plover.toml")
