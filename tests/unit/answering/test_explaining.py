"""Why a question was answered as it was: its words, the records looked at, the value."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from voicelog.answering import answer
from voicelog.answering.explaining import ABOUT, CAME_ABOUT, explain
from voicelog.answering.question import Sort
from voicelog.explanations import QuestionWhy, Reason, Source, Use
from voicelog.farm import Farm, load_farm
from voicelog.records import Store
from voicelog.text.tokens import tokenise

CORPORA = Path(__file__).resolve().parents[3] / "corpora"
SEASONS = sorted((CORPORA / "season").glob("*_questions.jsonl"))
NOW = datetime(2027, 6, 10, 12, tzinfo=ZoneInfo("America/Halifax"))

Why = Callable[[str], QuestionWhy]


@pytest.fixture
def why(kept: Store, saltgrass: Farm) -> Why:
    return lambda question: explain(question, kept, saltgrass, NOW)


def reason(found: QuestionWhy, field: str) -> Reason:
    return next(item for item in found.reasons if item.field == field)


def use(found: QuestionWhy, text: str) -> tuple[Use, str]:
    return next((item.use, item.says) for item in found.words if item.text == text)


@pytest.mark.parametrize("path", SEASONS, ids=lambda path: path.stem)
def test_every_word_of_every_question_has_one_use(kept: Store, path: Path) -> None:
    farm = load_farm(CORPORA / "farms" / f"{path.stem.removesuffix('_questions')}.toml")
    for line in path.read_text("utf-8").splitlines():
        text = json.loads(line)["question"]
        found = explain(text, kept, farm, NOW)
        covered = [
            sum(item.start <= token.start and token.end <= item.end for item in found.words)
            for token in tokenise(text)
        ]
        assert covered == [1] * len(covered), text
        given = answer(text, kept, farm, NOW)
        told = reason(found, "value")
        assert told.value == ("no record" if given.value is None else given.value), text
        left = {item.text.lower() for item in found.words if item.use is Use.LEFT_OVER}
        aside = [item.words for item in found.reasons if item.field == "left_aside"]
        assert set(" ".join(left).split()) == set(" ".join(aside).split()), text


def test_the_words_of_a_sum(why: Why) -> None:
    found = why("how many eggs did we get from gull this week")
    assert use(found, "how many") == (Use.CUE, "ask_much")
    assert use(found, "eggs") == (Use.ASKED, "count")
    assert use(found, "gull") == (Use.PLACE, "Gull coop")
    assert use(found, "this week")[0] is Use.TIME
    assert (reason(found, "sort").value, reason(found, "sort").words) == ("sum", "how many")
    assert reason(found, "asked").words == "eggs"
    assert reason(found, "period").words == "this week"
    assert [way.kind for way in found.ways if way.how == ABOUT] == ["eggs"]


def test_the_words_that_decide_the_sort(why: Why) -> None:
    once = reason(why("how many times did we move tern"), "sort")
    assert (once.value, once.words, once.by) == (
        "count",
        "how many times",
        "questions.toml ask_times",
    )
    both = reason(why("when did we last move tern"), "sort")
    assert (both.value, both.words) == ("last", "when last")
    assert both.by == "questions.toml ask_when, ask_latest"


def test_the_records_that_each_condition_left_out(why: Why, kept: Store) -> None:
    found = why("how many eggs did we get from gull this week")
    (look,) = found.looks
    assert look.kinds == ("eggs",)
    assert {out.by for out in look.taken_out} <= {"status", "time", "place"}
    assert "place" in {out.by for out in look.taken_out}
    assert look.left == look.looked_at - sum(out.records for out in look.taken_out)
    summed = next(gave for gave in look.gave if gave.startswith("sum of count"))
    assert f"{reason(found, 'value').value} in {look.left} records" in summed
    ids = reason(found, "evidence").value
    assert isinstance(ids, tuple)
    assert len(ids) == look.left
    assert all(kept.record(int(str(one))).draft.kind == "eggs" for one in ids)


def test_every_sort_of_answer_is_explained() -> None:
    assert set(CAME_ABOUT) == set(Sort)


def test_two_questions_in_one(why: Why) -> None:
    found = why("how much layer and how much grower did gull get")
    parts = reason(found, "parts").value
    assert isinstance(parts, tuple)
    assert len(parts) == 2


def test_a_question_that_is_not_understood_and_one_without_a_record(why: Why) -> None:
    found = why("blah")
    assert reason(found, "sort").value == "unknown"
    assert use(found, "blah")[0] is Use.LEFT_OVER
    assert found.looks == ()
    empty = why("how many eggs did we get in march")
    value = reason(empty, "value")
    assert (value.value, value.source) == ("no record", Source.NOT_SAID)
    assert [look.left for look in empty.looks] == [0]
    assert why("").words == ()
