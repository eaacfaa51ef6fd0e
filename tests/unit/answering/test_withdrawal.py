"""Withdrawal in many words, names nobody knows, and questions that ask nothing."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from voicelog.answering import answer
from voicelog.farm import Farm
from voicelog.records import Store
from voicelog.types import Draft, Interval, Parse, Precision, Status, frozen_slots

NOW = datetime(2027, 6, 10, 12, tzinfo=ZoneInfo("America/Halifax"))


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("which birds are in withdrawal", ("Saffron",)),
        ("which coop is in withdrawal", ("Gull coop",)),
        ("can i sell eggs from the gull coop", False),
        ("is saffron in withdrawal", True),
        ("can i butcher the hens", False),
    ],
)
def test_running_holds(question: str, value: object, kept: Store, saltgrass: Farm) -> None:
    got = answer(question, kept, saltgrass, NOW)
    assert got.value == value, got.text
    assert "label" in got.text


@pytest.mark.parametrize(
    "question",
    ["can i eat the eggs", "which birds are in withdrawal", "can i sell eggs from the tern coop"],
)
def test_days_nobody_said(question: str, saltgrass: Farm, tmp_path: Path) -> None:
    with Store.open(str(tmp_path / "farm.db")) as store:
        memo = store.keep_memo(said_at=NOW, text="wormed tern", source="typed")
        when = Interval(from_=NOW, to=NOW, precision=Precision.MINUTE)
        given = Draft(
            kind="treatment", status=Status.DONE, when=when, when_said=None, place="Tern coop",
            flock=None, birds=(), slots=frozen_slots({"what": "dewormer"}), text="wormed tern",
            certainty=1.0,
        )  # fmt: skip
        store.keep_parse(memo.id, Parse(memo=memo.text, now=NOW, records=(given,)), parser="hand")
        got = answer(question, store, saltgrass, NOW)
    assert got.value is None
    assert "Tern coop: no days of withdrawal were said" in got.text
    assert ", ." not in got.text


@pytest.mark.parametrize("question", ["can i butcher the hens", "can i eat the hens"])
def test_days_for_eggs_free_no_meat(question: str, kept: Store, saltgrass: Farm) -> None:
    later = NOW + timedelta(days=90)
    assert answer("can i eat the eggs", kept, saltgrass, later).value is True
    assert answer(question, kept, saltgrass, later).value is not True


@pytest.mark.parametrize("question", ["what did the label say", "what can i say"])
def test_asks_nothing(question: str, kept: Store, saltgrass: Farm) -> None:
    assert not answer(question, kept, saltgrass, NOW).understood


def test_a_name_nobody_knows(kept: Store, saltgrass: Farm) -> None:
    got = answer("how many eggs did juniper lay", kept, saltgrass, NOW)
    assert got.value is None
    assert "no record of juniper" in got.text


def test_an_answer_says_that_it_rests_on_doubt(saltgrass: Farm, tmp_path: Path) -> None:
    with Store.open(str(tmp_path / "farm.db")) as store:
        when = Interval(from_=NOW, to=NOW, precision=Precision.MINUTE)
        for count, doubts in ((9, ()), (5000, ("Is that right?",))):
            memo = store.keep_memo(said_at=NOW, text=f"{count} eggs", source="typed")
            gathered = Draft(
                kind="eggs", status=Status.DONE, when=when, when_said=None, place=None,
                flock=None, birds=(), slots=frozen_slots({"count": count}), text=memo.text,
                certainty=1.0, doubts=doubts,
            )  # fmt: skip
            parse = Parse(memo=memo.text, now=NOW, records=(gathered,))
            store.keep_parse(memo.id, parse, parser="hand")
        got = answer("how many eggs today", store, saltgrass, NOW)
    assert got.value == 5009
    assert "One of them is in doubt." in got.text
