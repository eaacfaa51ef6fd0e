"""`ask --json`: what kind of value a question gets, its unit and its evidence."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Call = Callable[..., Any]
Note = Callable[..., list[dict[str, Any]]]
Ask = Callable[..., dict[str, Any]]

DIARY = (
    ("2027-04-28T08:00", "twelve eggs from coop a and nine from coop b"),  # 1, 2
    ("2027-04-29T08:00", "ten eggs from coop a"),  # 3
    ("2027-04-29T09:00", "bought two bags of layer feed for forty dollars"),  # 4
    ("2027-04-30T07:00", "turned the fence on, it reads six point one kilovolts"),  # 5
    ("2027-04-30T18:00", "turned the fence off"),  # 6
    ("2027-05-01T07:00", "moved coop a to the north paddock"),  # 7
    ("2027-05-01T07:10", "fed coop b two scoops of layer"),  # 8
    ("2027-05-01T07:12", "two buckets of water from the creek for coop b"),  # 9
    ("2027-05-02T07:20", "juniper is limping"),  # 10
    ("2027-05-02T08:20", "didn't get to the nest boxes"),  # 11
    ("2027-05-02T08:30", "need to fix the latch on coop a"),  # 12
    ("2027-05-02T08:40", "need to move coop b friday"),  # 13
    ("2027-05-03T08:00", "six eggs from coop b, one cracked"),  # 14
    ("2027-05-03T09:00", "sold two dozen eggs for ten dollars"),  # 15
    ("2027-05-04T07:00", "five eggs from coop a"),  # 16
    ("2027-05-04T07:30", "set up the shade at coop b"),  # 17
    ("2027-05-04T09:30", "took down the shade at coop b"),  # 18
    ("2027-05-04T12:00", "yesterday we got three eggs from coop a"),  # 19
)


@pytest.fixture(scope="module")
def diary(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Where the diary is kept for all tests of this file."""
    return tmp_path_factory.mktemp("diary") / "store.db"


@pytest.fixture
def store_file(diary: Any) -> Any:
    return diary


@pytest.fixture
def ask(note: Note, run: Call, diary: Any) -> Ask:
    """The answer to a question from the diary; a question that is understood ends with 0."""
    if not diary.exists():
        note(*DIARY)

    def asked(question: str, now: str = "2027-05-04T18:00", code: int = 0) -> dict[str, Any]:
        ran = run("ask", "--json", question, now=now)
        form = ran.object
        assert (ran.code, list(form)) == (code, ["question", "answer"])
        assert form["question"] == question
        answer = form["answer"]
        assert list(answer) == ["value", "unit", "text", "from", "to", "evidence"]
        for item in answer["evidence"]:
            assert list(item) == ["record", "memo", "text", "when"]
            assert list(item["when"]) == ["from", "to", "precision"]
        return dict(answer)

    return asked


def records(answer: dict[str, Any]) -> list[int]:
    return [item["record"] for item in answer["evidence"]]


VALUES = [
    # Numbers, with the unit of the records in the singular.
    ("how many eggs today", 5, "egg"),
    ("how many eggs yesterday", 9, "egg"),
    ("how many eggs did we get last week", 31, "egg"),
    ("how many eggs from coop a last week", 22, "egg"),
    ("how many eggs were cracked this week", 1, "egg"),
    ("how much layer did coop b get on saturday", 2, "scoop"),
    ("how much water did coop b get on saturday", 2, "bucket"),
    ("how many bags of feed did we buy", 2, "bag"),
    ("how many dozen eggs did we sell", 2, "dozen"),
    ("what was the last fence reading", 6.1, "kilovolt"),
    # Money.
    ("how much did we spend on feed", 40, "dollar"),
    ("how much did we earn", 10, "dollar"),
    # Date-times with their offset.
    ("when did i last move coop a", "2027-05-01T07:00:00-04:00", None),
    ("when did i last feed coop b", "2027-05-01T07:10:00-04:00", None),
    ("when will i move coop b", "2027-05-07T00:00:00-04:00", None),
    # Names as the farm file prints them, in a list also where it is one.
    ("who is limping", ["Juniper"], None),
    ("where is coop a", ["north paddock"], None),
    ("which coops gave eggs today", ["coop A"], None),
    ("which coops have not been moved this month", ["coop B"], None),
    ("which coops did not give eggs yesterday", [], None),
    ("which coops gave no eggs today", ["coop B"], None),
    # Yes and no.
    ("did i feed coop b on saturday", True, None),
    ("is the fence off", True, None),
    ("is the fence on", False, None),
    ("is the shade up at coop b", False, None),
    ("did i do the nest boxes on sunday", False, None),
    ("am i planning to move coop b", True, None),
    # Nothing recorded: never 0, never no.
    ("did i feed coop b today", None, None),
    ("did i move coop b", None, None),
    ("how many eggs in march", None, None),
    ("how many birds did we lose last week", None, None),
    ("how much did we spend on straw", None, None),
    ("when did i last test the fence", None, None),
    ("did a bear come last week", None, None),
    # How long since: calendar days.
    ("how long since coop a was moved", 3, "day"),
    ("how many days since i fed coop b", 3, "day"),
    # Average: over the calendar days of the period, cut off at now.
    ("average eggs per day last week", pytest.approx(31 / 7, abs=1e-3), "egg"),
    ("average eggs per day this week", 7, "egg"),
    # Comparison: first minus second.
    ("how many more eggs did coop a give than coop b last week", 13, "egg"),
    ("how many more eggs this week than last week", -17, "egg"),
    # Nothing is planned.
    ("what is planned for sunday", [], None),
]


@pytest.mark.parametrize(("question", "value", "unit"), VALUES, ids=[row[0] for row in VALUES])
def test_the_value_and_its_unit(ask: Ask, question: str, value: Any, unit: str | None) -> None:
    answer = ask(question)
    assert answer["value"] == value
    assert isinstance(answer["value"], bool) == isinstance(value, bool)
    assert answer["unit"] == unit
    if value is None:
        assert "no record" in answer["text"].lower()
        assert answer["evidence"] == []


@pytest.mark.parametrize(
    ("question", "first"),
    [
        ("is the fence off", 6),
        ("is the fence on", 6),
        ("is the shade up at coop b", 18),
        ("did i do the nest boxes on sunday", 11),
        ("did i feed coop b on saturday", 8),
        ("when did i last move coop a", 7),
        ("how long since coop a was moved", 7),
        ("who is limping", 10),
        ("what was the last fence reading", 5),
    ],
)
def test_the_first_evidence_is_the_record_it_rests_on(ask: Ask, question: str, first: int) -> None:
    assert records(ask(question))[0] == first


def test_a_sum_rests_on_every_record_in_it(ask: Ask) -> None:
    answer = ask("how many eggs yesterday")
    assert sorted(records(answer)) == [14, 19]
    said = {item["text"] for item in answer["evidence"]}
    assert "yesterday we got three eggs from coop a" in said
    assert {item["memo"] for item in answer["evidence"]} == {13, 18}


def test_how_long_since_says_since_when(ask: Ask) -> None:
    assert ask("how long since coop a was moved")["from"] == "2027-05-01T07:00:00-04:00"
    early = ask("how long since coop a was moved", now="2027-05-02T00:30")
    assert (early["value"], early["unit"]) == (1, "day")


def test_a_comparison_has_both_sums_in_its_text(ask: Ask) -> None:
    text = ask("how many more eggs did coop a give than coop b last week")["text"]
    assert "22" in text
    assert "9" in text


@pytest.mark.parametrize(
    ("question", "amounts"),
    [
        ("how many eggs did we get and how many were cracked this week", [(14, "egg"), (1, "egg")]),
        ("how much feed and water did coop b get on saturday", [(2, "scoop"), (2, "bucket")]),
        (
            "how much feed and how much water did coop b get on saturday",
            [(2, "scoop"), (2, "bucket")],
        ),
        ("how many scoops of feed and buckets of water on saturday", [(2, "scoop"), (2, "bucket")]),
        (
            "how many eggs and how much layer did coop b get last week",
            [(9, "egg"), (2, "scoop")],
        ),
        (
            "how much did the feed cost and how much did the eggs bring in",
            [(40, "dollar"), (10, "dollar")],
        ),
        ("how many eggs did we get today and how many yesterday", [(5, "egg"), (9, "egg")]),
    ],
)
def test_two_quantities_give_a_list(
    ask: Ask, question: str, amounts: list[tuple[float, str]]
) -> None:
    answer = ask(question)
    assert answer["value"] == [{"value": number, "unit": unit} for number, unit in amounts]
    assert answer["unit"] is None


@pytest.mark.parametrize(
    "question",
    [
        "how many eggs and how much water on saturday",
        "how much feed and water did coop b get today",
        "how many eggs did we get and how much feed did we use this week",
    ],
)
def test_two_quantities_one_of_which_nobody_recorded(ask: Ask, question: str) -> None:
    answer = ask(question)
    assert answer["value"] is None
    assert "no record" in answer["text"]


def test_two_places_alone_are_no_two_quantities(ask: Ask) -> None:
    answer = ask("how many eggs did coop a and coop b give last week")
    assert (answer["value"], answer["unit"]) == (31, "egg")


@pytest.mark.parametrize(
    "question",
    ["tell me a story", "colourless green ideas", "?", "12", "七个鸡蛋", "\x00\u2028", "why"],
)
def test_a_question_that_is_not_understood(ask: Ask, question: str) -> None:
    answer = ask(question, code=1)
    assert (answer["value"], answer["unit"], answer["evidence"]) == (None, None, [])
    assert "not understand" in answer["text"]


def test_what_is_recorded_later_than_now_is_not_seen(ask: Ask) -> None:
    assert ask("how many eggs today", now="2027-05-04T06:59")["value"] is None
    assert ask("how many eggs today", now="2027-05-04T07:00")["value"] == 5
    # Said on the fourth of the third: on the third it was not known yet.
    assert ask("how many eggs today", now="2027-05-03T18:00")["value"] == 6
    assert ask("is the fence on", now="2027-04-30T12:00")["value"] is True
    assert ask("what is planned", now="2027-05-02T08:00")["value"] == []


def test_a_plan_is_open_until_it_is_done(run: Call, tmp_path: Any) -> None:
    def planned(now: str) -> Any:
        ran = run(
            "ask", "--store", str(tmp_path / "plans.db"), "--json", "what is planned", now=now
        )
        return ran.object["answer"]["value"]

    def say(now: str, text: str) -> None:
        assert run("note", "--store", str(tmp_path / "plans.db"), text, now=now).code == 0

    say("2027-05-02T08:00", "need to move coop b friday")
    say("2027-05-02T08:10", "need to fix the latch on coop a")
    say("2027-05-03T08:00", "moved coop a ten feet north")
    assert planned("2027-05-03T09:00") == ["repair", "move"]
    assert planned("2027-05-20T09:00") == ["repair", "move"]
    say("2027-05-21T08:00", "moved coop b ten feet north")
    assert planned("2027-05-21T09:00") == ["repair"]
    say("2027-05-22T08:00", "fixed the latch on coop a")
    assert planned("2027-05-22T09:00") == []
