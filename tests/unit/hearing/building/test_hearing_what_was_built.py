"""A graph made here is loaded by the recogniser, and hears with it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path

import pytest

from voicelog.hearing.audio import RATE, Recording, read_recording
from voicelog.hearing.building.grammar import Grammar
from voicelog.hearing.building.graph_folder import write_graph, write_settings
from voicelog.hearing.building.phones import Pronunciation
from voicelog.hearing.model_folder import find_model
from voicelog.hearing.vosk_engine import Recogniser

Lexicon = dict[str, list[Pronunciation]]

WORDS = Path(__file__).with_name("two_hundred_words.tsv")
SAID = "collected nine eggs from the red coop and fourteen from the green coop"


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    ways: Lexicon = {}
    for line in WORDS.read_text("utf-8").splitlines():
        word, phones = line.split("\t")
        ways.setdefault(word, []).append(tuple(phones.split()))
    return ways


@pytest.fixture(scope="module")
def model(
    tmp_path_factory: pytest.TempPathFactory,
    lexicon: Lexicon,
    any_order: Callable[[Sequence[str]], Grammar],
) -> Path:
    folder = tmp_path_factory.mktemp("model")
    write_graph(folder / "graph", lexicon, any_order(list(lexicon)))
    write_settings(folder / "conf")
    shutil.copytree(find_model() / "am", folder / "am")
    return folder


@pytest.fixture(scope="module")
def recording(speech: Path) -> Recording:
    return read_recording(speech / "eggs_two_coops.ogg")


@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("eggs_two_coops.ogg", SAID),
        (
            "fed_two_coops.ogg",
            "fed the red coop two scoops of layer and the green coop three scoops of layer",
        ),
    ],
)
def test_a_recording_is_heard_with_any_word_after_any(
    model: Path, speech: Path, file: str, said: str
) -> None:
    """Without any knowledge of sentences words that sound the same are all right."""
    heard = Recogniser(model).hear(read_recording(speech / file)).text
    assert heard.replace("coupe", "coop").replace(" to ", " two ") == said


def test_words_have_their_times(model: Path, recording: Recording) -> None:
    words = Recogniser(model).hear(recording).words
    assert len(words) == len(SAID.split())
    for word, following in pairwise(words):
        assert 0 <= word.from_s < word.to_s <= following.from_s + 0.011
    assert words[-1].to_s <= recording.seconds


@pytest.mark.parametrize(
    ("phrases", "expected"),
    [
        ([SAID, "fed the hens"], SAID),
        (["nine eggs", "fourteen", "green coop", "collected", "from the red coop and"], None),
    ],
)
def test_a_list_of_phrases_can_take_the_place_of_the_grammar(
    model: Path, recording: Recording, phrases: list[str], expected: str | None
) -> None:
    import vosk

    loaded = vosk.Model(model_path=str(model))
    recognizer = vosk.KaldiRecognizer(loaded, float(RATE), json.dumps(phrases))
    recognizer.AcceptWaveform(recording.samples.tobytes())
    heard = json.loads(recognizer.FinalResult())["text"]
    assert set(heard.split()) <= set(" ".join(phrases).split())
    assert heard == expected if expected else "nine eggs" in heard
