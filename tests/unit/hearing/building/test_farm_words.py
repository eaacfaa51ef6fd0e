"""What may be said for a farm's names, and how likely."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicelog.errors import ModelError
from voicelog.hearing.building.farm_words import (
    BIRD,
    DEFAULT_SHARE,
    PERSON,
    PLACE,
    PLACEHOLDERS,
    FarmNames,
    NamedThing,
    names_to_hear,
    read_default_names,
    sounding,
    sounds_of,
)
from voicelog.hearing.building.pronouncing import Pronouncer
from voicelog.hearing.model_folder import carried_model

KNOWN = {"the", "red", "coop", "b", "two", "pen", "orchard", "old", "hens", "girls"}
DEFAULT = {
    PLACE: {"red coop": 1.0, "hill": 1.0, "yard": 3.0},
    BIRD: {"agnes": 1.0},
    PERSON: {"adam": 1.0},
}


def things(*names: str) -> tuple[NamedThing, ...]:
    return tuple(NamedThing(name=name) for name in names)


def test_without_names_the_invented_ones_are_heard_in_proportion() -> None:
    heard = names_to_hear(FarmNames(), KNOWN, DEFAULT)
    assert heard[PLACE] == pytest.approx({"red coop": 0.2, "hill": 0.2, "yard": 0.6})
    assert set(heard) == set(PLACEHOLDERS)


def test_a_farms_own_names_share_what_the_invented_ones_leave() -> None:
    own = FarmNames(places=(NamedThing(name="Red Coop", also=("Big House",)), *things("Pen 2")))
    heard = names_to_hear(own, KNOWN, DEFAULT)[PLACE]
    assert sum(heard.values()) == pytest.approx(1)
    assert heard["hill"] + heard["yard"] == pytest.approx(DEFAULT_SHARE)
    assert heard["pen two"] == pytest.approx((1 - DEFAULT_SHARE) / 2)
    assert heard["red coop"] == pytest.approx((1 - DEFAULT_SHARE) / 6)
    assert heard["big house"] == heard["red coop"] == heard["the red coop"]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("red coop", {"red coop", "the red coop"}),
        ("the orchard", {"the orchard", "orchard"}),
        ("Coop B", {"coop b"}),
        ("Pen 2", {"pen two"}),
        ("Elsinore", {"elsinore"}),
    ],
)
def test_an_article_stands_before_names_of_common_words(name: str, said: set[str]) -> None:
    assert set(names_to_hear(FarmNames(places=things(name)), KNOWN, {})[PLACE]) == said


def test_flocks_are_learned_where_their_name_is_no_ordinary_word() -> None:
    own = FarmNames(flocks=things("old hens", "Wyvern girls"), birds=things("Juniper"))
    assert set(names_to_hear(own, KNOWN, {})[BIRD]) == {
        "wyvern girls",
        "the wyvern girls",
        "juniper",
    }


def test_a_sound_is_given_word_for_word() -> None:
    own = FarmNames(
        places=(NamedThing(name="Xanthe coop", sounds_like="zan-thee coop"),),
        birds=(NamedThing(name="Siobhan", sounds_like="shiv awn"),),
    )
    assert sounds_of(own) == {"xanthe": "zan-thee", "siobhan": "shiv awn"}


def test_what_is_guessed_and_what_cannot_be_said_is_told() -> None:
    own = FarmNames(
        places=things("Red Coop", "Qworlish pen"),
        birds=(*things("Rosalind", "鸡"), NamedThing(name="Xanthippe", sounds_like="zan tippy")),
    )
    told = sounding(own, KNOWN, Pronouncer(sounds_of(own)))
    assert told.guessed == ("qworlish",)
    assert told.unsaid == ("鸡",)
    assert "鸡" not in names_to_hear(own, KNOWN, DEFAULT)[BIRD]


def test_names_come_back_from_their_text_and_only_they_make_it() -> None:
    own = FarmNames(places=(NamedThing(name="Zoë's", also=("a", "b"), sounds_like="zoey's"),))
    assert FarmNames.from_json(own.as_json()) == own
    assert own.as_json() == FarmNames.from_json(own.as_json()).as_json()
    assert own.as_json() != FarmNames(birds=own.places).as_json()


def test_the_invented_names_that_are_carried_are_few_and_can_be_said() -> None:
    names = read_default_names(carried_model() / "language")
    assert set(names) == set(PLACEHOLDERS)
    pronouncer = Pronouncer()
    for kind in PLACEHOLDERS:
        assert 0 < len(names[kind]) <= 40
        assert all(pronouncer.pronounce_all([*" ".join(names[kind]).split()]))


@pytest.mark.parametrize("content", [None, "[1]", '{"{place}": 3}', "{"])
def test_a_damaged_list_of_names_is_told(tmp_path: Path, content: str | None) -> None:
    if content is not None:
        (tmp_path / "names.json").write_text(content)
    with pytest.raises(ModelError, match=r"names\.json cannot be read"):
        read_default_names(tmp_path)
