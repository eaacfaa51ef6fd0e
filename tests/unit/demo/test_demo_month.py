"""The demo farm and its month of memos are whole, in order, and tell a story that adds up."""

from __future__ import annotations

import json
import re
from collections import Counter
from datetime import datetime, timedelta
from functools import cache
from importlib.resources import files
from zoneinfo import ZoneInfo

import pytest

from voicelog import parse_memo
from voicelog.catalogue import load_catalogue
from voicelog.farm import Farm, read_farm
from voicelog.types import Draft, Instruction, Status

NAMES_OF_THE_DOCUMENTATION = {"coop b", "coop c", "north coop", "juniper"}
"""The demo keeps to names of its own, so that no test of the one proves the other."""


@cache
def demo_farm() -> Farm:
    return read_farm((files("voicelog.demo") / "farm.toml").read_text("utf-8"))


@cache
def demo_lines() -> tuple[dict[str, str], ...]:
    text = (files("voicelog.demo") / "memos.jsonl").read_text("utf-8")
    return tuple(json.loads(line) for line in text.splitlines())


def moment(line: dict[str, str]) -> datetime:
    return datetime.fromisoformat(line["now"]).replace(tzinfo=ZoneInfo(demo_farm().timezone))


@cache
def understood() -> tuple[tuple[dict[str, str], tuple[Draft, ...], tuple[Instruction, ...]], ...]:
    parsed = [(line, parse_memo(line["text"], demo_farm(), moment(line))) for line in demo_lines()]
    return tuple((line, parse.records, parse.instructions) for line, parse in parsed)


def test_the_farm_has_every_kind_of_place_that_is_declared() -> None:
    declared = {kind.name for kind in load_catalogue().places}
    assert {place.kind for place in demo_farm().places} == declared


def test_the_farm_has_about_fourteen_chores_of_several_rhythms() -> None:
    chores = demo_farm().chores
    assert 12 <= len(chores) <= 16
    assert len({(chore.every.count, chore.every.unit) for chore in chores}) >= 4


def test_the_names_are_the_demo_s_own() -> None:
    farm = demo_farm()
    names = {named.name.lower() for named in (*farm.places, *farm.birds)}
    assert not names & NAMES_OF_THE_DOCUMENTATION


def test_a_line_is_a_time_and_what_was_said() -> None:
    for line in demo_lines():
        assert set(line) == {"now", "text"}
        assert re.fullmatch(r"[a-z']+( [a-z']+)*", line["text"]), line


def test_the_memos_are_in_time_order_and_fill_one_month() -> None:
    moments = [moment(line) for line in demo_lines()]
    assert moments == sorted(set(moments))
    assert len({day.date() for day in moments}) == 31
    assert moments[-1] - moments[0] < timedelta(days=31)
    assert 200 <= len(moments) <= 300


def test_the_month_tells_of_every_kind_of_record() -> None:
    told = {record.kind for _, records, _ in understood() for record in records}
    assert told == {kind.name for kind in load_catalogue().kinds}


def test_the_month_has_plans_things_not_done_and_corrections() -> None:
    statuses = Counter(record.status for _, records, _ in understood() for record in records)
    assert statuses[Status.PLANNED] >= 4
    assert statuses[Status.NOT_DONE] >= 2
    assert sum(len(instructions) for _, _, instructions in understood()) >= 2


@pytest.mark.parametrize("coop", ["red coop", "green coop"])
def test_no_coop_lays_more_eggs_than_it_has_hens(coop: str) -> None:
    hens = sum(
        flock.count or 0
        for flock in demo_farm().flocks
        if flock.place == coop and flock.class_ == "layer"
    )
    gathered: Counter[str] = Counter()
    for line, records, _ in understood():
        for record in records:
            if record.kind == "eggs" and record.place == coop:
                gathered[line["now"][:10]] += int(str(record.slots["count"]))
    # A corrected day is counted twice here: instructions take effect only in a store.
    corrected = {line["now"][:10] for line, _, instructions in understood() if instructions}
    plain = {day: count for day, count in gathered.items() if day not in corrected}
    assert len(plain) >= 25
    assert max(plain.values()) <= hens
