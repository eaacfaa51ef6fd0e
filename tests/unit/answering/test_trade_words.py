"""The words by which sums are asked for: what they take, and what they leave to the records."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

import voicelog.answering.trade_replies as room
from voicelog.answering.heard import Ear
from voicelog.answering.reading import read
from voicelog.answering.trade_replies import SUMS, trade_asked
from voicelog.catalogue import load_catalogue
from voicelog.catalogue.asking import load_asking
from voicelog.catalogue.faults import CatalogueFaultsError
from voicelog.catalogue.trade_questions import load_trade_questions, read_trade_questions
from voicelog.farm import load_farm, read_farm

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "golden"))

from scoring import CORPORA, rows
from trade_book import CHICKS, HENS, NOW, PULLETS, farm

FARM = farm(HENS, PULLETS, CHICKS)

LEFT_TO_RECORDS = [
    "how many eggs did the hens lay",
    "how many eggs are the hens laying a day",
    "how often do the hens lay",
    "how are the hens",
    "how is mabel",
    "did we drop the eggs",
    "how many fewer eggs this week than last week",
    "which coop laid the most",
    "are the hens in the gull coop",
    "how much feed did we buy",
    "when did we last buy feed",
    "when did the feed run out",
    "when are we buying feed",
    "how much feed do the hens get",
    "how long since we bought feed",
    "when did mabel's eggs hatch",
    "how many chicks did mabel hatch",
    "when did we candle the eggs",
    "how many eggs is mabel sitting on",
    "when was mabel set",
    "which paddock is gull in",
    "which paddock are the hens in now",
    "where is the fence going next",
    "when did we move to the dune paddock",
    "how long since the gull coop was moved",
    "what killed the hens",
    "how did we lose the hen",
    "what animal did we see",
    "which predators have we seen",
    "how much water did the hens get today",
    "how much water did we haul this week",
    "how hot is it",
    "how hot was it yesterday",
    "how hot is the brooder",
    "is the brooder too hot",
    "when was the fence tested",
    "when did i last test the fence",
    "what was the last fence reading",
    "what does the fence read",
    "is the fence on",
    "is the fence off",
    "is the fence down",
    "how often did we test the fence",
    "how far have we moved the fence",
    "how many birds have we lost",
    "how many hens did we lose this month",
    "when did we lose a hen",
    "how much did a dozen sell for",
    "how many dozen eggs did we sell",
    "what did we spend on feed",
    "how much money did we make on eggs",
    "how much profit did we make this month",
    "how much straw did we use in the boxes",
    "when were the nest boxes last refilled with shavings",
    "how many chicks do we have",
    "when did the chicks come",
    "how old were the chicks when they came",
    "can i sell the eggs",
    "can we eat today's eggs",
    "how long are eggs kept back",
    "what is left to do",
    "what's planned for today",
    "how long was the walk",
    "what happened on friday",
]


@pytest.fixture(scope="module")
def ear() -> Ear:
    return Ear(load_catalogue(), load_asking(), FARM)


@pytest.mark.parametrize("question", LEFT_TO_RECORDS)
def test_a_question_that_names_no_sum_is_left_to_the_records(question: str, ear: Ear) -> None:
    heeded = read(question, NOW, ear)
    assert trade_asked(heeded, load_trade_questions(), load_catalogue(), FARM) is None


@pytest.mark.parametrize("season", ["hollybank", "larkrise"])
def test_no_question_of_a_season_is_taken(season: str) -> None:
    of = load_farm(CORPORA / "farms" / f"{season}.toml")
    ear = Ear(load_catalogue(), load_asking(), of)
    now = datetime(2028, 4, 1, 12, tzinfo=ZoneInfo(of.timezone))
    questions = [row["question"] for row in rows(CORPORA / "season" / f"{season}_questions.jsonl")]
    assert len(questions) > 80
    for question in questions:
        heeded = read(question, now, ear)
        asked = trade_asked(heeded, load_trade_questions(), load_catalogue(), of)
        # A plan that was told answers before any sum.
        assert asked is None or heeded.question.sort in asked.rule.records_first, question


def test_every_rule_has_a_reply_and_every_reply_a_rule() -> None:
    assert {rule.sum for rule in load_trade_questions().rules} == set(SUMS)


def test_a_question_that_names_much_else_is_left(ear: Ear) -> None:
    asked = "how are the hens laying compass zebra window"
    heeded = read(asked, NOW, ear)
    assert trade_asked(heeded, load_trade_questions(), load_catalogue(), FARM) is None


def test_a_farm_without_names_can_be_asked() -> None:
    bare = read_farm('name = "Bare"\ntimezone = "UTC"\n')
    heeded = read("how long is the day", NOW, Ear(load_catalogue(), load_asking(), bare))
    asked = trade_asked(heeded, load_trade_questions(), load_catalogue(), bare)
    assert asked is not None
    assert asked.sum == "day_length"


def test_the_words_are_no_words_of_memos() -> None:
    lists = load_catalogue().lists
    assert not set(load_trade_questions().words) & set(lists)


def _said() -> Iterator[tuple[str, str, frozenset[str]]]:
    """Every sentence that the room fills in by name, with the values it gives."""
    for file in sorted(Path(room.__file__).parent.glob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and node.func.attr == "say"
                and node.args
                and isinstance(node.args[0], ast.Constant)
            ):
                given = frozenset(keyword.arg or "" for keyword in node.keywords)
                yield file.name, str(node.args[0].value), given


def test_every_sentence_gets_the_values_it_needs() -> None:
    declared = load_trade_questions()
    told = list(_said())
    assert len(told) > 60
    for file, name, given in told:
        assert name in declared.sentences, f"{file}: {name}"
        assert declared.fields(name) <= given, f"{file}: {name}"


def test_every_unrecorded_sum_says_no_record() -> None:
    for name, text in load_trade_questions().sentences.items():
        if name.startswith(("no_", "none_", "missing", "which_", "too_few", "never_")):
            said = "no record" in text or name in ("no_thirst_of", "missing_count", "missing_sides")
            assert said, name


def test_faults_of_the_file_are_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "trade.toml"
    file.write_text(
        '[words]\na = ["{nothing}"]\n[slot]\nx = "eggs.colour"\n[say]\ny = "{"\n'
        '[[question]]\nsum = "s"\nneeds = ["b"]\n[[question]]\nsum = "t"\nwhat = 1\n',
        encoding="utf-8",
    )
    with pytest.raises(CatalogueFaultsError) as told:
        read_trade_questions(file, load_catalogue())
    for word in ("{nothing}", "eggs.colour", "say.y", "'b'", "what", "needs"):
        assert word in str(told.value)
