"""Why a memo was understood as it was: every word once, every field with its reason."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from voicelog.clock import at
from voicelog.explanations import MemoWhy, Reason, Source, Use, WordUse
from voicelog.farm import load_farm
from voicelog.forms import memo_why
from voicelog.text.tokens import tokenise
from voicelog.types import Alternative, Draft, Quantity, Transcript, Word
from voicelog.understanding import Parser
from voicelog.understanding.explaining import ALONE, FALLS_SHORT, GOES_ON, explain

CORPORA = Path(__file__).resolve().parents[3] / "corpora"
FARMS = sorted(path.stem for path in (CORPORA / "memos").glob("*.jsonl"))


@pytest.fixture(scope="session")
def why(parser: Parser, now: datetime) -> Callable[[str], MemoWhy]:
    return lambda text: explain(parser, text, now)


def used(found: MemoWhy, text: str) -> WordUse:
    return next(item for item in found.words if item.text == text)


def reason(found: MemoWhy, number: int, field: str) -> Reason:
    return next(item for item in found.records[number - 1].reasons if item.field == field)


def filled(draft: Draft) -> Iterator[tuple[str, object]]:
    """Every field of a record that says something, as its reasons have to name it."""
    yield "kind", draft.kind
    yield "status", draft.status.value
    yield "when", draft.when
    yield "certainty", draft.certainty
    yield from ((name, value) for name, value in draft.slots.items())
    yield from (("birds", (bird,)) for bird in draft.birds)
    yield from (("doubts", doubt) for doubt in draft.doubts)
    if draft.place is not None:
        yield "place", draft.place
    if draft.flock is not None:
        yield "flock", draft.flock


@pytest.mark.parametrize("farm_name", FARMS)
def test_every_word_of_every_memo_has_one_use_and_every_field_a_reason(farm_name: str) -> None:
    farm = load_farm(CORPORA / "farms" / f"{farm_name}.toml")
    parser = Parser(farm)
    for line in (CORPORA / "memos" / f"{farm_name}.jsonl").read_text("utf-8").splitlines():
        memo = json.loads(line)
        text, said_at = memo["text"], at(memo["now"], farm.timezone)
        parse, found = parser.parse(text, said_at), explain(parser, text, said_at)
        covered = [
            sum(item.start <= token.start and token.end <= item.end for item in found.words)
            for token in tokenise(text)
        ]
        assert covered == [1] * len(covered), memo["id"]
        assert all(item.text == text[item.start : item.end] for item in found.words)
        left = [item.text for item in found.words if item.use is Use.LEFT_OVER]
        assert " ".join(left) == " ".join(parse.unused), memo["id"]
        assert len(found.records) == len(parse.records)
        for told, draft in zip(found.records, parse.records, strict=True):
            given = sorted((item.field, str(item.value)) for item in told.reasons)
            meant = sorted((field, str(value)) for field, value in filled(draft))
            assert given == meant, memo["id"]
            assert all(item.by or item.of for item in told.reasons), memo["id"]
            for item in told.reasons:
                assert item.words in text, memo["id"]
                assert (item.source is Source.OWN) <= bool(item.words or draft.kind == "remark")
            assert sum(way.taken for way in told.ways) == bool(told.ways), memo["id"]


def test_words_of_one_record(why: Callable[[str], MemoWhy]) -> None:
    found = why("gathered um twelve eggs from coop a")
    assert used(found, "gathered").use is Use.SAYS
    assert used(found, "gathered").by == "kinds/eggs.toml says: gather~"
    assert used(found, "um").use is Use.SOUND
    assert (used(found, "twelve").use, used(found, "twelve").says) == (Use.SLOT, "count = 12")
    assert (used(found, "coop a").use, used(found, "coop a").records) == (Use.PLACE, (1,))
    assert reason(found, 1, "count").words == "twelve"


def test_the_kinds_that_were_weighed(why: Callable[[str], MemoWhy]) -> None:
    found = why("nine eggs from coop a, four from coop b")
    ways = [way for told in found.records for way in told.ways if way.taken]
    assert [way.how for way in ways] == [ALONE, GOES_ON]
    kind = reason(found, 2, "kind")
    assert (kind.source, kind.of) == (Source.CARRIED, 1)
    (moved,) = why("need to move the fence tomorrow").records
    assert FALLS_SHORT in [way.how for way in moved.ways]
    scores = [way.score for way in moved.ways if way.how == ALONE]
    assert scores == sorted(scores, reverse=True)


def test_what_was_taken_back(why: Callable[[str], MemoWhy]) -> None:
    found = why("got twenty no twenty two eggs")
    assert used(found, "twenty").use is Use.TAKEN_BACK
    assert used(found, "no").says == "correction"
    assert reason(found, 1, "count").words == "twenty two"


def test_what_is_no_telling(why: Callable[[str], MemoWhy]) -> None:
    found = why("make that twelve")
    assert used(found, "make that twelve").says == "make that: the main number = 12"
    assert found.records == ()
    assert used(why("how many eggs yesterday"), "how many eggs yesterday").use is Use.QUESTION
    (told,) = why("if only it would rain").records
    assert (told.kind, told.reasons[0].by) == ("remark", "discourse.toml conditional")
    assert why("").words == ()


def test_a_second_record_of_the_same_words(why: Callable[[str], MemoWhy]) -> None:
    found = why("a fox took two hens last night")
    assert used(found, "fox").says == "cause = predator; animal = fox"
    assert used(found, "fox").records == (1, 2)
    kind = reason(found, 2, "kind")
    assert (kind.source, kind.of) == (Source.COUPLING, 1)
    assert kind.by == "kinds/loss.toml implies.predator"
    assert found.records[1].ways == ()


def test_what_is_carried_shared_implied_and_not_said(why: Callable[[str], MemoWhy]) -> None:
    shared = why("scrubbed the drinkers in coop a and coop b this morning")
    assert reason(shared, 2, "place").source is Source.SHARED
    assert (reason(shared, 2, "action").source, reason(shared, 2, "action").of) == (
        Source.SHARED,
        1,
    )
    listed = why("this morning nine eggs from coop a. and four from coop b")
    assert reason(listed, 1, "when").source is Source.OWN
    carried = why("over at coop a: twelve eggs. two scoops of layer")
    assert (reason(carried, 2, "place").source, reason(carried, 2, "place").of) == (
        Source.CARRIED,
        1,
    )
    assert reason(carried, 2, "when").source is Source.NOT_SAID
    implied = reason(why("fence reads six kilovolts"), 1, "action")
    assert (implied.source, implied.by) == (Source.IMPLIED, "kinds/fence.toml slot.voltage.means")


def test_doubts_and_certainty(why: Callable[[str], MemoWhy]) -> None:
    found = why("gathered the eggs in coop z")
    by = [item.by for item in found.records[0].reasons if item.field == "doubts"]
    assert by == ["kinds/eggs.toml needs", "the farm file has no such place"]
    assert "less for each of 2 doubts" in reason(found, 1, "certainty").by
    many = why("nine thousand eggs")
    assert reason(many, 1, "doubts").by == "kinds/eggs.toml slot.count low, high"


def test_it_says_what_the_parse_says(parser: Parser, now: datetime) -> None:
    text = "two scoops of layer for coop a and a half for coop b"
    values = [
        item.value
        for told in explain(parser, text, now).records
        for item in told.reasons
        if item.field == "amount"
    ]
    assert values == [draft.slots["amount"] for draft in parser.parse(text, now).records]
    assert values[1] == Quantity(value=0.5, unit="scoop")


def test_what_was_heard_and_what_was_meant(parser: Parser, now: datetime) -> None:
    first, second = "gathered nine ex in coop b", "gathered nine eggs in coop b"
    words = tuple(
        Word(text=text, from_s=at, to_s=at + 1.0, confidence=0.2 if text == "nine" else 0.9)
        for at, text in enumerate(first.split())
    )
    sound = Transcript(
        text=first,
        words=words,
        alternatives=(Alternative(text=first, score=9.0), Alternative(text=second, score=8.9)),
        from_s=0.0,
        to_s=6.0,
        engine="by hand",
    )
    found, parse = explain(parser, sound, now), parser.parse(sound, now)
    assert (found.heard, found.meant) == (first, second)
    assert used(found, "eggs").use is Use.ABOUT
    doubts = {item.value for item in found.records[0].reasons if item.field == "doubts"}
    assert doubts == set(parse.records[0].doubts)
    assert "choosing.py" in {item.by for item in found.records[0].reasons}
    alone = replace(sound, alternatives=())
    told = explain(parser, alone, now)
    assert told.meant == first
    assert reason(told, 1, "certainty").value == parser.parse(alone, now).records[0].certainty
    assert memo_why(told)[0] == {"heard": first, "meant": first}
