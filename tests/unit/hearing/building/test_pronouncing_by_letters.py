"""Words of letters alone are read as an English reader would."""

from __future__ import annotations

from pathlib import Path

import pytest

from voicelog.errors import ModelError
from voicelog.hearing.building.pronouncing import SPELLING_FILE
from voicelog.hearing.building.spelling_to_sound import SpellingModel, load_spelling_model
from voicelog.hearing.model_folder import carried_model


@pytest.fixture(scope="module")
def model() -> SpellingModel:
    return load_spelling_model(carried_model() / "language" / SPELLING_FILE)


@pytest.mark.parametrize(
    ("word", "phones"),
    [
        ("clucky", "K L AH K IY"),
        ("shellby", "SH EH L B IY"),
        ("millbrook", "M IH L B R UH K"),
        ("pho", "F OW"),
    ],
)
def test_the_likeliest_reading_comes_first(model: SpellingModel, word: str, phones: str) -> None:
    (said,) = model.say([word])
    assert said[0].phones == tuple(phones.split())
    chances = [way.chance for way in said]
    assert chances == sorted(chances, reverse=True)
    assert sum(chances) == pytest.approx(1.0)
    assert len({way.phones for way in said}) == len(said)


def test_readings_do_not_depend_on_what_is_read_beside(model: SpellingModel) -> None:
    words = ["featherby", "a", "quillsworth", "clucky", "zzyzx", "clucky"]
    assert model.say(words) == [model.say([word])[0] for word in words]


@pytest.mark.parametrize("word", ["", "Hen", "hen's", "é", "hen4"])
def test_only_letters_are_read(model: SpellingModel, word: str) -> None:
    with pytest.raises(ModelError, match="cannot be read"):
        model.say(["hen", word])


def test_a_missing_or_damaged_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(ModelError, match="cannot be read"):
        load_spelling_model(tmp_path / "none.npz")
    (tmp_path / "bad.npz").write_bytes(b"PK\x03\x04 nothing")
    with pytest.raises(ModelError, match="cannot be read"):
        load_spelling_model(tmp_path / "bad.npz")
