from dataclasses import replace

import pytest

from voicelog.records import NewChange, Wanted
from voicelog.types import ChangeKind, Parse


def again(store, memo_id, at, *drafts):
    parse = Parse(memo=store.memo(memo_id).text, now=at(4), records=drafts)
    return store.keep_parse(memo_id, parse, parser="second")


def change(record_id, kind, at, **more):
    return NewChange(record_id=record_id, kind=kind, at=at(4, 9), **more)


def test_a_newer_parse_replaces_what_nobody_settled(say, store, at, draft):
    (old,) = say(at(4), draft("remark", text="four eggs in the barn"))
    (new,) = again(store, old.memo_id, at, draft(text="four eggs in the barn", count=4))
    assert store.find(Wanted(include_withdrawn=True)) == (new,)
    assert new.draft.kind == "eggs"
    assert store.record(old.id).withdrawn
    assert store.record(old.id).draft == old.draft
    assert store.records_of(old.memo_id) == (new,)


def test_an_equal_record_keeps_its_id(say, store, at, draft):
    first, second = say(at(4), draft(text="one", count=1), draft(text="two", count=2))
    better = draft(text="two", count=22)
    stands = again(store, first.memo_id, at, better, first.draft)
    assert {record.id for record in stands} == {first.id, second.id + 1}


@pytest.mark.parametrize("kind", [ChangeKind.CONFIRM, ChangeKind.WITHDRAW])
def test_what_is_settled_stays_and_is_not_said_twice(say, store, at, draft, kind):
    settled, loose = say(
        at(4), draft(text="nine eggs", count=9), draft("feed", text="two scoops", amount=2)
    )
    store.keep_changes([change(settled.id, kind, at)])
    stands = again(
        store, settled.memo_id, at, draft(text="nine eggs", count=90), draft("treat", text="corn")
    )
    assert [record.draft.kind for record in stands] == ["eggs", "treat"]
    assert stands[0] == store.record(settled.id)
    assert stands[0].draft.slots["count"] == 9
    assert store.record(loose.id).withdrawn


def test_a_corrected_record_is_known_by_its_corrected_kind(say, store, at, draft):
    (record,) = say(at(4), draft("remark", text="gave corn to all"))
    store.keep_changes([change(record.id, ChangeKind.CORRECT, at, field="kind", new="treat")])
    (stands,) = again(store, record.memo_id, at, draft("treat", text="gave corn"))
    assert stands.id == record.id


def test_records_of_the_same_words_are_told_apart_by_place(say, store, at, draft):
    text = "six eggs each"
    north, south = say(at(4), draft(place="n", text=text), draft(place="s", text=text))
    store.keep_changes([change(south.id, ChangeKind.CONFIRM, at)])
    stands = again(
        store,
        north.memo_id,
        at,
        draft(place="n", text=text, count=6),
        draft(place="s", text=text, count=6),
    )
    assert [(record.draft.place, record.confirmed) for record in stands] == [
        ("s", True),
        ("n", False),
    ]


def test_a_memo_withdrawn_whole_stays_withdrawn(say, store, at, draft):
    (record,) = say(at(4), draft(text="nine eggs"))
    store.keep_changes([change(record.id, ChangeKind.WITHDRAW, at)])
    stands = again(
        store, record.memo_id, at, draft(text="nine eggs"), draft("feed", text="fed all")
    )
    assert stands == (replace(record, withdrawn=True),)
    assert len(store.parse_of(record.memo_id).records) == 2


def test_a_replaced_record_can_still_be_found_by_its_id_and_history(say, store, at, draft):
    (old,) = say(at(4), draft(text="one"))
    again(store, old.memo_id, at, draft(text="one", count=1))
    assert store.history(old.id) == ()
    store.keep_changes([change(old.id, ChangeKind.CONFIRM, at)])
    assert store.find(Wanted())[0].id != old.id
    assert store.check() == ()
