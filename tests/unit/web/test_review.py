"""The review: records by their ids, doubts first, to a finished day."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from voicelog.app import Setting
from voicelog.records import Store
from voicelog.types import Record

from .conftest import words_of

Ids = tuple[int, ...]


def _post(client: Any, **fields: object) -> Any:
    return client.post("/review", data={"day": "2027-05-04", "once": str(fields), **fields})


@pytest.fixture
def record(setting: Setting) -> Callable[[int], Record]:
    """A record as it stands in the store."""

    def standing(record_id: int) -> Record:
        with Store.open(setting.store) as store:
            found = store.records_of(1)
        return next(one for one in found if one.id == record_id)

    return standing


def test_doubts_come_first(client: Any, doubted: Ids) -> None:
    shown = words_of(client.get("/review"))
    assert "1 memo, 2 records, 1 in doubt, 2 to confirm" in shown
    assert shown.index("Was that four in coop B?") < shown.index("nine eggs from coop a")
    assert len(doubted) == 2


def test_a_record_is_confirmed_by_its_button(client: Any, doubted: Ids, record: Any) -> None:
    shown = words_of(_post(client, action="confirm", record=doubted[1]))
    assert f"Changed: record {doubted[1]} is confirmed." in shown
    assert "0 in doubt, 1 to confirm" in shown
    assert record(doubted[1]).confirmed
    assert not record(doubted[0]).confirmed


def test_a_record_is_withdrawn_and_put_back(client: Any, doubted: Ids, record: Any) -> None:
    shown = words_of(_post(client, action="withdraw", record=doubted[0]))
    assert record(doubted[0]).withdrawn
    assert "Put back" in shown
    _post(client, action="confirm", record=doubted[0])
    assert not record(doubted[0]).withdrawn


@pytest.mark.parametrize(
    ("words", "field", "value"),
    [
        ("twelve", "count", 12),
        ("12", "count", 12),
        ("no, it was 12", "count", 12),
        ("cracked 2", "cracked", 2),
        ("was coop A", "place", "coop A"),
    ],
)
def test_a_record_is_corrected_in_plain_words(
    client: Any, doubted: Ids, record: Any, words: str, field: str, value: object
) -> None:
    shown = words_of(_post(client, action="correct", record=doubted[1], words=words))
    stands = record(doubted[1])
    assert stands.corrected == (field,)
    found = stands.draft.place if field == "place" else stands.draft.slots[field]
    assert found == value
    assert f"record {doubted[1]}: " in shown


def test_several_are_confirmed_at_once_and_the_day_is_finished(
    client: Any, doubted: Ids, record: Any
) -> None:
    shown = words_of(_post(client, action="confirm", record=" ".join(map(str, doubted))))
    assert "The day is finished: every record is confirmed, corrected or withdrawn." in shown
    assert all(record(one).confirmed for one in doubted)


def test_only_records_without_a_doubt_are_offered_together(client: Any, doubted: Ids) -> None:
    assert "without a doubt" not in words_of(client.get("/review"))
    _post(client, words=f"a {'three eggs from coop a'}", shown=_shown(client))
    assert "Confirm all 2 without a doubt" in words_of(client.get("/review"))
    assert doubted


def _shown(client: Any, day: str = "") -> str:
    found = re.search(r'name="shown" value="([\d ]*)"', client.get(f"/review?day={day}").text)
    assert found
    return found.group(1)


@pytest.mark.parametrize(
    ("words", "changed"),
    [("the second one is right", 0), ("c 2", 0), ("scratch the first", 1), ("right", 1)],
)
def test_plain_words_pick_by_the_numbers_shown(
    client: Any, doubted: Ids, record: Any, words: str, changed: int
) -> None:
    _post(client, words=words, shown=_shown(client), at=doubted[1])
    stands = record(doubted[changed])
    assert stands.confirmed or stands.withdrawn
    assert not record(doubted[1 - changed]).confirmed


def test_plain_words_without_a_number_are_about_the_one_marked(
    client: Any, doubted: Ids, record: Any
) -> None:
    _post(client, words="right", shown=_shown(client), at=doubted[0])
    assert record(doubted[0]).confirmed
    assert not record(doubted[1]).confirmed


def test_numbers_of_a_list_that_has_changed_are_not_trusted(
    client: Any, doubted: Ids, record: Any
) -> None:
    before = _shown(client)
    client.post("/", data={"memo": "two eggs from coop a"})
    answer = _post(client, words="scratch the second", shown=before, at=doubted[1])
    assert answer.status_code == 422
    assert "The list has changed since it was shown to you." in words_of(answer)
    assert 'value="scratch the second"' in answer.text
    assert not any(record(one).withdrawn for one in doubted)


def test_a_memo_is_added_once(client: Any, doubted: Ids) -> None:
    shown = _shown(client)
    for _ in range(2):
        told = words_of(_post(client, words="a five eggs from coop b", shown=shown))
    assert "Kept as memo 2." in told
    assert "2 memos, 3 records" in told
    assert doubted


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"action": "confirm", "record": "999"}, "not in this day's list"),
        ({"action": "confirm"}, "not in this day's list"),
        ({"action": "withdraw", "record": "one"}, "names no record"),
        ({"action": "withdraw", "record": "9" * 30}, "names no record"),
        ({"action": "correct", "record": "2", "words": " "}, "no correction to make"),
        ({"action": "correct", "record": "2", "words": "gibberish"}, "does not say what"),
        ({"words": ""}, "Nothing was said."),
        ({"words": "gibberish", "shown": "2 1"}, "Nothing was changed."),
        ({"words": "number 9 is right", "shown": "2 1"}, "no number 9"),
        ({"action": "confirm", "record": "1", "day": "teatime"}, "names no day"),
    ],
)
def test_what_cannot_be_done_is_told_and_changes_nothing(
    client: Any, doubted: Ids, record: Any, fields: dict[str, str], told: str
) -> None:
    assert doubted == (1, 2)
    answer = _post(client, **fields)
    assert answer.status_code == 422
    assert told in words_of(answer)
    for one in doubted:
        stands = record(one)
        assert (stands.confirmed, stands.withdrawn, stands.corrected) == (False, False, ())


@pytest.mark.parametrize("words", ["h", "q", "s", "n"])
def test_keys_that_only_a_prompt_needs_do_no_harm(client: Any, doubted: Ids, words: str) -> None:
    assert _post(client, words=words, shown=_shown(client)).status_code == 200
    assert "2 to confirm" in words_of(client.get("/review"))
    assert doubted


def test_other_days_are_a_touch_away(client: Any, doubted: Ids) -> None:
    shown = client.get("/review?day=yesterday")
    assert "Monday 3 May 2027" in words_of(shown)
    assert "No memo was said on this day." in words_of(shown)
    assert "/review?day=2027-05-02" in shown.text
    assert "/review?day=2027-05-04" in shown.text
    assert "The day after" not in client.get("/review").text
    assert doubted


@pytest.mark.parametrize(("day", "status"), [("0001-01-01", 200), ("9999-12-30", 200), ("x", 422)])
def test_any_day_may_be_asked_for(client: Any, day: str, status: int) -> None:
    assert client.get(f"/review?day={day}").status_code == status


@pytest.mark.parametrize("at", ["", "x", "9" * 40, "-1"])
def test_the_address_may_hold_nonsense(client: Any, doubted: Ids, at: str) -> None:
    assert client.get(f"/review?at={at}&told=nothing").status_code == 200
    assert doubted


def test_a_memo_that_gave_no_record_is_shown(client: Any, setting: Setting) -> None:
    with Store.open(setting.store) as store:
        store.keep_memo(said_at=setting.now(), text="nothing much", source="typed")
        store.keep_memo(said_at=setting.now(), text="", source="audio")
    shown = words_of(client.get("/review"))
    assert "“nothing much”" in shown
    assert "A recording without words." in shown


def test_a_question_is_answered_and_changes_nothing(client: Any, doubted: Ids, record: Any) -> None:
    shown = words_of(_post(client, words="how many eggs today", shown=_shown(client)))
    assert "eggs" in shown
    assert not any(record(one).corrected or record(one).confirmed for one in doubted)


def test_undo_withdraws_nothing(client: Any, doubted: Ids, record: Any) -> None:
    _post(client, action="withdraw", record=doubted[0])
    assert "bring" in words_of(_post(client, words="undo", shown=_shown(client))).lower()
    assert not record(doubted[1]).withdrawn
    _post(client, words="bring it back", shown=_shown(client))
    assert not record(doubted[0]).withdrawn
