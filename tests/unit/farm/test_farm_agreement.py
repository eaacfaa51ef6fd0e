"""Parts of a farm file that do not agree with each other or with the catalogue."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicelog.catalogue import load_catalogue
from voicelog.errors import FarmFileError
from voicelog.farm import load_farm, read_farm
from voicelog.farm_agreement import remarks_on

ROOT = Path(__file__).parents[3]
FILES = [*sorted((ROOT / "corpora" / "farms").glob("*.toml")), ROOT / "voicelog/demo/farm.toml"]
COOP = '[[place]]\nname = "red coop"\nkind = "coop"\nalso = ["barn"]\n'
HENS = '[[flock]]\nname = "hens"\nclass = "layer"\n'


def told(text: str) -> list[str]:
    """The lines told about a text, one for each fault."""
    with pytest.raises(FarmFileError) as refused:
        read_farm(text)
    return [line.strip() for line in refused.value.what.splitlines()[1:]]


def measure(holds: str) -> str:
    return f'[[measure]]\nunit = "scoop"\nholds = "{holds}"\n'


def chore(record: str, match: str) -> str:
    return f'[[chore]]\nrecord = "{record}"\nmatch = {{ {match} }}\n'


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_farm_of_the_project_agrees(file: Path) -> None:
    assert load_farm(file).places


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (f'{HENS}[[bird]]\nname = "Wren"\nflock = "hen"',
         "farm.toml: bird[1].flock: there is no flock 'hen'; flocks of this farm are hens."),
        (f'{COOP}{HENS}place = "coop Q"',
         "farm.toml: flock[1].place: there is no place 'coop Q'; places of this farm are red"),
        (measure("three"), "farm.toml: measure[1].holds: 'three' is no amount; write a number"),
        (measure("three lb"), "farm.toml: measure[1].holds: 'three lb' is no amount"),
        (measure("0 lb"), "farm.toml: measure[1].holds: '0 lb' is no amount"),
        (measure("3"), "farm.toml: measure[1].holds: '3' is no amount"),
        (measure("3 lbz"), "farm.toml: measure[1].holds: the unit 'lbz' is not known; write one"),
        (chore("water", 'action = "scrub"'),
         "farm.toml: chore[1].match.action: 'scrub' is no value of that slot; one of "),
        (chore("water", "action = 3"), "farm.toml: chore[1].match.action: 3 is no value of that"),
        (HENS + chore("feed", 'flock = "hen"'),
         "farm.toml: chore[1].match.flock: 'hen' is no value of that slot; one of hens, "),
        (f'{COOP}[[flock]]\nname = "Barn"\nclass = "layer"',
         "farm.toml: flock[1]: 'Barn' is also the place 'red coop'; call one of them"),
        (f'{COOP}[[place]]\nname = "shed"\nkind = "shed"\nalso = ["barn"]',
         "farm.toml: place[2]: 'barn' is also the place 'red coop'"),
        ('[[bird]]\nname = "Wren"\n' * 2, "farm.toml: bird: 'Wren' is given twice"),
        (chore("arival", 'action = "tested"'), "farm.toml: chore[1].record: 'arival' is not kn"),
    ],
)  # fmt: skip
def test_what_would_never_fit_is_one_fault(text: str, line: str) -> None:
    (only,) = told(text)
    assert only.startswith(line), only


def test_a_wrong_value_is_told_with_the_right_ones() -> None:
    (line,) = told(chore("water", 'action = "scrub"'))
    assert "scrubbed" in line.partition("one of ")[2]


@pytest.mark.parametrize("holds", ["3.2 lb", "30 egg", "30 eggs", "8 cubic foot", "2 scoop"])
def test_amounts_that_a_measure_may_hold(holds: str) -> None:
    assert read_farm(measure(holds)).measures[0].holds == holds


@pytest.mark.parametrize("match", ['what = "sea kelp"', 'flock = "hens"'])
def test_free_words_and_classes_of_birds_may_be_matched(match: str) -> None:
    assert len(read_farm(chore("treat", match)).chores[0].match) == 1


def test_the_error_is_counted_and_ends_in_sentences() -> None:
    with pytest.raises(FarmFileError) as refused:
        read_farm("latitude = 91\nlongitude = 181\n")
    assert "has 2 faults:" in refused.value.what
    assert not any(line.startswith(" Nothing") for line in str(refused.value).splitlines())
    assert ". Nothing was changed. Mend them" in str(refused.value)


def test_an_empty_file_and_a_bird_called_by_a_common_word_are_remarked_on() -> None:
    catalogue = load_catalogue()
    assert remarks_on(read_farm(""), catalogue) == (
        "The file names no places, flocks, birds, measures or chores.",
    )
    (remark,) = remarks_on(read_farm('[[bird]]\nname = "Eggs"\n'), catalogue)
    assert remark.startswith("'Eggs' names a bird")
    assert remarks_on(read_farm('[[bird]]\nname = "Wren"\n'), catalogue) == ()
