"""Which animal it may have been: ranked guesses with reasons, and what may be done."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voicelog import husbandry
from voicelog.catalogue import load_catalogue
from voicelog.catalogue.predation import load_predation, read_predation
from voicelog.errors import CatalogueError, RequestError

SIGNS = [sign.name for sign in husbandry.predator_signs()]
some_signs = st.lists(st.sampled_from(SIGNS), max_size=6, unique=True)


@pytest.mark.parametrize(
    ("told", "first"),
    [
        ("Several dead last night, heads off, laid in a heap, a small hole in the wall", "weasel"),
        ("One hen in broad daylight, a pile of feathers, something swooped", "hawk"),
        ("Found her headless, it was last night", "owl"),
        ("Many killed and mauled, not eaten, torn wire", "dog"),
        ("Crop torn and guts eaten, a leg pulled through the wire overnight", "raccoon"),
        ("Belly eaten and eggs mashed", "opossum"),
        ("Hen vanished at dusk, a trail of feathers", "fox"),
        ("It ripped the door and crushed the bin", "bear"),
        ("Chicks gone, only wings left", "cat"),
        ("Chewed legs, and rat holes along the wall", "rat"),
    ],
)
def test_the_signature_of_an_animal_puts_it_first(told: str, first: str) -> None:
    """Sources S138 to S146, as each animal names them."""
    guesses = husbandry.ranked_suspects(husbandry.signs_said(told))
    assert guesses[0].suspect.name == first
    assert guesses[0].fits


def test_a_missing_head_by_night_leaves_several() -> None:
    guesses = husbandry.ranked_suspects(["by_night", "head_gone"])
    assert {"owl", "weasel", "raccoon"} <= {guess.suspect.name for guess in guesses[:3]}
    assert all(guess.suspect.limits and guess.suspect.source for guess in guesses)


def test_the_time_of_day_tells_a_hawk_from_an_owl() -> None:
    by_day = [g.suspect.name for g in husbandry.ranked_suspects(["by_day", "one_bird"])]
    by_night = [g.suspect.name for g in husbandry.ranked_suspects(["by_night", "one_bird"])]
    assert "hawk" in by_day
    assert "owl" not in by_day
    assert "owl" in by_night
    assert "hawk" not in by_night


@given(signs=some_signs, order=st.randoms())
def test_the_order_of_the_signs_changes_nothing(signs: list[str], order: object) -> None:
    ranked = husbandry.ranked_suspects(signs)
    points = [guess.points for guess in ranked]
    assert points == sorted(points, reverse=True)
    assert all(point > 0 for point in points)
    shuffled = signs[:]
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    again = husbandry.ranked_suspects(shuffled)
    assert [(g.suspect.name, g.points) for g in again] == [
        (g.suspect.name, g.points) for g in ranked
    ]


@given(signs=some_signs)
def test_reasons_are_signs_that_were_given(signs: list[str]) -> None:
    for guess in husbandry.ranked_suspects(signs):
        said = {sign.name for sign in (*guess.fits, *guess.against)}
        assert said <= set(signs)
        assert guess.fits


def test_nothing_given_guesses_nothing_and_asks_everything() -> None:
    assert husbandry.ranked_suspects([]) == ()
    questions = husbandry.open_questions([])
    assert len(questions) == len(load_predation().questions)
    assert all(question.rstrip().endswith(("?", ".")) for question in questions)
    fewer = husbandry.open_questions(["by_night", "head_gone"])
    assert len(fewer) == len(questions) - 2


@given(signs=some_signs)
def test_each_sign_leaves_fewer_questions(signs: list[str]) -> None:
    groups = {sign.group for sign in husbandry.predator_signs() if sign.name in signs}
    assert len(husbandry.open_questions(signs)) == len(load_predation().questions) - len(groups)


def test_every_sign_is_used_and_said() -> None:
    suspects = load_predation().suspects
    used = {name for s in suspects for name in (*s.typical, *s.possible, *s.against)}
    assert used == set(SIGNS)
    for sign in husbandry.predator_signs():
        assert sign.words
        assert sign.name in husbandry.signs_said(sign.words[0].replace("+", "s"))


def test_birds_of_prey_are_protected_and_kept_out_from_above() -> None:
    """Sources S147, S148 and S149."""
    for name in ("hawk", "owl", "eagle"):
        told = husbandry.protected_by_law(name)
        assert any("federal law" in advice.text for advice in told)
        assert {advice.caution for advice in told} == {"protected_predator"}
        assert any("above" in advice.text for advice in husbandry.keeping_out(name))
    assert {s.name for s in load_predation().suspects if s.protected} == {"hawk", "owl"}
    assert all("agency" in a.text for a in husbandry.protected_by_law("fox"))


def test_what_keeps_all_out_keeps_each_out() -> None:
    everyone = husbandry.keeping_out()
    assert everyone
    for name in ("fox", "bear", "snake"):
        assert set(everyone) < set(husbandry.keeping_out(name))
    assert any(advice.caution == "electric_fence" for advice in husbandry.keeping_out("bear"))


def test_animals_are_those_of_the_records() -> None:
    slot = load_catalogue().kind("predator").slot("animal")
    assert slot is not None
    declared = {value.name for value in slot.values}
    named = {s.name for s in load_predation().suspects} - {"person"}
    assert named <= declared


def test_a_sign_that_is_not_known_is_refused() -> None:
    with pytest.raises(RequestError, match="fangs"):
        husbandry.ranked_suspects(["by_night", "fangs"])


def test_faults_of_the_table_are_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "predators.toml"
    file.write_text(
        '[ask]\nwhen = "When?"\n[sign.x]\ngroup = "moon"\ntitle = "x"\n[suspect.imp]\n'
        'title = "imp"\ntypical = ["x", "y"]\npossible = ["x"]\nsignature = "s"\nlimits = "l"\n'
        'source = "S138"\ngrade = "B"\n[[keep_out]]\ntext = "t"\nsource = "S1"\ngrade = "Z"\n'
        'caution = "imps"\n',
        "utf-8",
    )
    with pytest.raises(CatalogueError) as refused:
        read_predation(file, load_catalogue())
    for told in ("'moon'", "'y' is no sign", "'x' stands twice", "'Z'", "'imps'"):
        assert told in refused.value.what
