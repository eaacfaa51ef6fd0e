"""Every word gets sounds, from the source that knows it best."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicelog.catalogue import load_catalogue
from voicelog.errors import ModelError
from voicelog.hearing.building.phones import ARPABET, Pronunciation
from voicelog.hearing.building.pronouncing import MOST, Pronouncer, plain_spelling
from voicelog.hearing.building.pronouncing_lexicon import OWN_FILE, Lexicon, pack_lexicon
from voicelog.hearing.building.pronouncing_rules import take_apart, with_ending


@pytest.fixture(scope="module")
def pronouncer() -> Pronouncer:
    return Pronouncer()


def _sounds(*spoken: str) -> tuple[Pronunciation, ...]:
    return tuple(tuple(phones.split()) for phones in spoken)


@pytest.mark.parametrize(
    ("word", "spoken"),
    [
        ("hen", ["HH EH N"]),
        ("live", ["L AY V", "L IH V"]),
        ("ameraucana", ["AH M EH R AH K AA N AH"]),
        ("coop", ["K UW P"]),
        ("z", ["Z IY", "Z EH D"]),
        ("b", ["B IY"]),
        ("dont", ["D OW N T"]),
        ("don’t", ["D OW N T"]),
        ("Wyandottes", ["W AY AH N D AA T S"]),
        ("pullet's", ["P UH L AH T S"]),
        ("hens'", ["HH EH N Z"]),
        ("feedin'", ["F IY D IH N", "F IY D AH N"]),
        ("'five", ["F AY V"]),
        ("prolapsed", ["P R OW L AE P S T"]),
        ("candling", ["K AE N D L IH NG", "K AE N D AH L IH NG"]),
        ("free-range", ["F R IY R EY N JH"]),
        ("coop b", ["K UW P B IY"]),
        ("kv", ["K EY V IY"]),
        ("kv's", ["K EY V IY Z"]),
        ("q.v.", ["K Y UW V IY"]),
        ("hawkproof", ["HH AO K P R UW F"]),
        ("Zoë", ["Z OW IY"]),
        ("Peckles", ["P EH K AH L Z"]),
        ("Featherby", ["F EH DH ER B IY"]),
        ("Brackenridge", ["B R AE K AH N R IH JH"]),
    ],
)
def test_a_word_is_said(pronouncer: Pronouncer, word: str, spoken: list[str]) -> None:
    sounds = pronouncer.pronounce(word)
    for phones in _sounds(*spoken):
        assert phones in sounds, f"{word}: {sounds}"
    assert sounds[0] == _sounds(spoken[0])[0], f"{word}: {sounds}"


def test_what_a_name_sounds_like_goes_before_all_else() -> None:
    pronouncer = Pronouncer(sounds_like={"Xanthe": "zan thee", "hen": "b", "Mary-Lou": "merry loo"})
    assert pronouncer.pronounce("XANTHE") == _sounds("Z AE N DH IY")
    assert pronouncer.pronounce("hen") == _sounds("B IY")
    assert pronouncer.pronounce("mary-lou")[0] == _sounds("M EH R IY L UW")[0]


def test_a_name_that_sounds_otherwise_has_its_ending_too() -> None:
    pronouncer = Pronouncer(sounds_like={"Xanthe": "zan thee"})
    assert pronouncer.pronounce("Xanthe's") == _sounds("Z AE N DH IY Z")


@pytest.mark.parametrize("word", ["hen4", "", "?!", "'", "a@b", "母鸡", "coop\tb"])
def test_what_is_no_word_is_refused_with_its_reason(pronouncer: Pronouncer, word: str) -> None:
    with pytest.raises(ModelError, match="cannot be pronounced"):
        pronouncer.pronounce(word)


def test_what_a_word_sounds_like_must_be_words() -> None:
    with pytest.raises(ModelError, match="sounds"):
        Pronouncer(sounds_like={"Xanthe": "z4n"})


def test_every_breed_of_the_catalogue_is_said(pronouncer: Pronouncer) -> None:
    breeds = {word for breed in load_catalogue().breeds for word in breed.rstrip("+").split()}
    said = pronouncer.pronounce_all(sorted(breeds))
    assert len(breeds) > 30
    for word, sounds in zip(sorted(breeds), said, strict=True):
        assert 1 <= len(sounds) <= MOST, word
        assert len(set(sounds)) == len(sounds), word
        assert all(phones and set(phones) <= set(ARPABET) for phones in sounds), word


def test_many_words_at_once_are_said_as_one_by_one() -> None:
    words = ["Clucky", "hen", "Ottolina", "Quillsworth", "pullets", "Snickerbeak", "hen"]
    together = Pronouncer().pronounce_all(words)
    assert together == tuple(Pronouncer().pronounce(word) for word in words)


def test_a_damaged_dictionary_is_told(tmp_path: Path) -> None:
    with pytest.raises(ModelError, match="cannot be read"):
        Pronouncer(folder=tmp_path).pronounce("hen")
    pack_lexicon([("hen", _sounds("HH EH N"))], tmp_path / "lexicon.gz")
    (tmp_path / OWN_FILE).write_text("hen\tHH EH NN\n", encoding="utf-8")
    with pytest.raises(ModelError, match="line 1"):
        Lexicon(tmp_path)
    (tmp_path / OWN_FILE).write_text("# none\n", encoding="utf-8")
    (tmp_path / "lexicon.gz").write_bytes(b"\x1f\x8b no")
    with pytest.raises(ModelError, match="cannot be read"):
        Lexicon(tmp_path)


def test_own_entries_go_before_the_dictionary(tmp_path: Path) -> None:
    rows = [("hen", _sounds("HH EH N")), ("she's", _sounds("SH IY Z", "SH IH Z"))]
    pack_lexicon(rows, tmp_path / "lexicon.gz")
    (tmp_path / OWN_FILE).write_text("hen\tHH IH N\nhen\tHH EH N\n", encoding="utf-8")
    lexicon = Lexicon(tmp_path)
    assert lexicon.find("hen") == _sounds("HH IH N", "HH EH N")
    assert lexicon.find_bare("shes") == _sounds("SH IY Z", "SH IH Z")
    assert dict(lexicon.listed()) == dict(rows)
    assert "hens" not in lexicon


@pytest.mark.parametrize(
    ("word", "stem", "ending"),
    [
        ("boxes", "box", "s"),
        ("berries", "berry", "s"),
        ("horses", "horse", "s"),
        ("hens", "hen", "s"),
        ("pipped", "pip", "d"),
        ("candied", "candy", "d"),
        ("scraped", "scrape", "d"),
        ("filled", "fill", "d"),
        ("moving", "move", "ing"),
        ("digging", "dig", "ing"),
        ("hen'll", "hen", "'ll"),
    ],
)
def test_a_form_is_taken_apart(word: str, stem: str, ending: str) -> None:
    assert ((stem,), ending) in [(parts.known, parts.ending) for parts in take_apart(word)]


@pytest.mark.parametrize("word", ["grass", "bed", "sing", "ss", "s", "'", "'s", "''"])
def test_what_only_looks_like_a_form_is_left(word: str) -> None:
    assert not [parts for parts in take_apart(word) if parts.ending]


@pytest.mark.parametrize(
    ("stem", "ending", "spoken"),
    [
        ("HH EH N", "s", "HH EH N Z"),
        ("CH IH K", "s", "CH IH K S"),
        ("F AA K S", "s", "F AA K S IH Z"),
        ("M UW V", "d", "M UW V D"),
        ("F EH N S", "d", "F EH N S T"),
        ("F IY D", "d", "F IY D IH D"),
    ],
)
def test_an_ending_follows_the_last_sound(stem: str, ending: str, spoken: str) -> None:
    assert with_ending(tuple(stem.split()), ending)[0] == tuple(spoken.split())


def test_spelling_is_made_plain() -> None:
    assert plain_spelling("  Bǽłoß’s ") == "baeloss's"
