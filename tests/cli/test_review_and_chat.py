"""`review` and `chat` with lines piped in."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from voicelog.records import Store

Run = Callable[..., Any]


def objects(text: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in text.split("\n") if line]


def test_review_as_json_lists_doubts_first(run: Run, filled: Path) -> None:
    (day,) = objects(run("review", "--json", typed="").out)
    assert filled.exists()
    assert day["date"] == "2027-05-04"
    assert [record["number"] for record in day["records"]] == [1, 2, 3]
    assert [record["in_doubt"] for record in day["records"]] == [True, False, False]
    assert (day["in_doubt"], day["open"], day["finished"]) == (1, 3, False)
    assert day["memos"][0]["text"] == "two scoops of layer for coop b"


def test_a_correction_is_kept_as_history(run: Run, filled: Path) -> None:
    corrected, quit_, day = objects(run("review", "--json", typed="five\nq\n").out)
    assert corrected["changes"][0] | {"record": 0} == {
        "record": 0,
        "change": "correct",
        "field": "count",
        "old": 4,
        "new": 5,
    }
    assert quit_["action"] == "quit"
    assert day["in_doubt"] == 0
    record = corrected["changes"][0]["record"]
    with Store.open(str(filled), create=False) as store:
        assert store.original(record).draft.slots["count"] == 4
        assert store.record(record).draft.slots["count"] == 5
        assert [change.memo_id for change in store.history(record)] == [None]


def test_a_day_with_everything_confirmed_is_finished(run: Run, filled: Path) -> None:
    assert filled.exists()
    confirmed, doubted, day = objects(run("review", "--json", typed="c all\nc 1\n").out)
    assert [change["change"] for change in confirmed["changes"]] == ["confirm"] * 2
    assert confirmed["text"].startswith("1 in doubt, left open")
    assert [change["change"] for change in doubted["changes"]] == ["confirm"]
    assert day["finished"]
    assert "The day is finished" in run("review", typed="").out


def test_another_day_is_named_in_words(run: Run, filled: Path) -> None:
    assert filled.exists()
    (day,) = objects(run("review", "yesterday", "--json", typed="").out)
    assert (day["date"], len(day["records"])) == ("2027-05-03", 1)
    ran = run("review", "someday soon", typed="")
    assert (ran.code, ran.out) == (1, "")


def test_a_memo_added_to_a_past_day_belongs_to_that_day(run: Run, filled: Path) -> None:
    assert filled.exists()
    added, day = objects(
        run("review", "yesterday", "--json", typed="a nine eggs from coop a\n").out
    )
    assert added["memo_id"] in [memo["memo_id"] for memo in day["memos"]]
    assert len(day["records"]) == 2


def test_a_value_that_does_not_fit_changes_nothing_and_the_review_goes_on(
    run: Run, filled: Path
) -> None:
    assert filled.exists()
    forms = objects(run("review", "--json", typed="1 kind castle\nc\n").out)
    assert [form.get("action") for form in forms[:-1]] == ["unclear", "change"]


def test_chat_sends_each_line_where_it_belongs(run: Run, store_file: Path) -> None:
    lines = [
        "nine eggs from coop a",
        "how many eggs today",
        "what's left",
        "show me today",
        "the first one was coop B",
        "make that twelve",
        "moved coop a ten feet north",
        "q",
        "never reached",
    ]
    turns = objects(run("chat", "--json", typed="\n".join(lines)).out)
    assert [turn["sort"] for turn in turns] == [
        "memo",
        "question",
        "left",
        "review",
        "review",
        "memo",
        "memo",
        "stop",
    ]
    assert turns[1]["answer"]["value"] == 9
    assert "coop B" in [task["place"] for task in turns[2]["left"]]
    assert turns[4]["changes"][0]["new"] == "coop B"
    assert turns[5]["changes"][0]["new"] == 12
    with Store.open(str(store_file), create=False) as store:
        texts = [memo.text for memo in store.memos()]
        assert texts == [lines[0], lines[5], lines[6]]


def test_chat_takes_any_line(run: Run) -> None:
    lines = ["", "   ", "12", "\x00\x1b[2J", "七个鸡蛋", "?", "1" * 5000]
    ran = run("chat", typed="\n".join(lines))
    assert ran.code == 0
    assert "\x1b" not in ran.out + ran.err
    assert "Traceback" not in ran.err


def test_undo_takes_back_the_last_change_and_never_another_record(run: Run, filled: Path) -> None:
    assert filled.exists()
    typed = "five\nw 2\nundo\nundo\nundo\n"
    *_, first, second, third, day = objects(run("review", "--json", typed=typed).out)
    assert [change["change"] for change in first["changes"]] == ["confirm"]
    assert (first["number"], second["number"]) == (2, 1)
    assert "taken back" in first["text"]
    assert [(c["field"], c["old"], c["new"]) for c in second["changes"]] == [("count", 5, 4)]
    assert (third["action"], third["changes"]) == ("unclear", [])
    assert [one["withdrawn"] for one in day["records"]] == [False, False, False]


def test_a_corrected_time_is_taken_back_whole(run: Run, filled: Path) -> None:
    assert filled.exists()
    before, *_ = objects(run("review", "--json", typed="").out)
    *_, day = objects(run("review", "--json", typed="2 when yesterday\nundo\n").out)
    assert day["records"][1]["when"] == before["records"][1]["when"]
    assert day["records"][1]["when_said"] == before["records"][1]["when_said"]


def test_a_confirmation_that_cannot_be_taken_back_says_so(run: Run, filled: Path) -> None:
    assert filled.exists()
    _, undone, day = objects(run("review", "--json", typed="c 2\nundo\n").out)
    assert (undone["action"], undone["changes"]) == ("unclear", [])
    assert "confirmed number 2" in undone["text"]
    assert not any(one["withdrawn"] for one in day["records"])


def test_a_question_in_the_review_is_answered_and_changes_nothing(run: Run, filled: Path) -> None:
    assert filled.exists()
    typed = "how many eggs today\nwhat's left\n"
    eggs, left, day = objects(run("review", "--json", typed=typed).out)
    assert [eggs["action"], left["action"]] == ["answer", "answer"]
    assert "eggs" in eggs["text"]
    assert eggs["changes"] == left["changes"] == []
    assert day["open"] == 3


def test_the_place_in_the_list_stays_after_a_change_elsewhere(run: Run, filled: Path) -> None:
    assert filled.exists()
    typed = "n\nn\n1 five\nc\np\n"
    *_, elsewhere, here, _, _ = objects(run("review", "--json", typed=typed).out)
    assert elsewhere["number"] == 1
    assert here["number"] == 3
    assert "bring back" in run("review", typed="h\n").out


def test_chat_helps_and_greets_and_keeps_neither(run: Run, store_file: Path) -> None:
    typed = "hello\nhelp\nnine eggs from coop a\nfour eggs from coop b\nundo\nundo\nq\n"
    turns = objects(run("chat", "--json", typed=typed).out)
    assert [turn["sort"] for turn in turns[:3]] == ["greeting", "help", "memo"]
    assert "Scratch that" in turns[1]["text"]
    with Store.open(str(store_file), create=False) as store:
        memos = store.memos()
        assert memos[0].text == "nine eggs from coop a"
        stands = [[r.withdrawn for r in store.records_of(memo.id)] for memo in memos[:2]]
        assert stands == [[False], [True]]


def test_chat_asks_what_is_wrong_with_a_record_in_doubt(run: Run, filled: Path) -> None:
    with Store.open(str(filled), create=False) as store:
        kept = len(store.memos())
    *_, turn = objects(run("chat", "--json", typed="show me today\nno\n").out)
    assert turn["text"].startswith("What is wrong with number 1?")
    with Store.open(str(filled), create=False) as store:
        assert len(store.memos()) == kept
