"""A line in the review: which record it means and what it makes of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from voicelog.farm import Bird, Farm, Flock, Place
from voicelog.review import Action, DayLog, Reply, day_log, read_reply
from voicelog.types import (
    ChangeKind,
    Draft,
    Interval,
    Memo,
    Precision,
    Quantity,
    Record,
    SlotValue,
    Status,
    frozen_slots,
)

ZONE = ZoneInfo("Europe/Oslo")
SAID_AT = datetime(2027, 5, 4, 8, 10, tzinfo=ZONE)
NOW = datetime(2027, 5, 4, 20, 0, tzinfo=ZONE)
FARM = Farm(
    timezone="Europe/Oslo",
    places=(
        Place(name="coop A", kind="coop", also=("the old house",)),
        Place(name="coop B", kind="coop"),
    ),
    flocks=(Flock(name="young hens", class_="pullet"),),
    birds=(Bird(name="Juniper"),),
)
MEMO = Memo(id=7, said_at=SAID_AT, text="all of it", source="typed")


def record(number: int, kind: str, doubts: tuple[str, ...] = (), **slots: SlotValue) -> Record:
    draft = Draft(
        kind=kind,
        status=Status.DONE,
        when=Interval(from_=SAID_AT, to=SAID_AT, precision=Precision.MINUTE),
        when_said=None,
        place="coop B",
        flock=None,
        birds=(),
        slots=frozen_slots(slots),
        text="words",
        certainty=0.8,
        doubts=doubts,
    )
    return Record(id=number, memo_id=7, memo_said_at=SAID_AT, draft=draft)


RECORDS = (
    record(11, "eggs", count=14, cracked=2),
    record(12, "feed", feed_type="layer", amount=Quantity(value=2, unit="scoop")),
    record(13, "fence", action="tested", voltage=Quantity(value=5.2, unit="kilovolt")),
    record(14, "supply", item="shavings", cost=Quantity(value=8, unit="dollar")),
)


def the_day(records: tuple[Record, ...] = RECORDS) -> DayLog:
    return day_log(date(2027, 5, 4), (MEMO,), records)


def reply(line: str, current: int = 1, records: tuple[Record, ...] = RECORDS) -> Reply:
    return read_reply(line, the_day(records), current, farm=FARM, now=NOW)


CONFIRM = ChangeKind.CONFIRM
WITHDRAW = ChangeKind.WITHDRAW


@pytest.mark.parametrize(
    ("line", "kind", "ids"),
    [
        ("c", CONFIRM, [11]),
        ("yes", CONFIRM, [11]),
        ("that's right", CONFIRM, [11]),
        ("c 2", CONFIRM, [12]),
        ("c 2 3", CONFIRM, [12, 13]),
        ("c 1, 2 and 4", CONFIRM, [11, 12, 14]),
        ("c all", CONFIRM, [11, 12, 13, 14]),
        ("all are right", CONFIRM, [11, 12, 13, 14]),
        ("confirm all", CONFIRM, [11, 12, 13, 14]),
        ("the last one is right", CONFIRM, [14]),
        ("the second one is right", CONFIRM, [12]),
        ("Number three was correct.", CONFIRM, [13]),
        ("2 ok", CONFIRM, [12]),
        ("everything is right", CONFIRM, [11, 12, 13, 14]),
        ("w", WITHDRAW, [11]),
        ("w 3", WITHDRAW, [13]),
        ("scratch the first", WITHDRAW, [11]),
        ("scratch the second one", WITHDRAW, [12]),
        ("delete number four", WITHDRAW, [14]),
        ("the third one is wrong", WITHDRAW, [13]),
        ("scratch that", WITHDRAW, [11]),
    ],
)
def test_confirming_and_withdrawing(line: str, kind: ChangeKind, ids: list[int]) -> None:
    said = reply(line)
    assert said.action is Action.CHANGE
    assert [(change.kind, change.record_id) for change in said.changes] == [(kind, i) for i in ids]
    assert all(change.at == NOW for change in said.changes)


@pytest.mark.parametrize(
    ("line", "number", "field", "value"),
    [
        ("the second one was coop A", 12, "place", "coop A"),
        ("the first one was in the old house", 11, "place", "coop A"),
        ("number three: 5.8", 13, "voltage", Quantity(value=5.8, unit="kilovolt")),
        ("number one: twelve", 11, "count", 12),
        ("1: twelve", 11, "count", 12),
        ("1 12", 11, "count", 12),
        ("twelve", 11, "count", 12),
        ("make that a dozen", 11, "count", 12),
        ("twelve, no, thirteen", 11, "count", 13),
        ("it was twelve, not fourteen", 11, "count", 12),
        ("1 cracked three", 11, "cracked", 3),
        ("1 cracked none", 11, "cracked", 0),
        ("the first one cracked = 3", 11, "cracked", 3),
        ("the second one was three scoops", 12, "amount", Quantity(value=3, unit="scoop")),
        ("2 three", 12, "amount", Quantity(value=3, unit="scoop")),
        ("2 feed type grower", 12, "feed_type", "grower"),
        ("the second one was starter", 12, "feed_type", "starter"),
        ("number four cost nine dollars", 14, "cost", Quantity(value=9, unit="dollar")),
        ("number four was nine dollars", 14, "cost", Quantity(value=9, unit="dollar")),
        ("4 item straw bales", 14, "item", "straw bales"),
        ("3 place none", 13, "place", None),
        ("3 not done", 13, "status", "not_done"),
        ("3 status planned", 13, "status", "planned"),
        ("2 flock young hens", 12, "flock", "young hens"),
        ("2 birds juniper and Waffle", 12, "birds", ("Juniper", "Waffle")),
        ("2 was juniper", 12, "birds", ("Juniper",)),
        ("the eggs were twelve", 11, "count", 12),
        ("1 kind remark", 11, "kind", "remark"),
        ("3 by Sam", 13, "by", "Sam"),
    ],
)
def test_correcting(line: str, number: int, field: str, value: object) -> None:
    said = reply(line)
    assert [(c.kind, c.record_id, c.field, c.new) for c in said.changes] == [
        (ChangeKind.CORRECT, number, field, value)
    ]


def test_a_time_is_corrected_with_its_words() -> None:
    when, words = reply("2 when yesterday morning").changes
    assert (when.field, words.field, words.new) == ("when", "when_said", "yesterday morning")
    assert isinstance(when.new, Interval)
    assert when.new.from_ == datetime(2027, 5, 3, 5, tzinfo=ZONE)
    assert when.new.precision is Precision.PART_OF_DAY


def test_a_done_thing_does_not_reach_past_its_memo() -> None:
    when = reply("2 was this morning").changes[0]
    assert isinstance(when.new, Interval)
    assert when.new.to == SAID_AT


@pytest.mark.parametrize(
    ("line", "action"),
    [
        ("", Action.NEXT),
        ("n", Action.NEXT),
        ("s", Action.SHOW),
        ("3", Action.SHOW),
        ("?", Action.HELP),
        ("q", Action.QUIT),
        ("p", Action.PREVIOUS),
        ("a nine eggs", Action.ADD),
        ("number nine is right", Action.UNCLEAR),
        ("blue", Action.UNCLEAR),
        ("2 was purple", Action.UNCLEAR),
        ("2 feed_type plutonium", Action.UNCLEAR),
        ("1 count many", Action.UNCLEAR),
        ("c 2 99", Action.UNCLEAR),
        ("\x00\x1b[2J", Action.UNCLEAR),
        ("卵は十二個", Action.UNCLEAR),
        ("x" * 100_000, Action.UNCLEAR),
    ],
)
def test_lines_that_change_nothing(line: str, action: Action) -> None:
    said = reply(line)
    assert said.action is action
    assert said.changes == ()
    assert bool(said.text) == (action in {Action.UNCLEAR, Action.ADD})


def test_the_memo_to_add_is_what_follows_the_key() -> None:
    assert reply("a  Nine eggs from coop A").text == "Nine eggs from coop A"


def test_an_empty_day_has_nothing_to_change() -> None:
    assert reply("c", records=()).action is Action.UNCLEAR


def test_twenty_two_is_one_number_where_the_list_is_that_long() -> None:
    many = tuple(record(100 + n, "eggs", count=n) for n in range(1, 26))
    assert reply("number twenty two is right", records=many).changes[0].record_id == 122
    assert reply("number twenty-two is right", records=many).changes[0].record_id == 122
    (change,) = reply("number three: twelve", records=many).changes
    assert (change.record_id, change.new) == (103, 12)


def test_doubts_come_first_and_numbers_stay() -> None:
    doubted = record(15, "eggs", doubts=("How many?",), count=3)
    log = the_day((*RECORDS, doubted))
    assert [item.record.id for item in log.items] == [15, 11, 12, 13, 14]
    assert [item.number for item in log.in_doubt] == [1]
    later = record(16, "eggs", doubts=("How many?",), count=3)
    known = [item.record.id for item in log.items]
    again = day_log(log.day, (MEMO,), (*RECORDS, doubted, later), numbered=known)
    assert [item.record.id for item in again.items] == [15, 11, 12, 13, 14, 16]


def test_a_day_is_finished_when_each_record_is_settled() -> None:
    settled = (
        replace(RECORDS[0], confirmed=True),
        replace(RECORDS[1], corrected=("amount",)),
        replace(RECORDS[2], withdrawn=True),
    )
    assert the_day(settled).finished
    log = the_day((*settled, RECORDS[3]))
    assert not log.finished
    after = log.after(1)
    assert after is not None
    assert after.record.id == 14


def test_the_next_open_record_is_looked_for_from_here_and_then_from_the_top() -> None:
    log = the_day((RECORDS[0], replace(RECORDS[1], confirmed=True), RECORDS[2]))
    numbers = [item.number if item else None for item in (log.after(1), log.after(3))]
    assert numbers == [3, 1]


def test_planned_things_are_corrected_towards_the_future() -> None:
    planned = replace(RECORDS[1], draft=replace(RECORDS[1].draft, status=Status.PLANNED))
    when = reply("1 was friday", records=(planned,)).changes[0]
    assert isinstance(when.new, Interval)
    assert when.new.from_ is not None
    assert when.new.from_ - SAID_AT < timedelta(days=7)
    assert when.new.from_.date() == date(2027, 5, 7)


@pytest.mark.parametrize("line", ["all right", "All right.", "okay", "ok", "alright", "all good"])
def test_agreeing_confirms_nothing_by_itself(line: str) -> None:
    said = reply(line)
    assert (said.action, said.changes) == (Action.UNCLEAR, ())
    assert "confirms nothing by itself" in said.text


def test_all_at_once_leaves_what_is_in_doubt_open_and_says_how_many() -> None:
    doubted = record(15, "eggs", doubts=("How many?",), count=3)
    said = reply("all are right", records=(*RECORDS, doubted))
    assert [change.record_id for change in said.changes] == [11, 12, 13, 14]
    assert said.text.startswith("1 in doubt, left open")
    alone = reply("c all", records=(doubted,))
    assert (alone.action, alone.changes) == (Action.UNCLEAR, ())


@pytest.mark.parametrize(
    "line",
    [
        "how many eggs today",
        "it rained hard yesterday and the creek is up",
        "2 the fox came last night",
        "2 when the fox came last night",
    ],
)
def test_a_time_inside_other_words_changes_no_time(line: str) -> None:
    assert reply(line).changes == ()


@pytest.mark.parametrize("line", ["that was yesterday", "2 it was yesterday", "2 yesterday"])
def test_a_time_alone_changes_when(line: str) -> None:
    when, words = reply(line, current=2).changes
    assert (when.record_id, when.field, words.new) == (12, "when", "yesterday")


@pytest.mark.parametrize("line", ["undo", "u", "Undo that.", "take that back"])
def test_undo_names_no_record_to_withdraw(line: str) -> None:
    said = reply(line)
    assert (said.action, said.changes) == (Action.UNDO, ())


@pytest.mark.parametrize(
    "line",
    ["b 2", "bring it back", "bring back number 2", "number two is back", "unwithdraw 2", "undo 2"],
)
def test_what_was_withdrawn_is_brought_back(line: str) -> None:
    gone = (RECORDS[0], replace(RECORDS[1], withdrawn=True), *RECORDS[2:])
    said = reply(line, records=gone)
    assert [(change.kind, change.record_id) for change in said.changes] == [(CONFIRM, 12)]


def test_what_stands_is_not_brought_back_and_of_several_one_is_named() -> None:
    assert reply("undo 2").action is Action.UNCLEAR
    gone = tuple(replace(one, withdrawn=True) for one in RECORDS[1:3])
    said = reply("bring it back", records=(RECORDS[0], *gone))
    assert (said.action, said.changes) == (Action.UNCLEAR, ())
    assert "2, 3" in said.text


@pytest.mark.parametrize("line", ["no", "that's not right", "2 is not right"])
def test_saying_no_asks_which_field_is_wrong(line: str) -> None:
    said = reply(line)
    assert (said.action, said.changes) == (Action.UNCLEAR, ())
    assert said.text.startswith("What is wrong with number")


@pytest.mark.parametrize("line", ["2 was coop Q", "2 place coop Q", "2 was in the coop Q"])
def test_an_unknown_place_is_told_with_those_that_are_known(line: str) -> None:
    said = reply(line)
    assert (said.action, said.changes) == (Action.UNCLEAR, ())
    assert "There is no place “coop Q”" in said.text
    assert "coop A, coop B" in said.text
