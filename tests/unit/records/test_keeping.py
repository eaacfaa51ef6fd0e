from datetime import UTC, datetime

import pytest

from voicelog.errors import RequestError, StoreError
from voicelog.records import NewChange, Store, Wanted, interval_from_text, interval_text
from voicelog.types import (
    Alternative,
    ChangeKind,
    Instruction,
    Interval,
    Parse,
    Precision,
    Quantity,
    Status,
    Transcript,
    Word,
)

TRANSCRIPT = Transcript(
    text="twelve eggs",
    words=(Word(text="twelve", from_s=0.1, to_s=0.5, confidence=0.93),),
    alternatives=(Alternative(text="twelve legs", score=11.5),),
    from_s=0.0,
    to_s=1.2,
    engine="engine 1",
)


def correct(record_id, at, field, new, memo_id=None):
    return NewChange(
        record_id=record_id,
        kind=ChangeKind.CORRECT,
        at=at,
        field=field,
        new=new,
        memo_id=memo_id,
    )


def change(record_id, kind, at):
    return NewChange(record_id=record_id, kind=kind, at=at)


def test_a_memo_comes_back_whole_from_another_process_view(store, path, at):
    kept = store.keep_memo(
        said_at=at(4), text="  zwölf\nEggs ☂ ", source="audio", transcript=TRANSCRIPT
    )
    with Store.open(str(path)) as other:
        assert other.memo(kept.id) == kept
    assert kept.text == "  zwölf\nEggs ☂ "
    assert kept.transcript == TRANSCRIPT
    assert kept.said_at.isoformat() == "2027-05-04T08:00:00-02:30"


def test_a_moment_without_offset_is_refused(store):
    with pytest.raises(ValueError, match="offset"):
        store.keep_memo(said_at=datetime(2027, 5, 4), text="eggs", source="typed")  # noqa: DTZ001
    assert store.memos() == ()


def test_text_that_is_no_unicode_is_refused_in_sentences(store, at):
    with pytest.raises(StoreError, match=r"no letter.*Nothing of the memo was kept"):
        store.keep_memo(said_at=at(4), text="eggs \udcff", source="typed")


def test_a_memo_without_parse_is_taken_up_later(store, at):
    memo = store.keep_memo(said_at=at(4), text="eggs", source="typed")
    assert store.unparsed() == (memo,)
    store.keep_parse(memo.id, Parse(memo="eggs", now=at(4)), parser="first")
    assert store.unparsed() == ()


def test_a_parse_comes_back_whole(store, at, draft):
    memo = store.keep_memo(said_at=at(4), text="well well", source="typed")
    parse = Parse(
        memo="well well",
        now=at(4),
        records=(draft(amount=Quantity(value=2, unit="scoop"), cracked=1, floor=True),),
        questions=("how many eggs",),
        instructions=(
            Instruction(text="make that 2", action="correct", value=2, ordinal=-1),
            Instruction(text="that was A", action="correct", slot="place", value="A", kind="eggs"),
        ),
        unused=("well",),
    )
    assert store.parse_of(memo.id) is None
    store.keep_parse(memo.id, parse, parser="first")
    assert store.parse_of(memo.id) == parse


def test_a_record_comes_back_as_it_was_drafted(say, store, at, draft):
    drafted = draft(
        place="Coop B",
        birds=("Wren", "Juno"),
        amount=Quantity(value=2.5, unit="scoop"),
        count=3,
        feed_type="layer",
        floor=False,
    )
    (record,) = say(at(4), drafted)
    assert record.draft == drafted
    assert isinstance(record.draft.slots["count"], int)
    assert store.record(record.id) == record
    assert store.records_of(record.memo_id) == (record,)


@pytest.mark.parametrize(
    ("field", "new"),
    [
        ("count", 12),
        ("amount", Quantity(value=3, unit="bucket")),
        ("feed_type", "layer"),
        ("floor", False),
        ("place", "coop C"),
        ("flock", "cocks"),
        ("by", "Wren"),
        ("when_said", "at noon"),
        ("birds", ("Juno", "Wren")),
        ("kind", "treat"),
        ("status", "planned"),
    ],
)
def test_a_correction_changes_one_field_and_says_so(say, store, at, draft, field, new):
    (record,) = say(at(4), draft(place="coop B", count=27))
    (made,) = store.keep_changes([correct(record.id, at(4, 9), field, new)])
    stands = store.record(record.id)
    shown = getattr(stands.draft, field, None) or stands.draft.slots.get(field)
    assert shown == new
    assert stands.corrected == (field,)
    assert made.new == new
    assert store.history(record.id) == (made,)
    assert store.original(record.id).draft == record.draft


def test_a_time_is_corrected_by_an_interval(say, store, at, draft):
    (record,) = say(at(4), draft())
    when = Interval(from_=None, to=at(3), precision=Precision.DAY)
    (made,) = store.keep_changes([correct(record.id, at(4, 9), "when", when)])
    assert store.record(record.id).draft.when == when
    assert interval_from_text(made.new) == when
    assert made.old == interval_text(record.draft.when)


def test_emptying_a_slot_and_a_name(say, store, at, draft):
    (record,) = say(at(4), draft(place="coop B", count=27))
    store.keep_changes(
        [correct(record.id, at(4, 9), "count", None), correct(record.id, at(4, 9), "place", None)]
    )
    stands = store.record(record.id)
    assert dict(stands.draft.slots) == {}
    assert stands.draft.place is None
    assert stands.corrected == ("count", "place")


@pytest.mark.parametrize(
    ("field", "new"),
    [
        ("status", "perhaps"),
        ("status", None),
        ("kind", ""),
        ("kind", None),
        ("when", "yesterday"),
        ("when", "2027-05-04T08:00:00/.. day"),
        ("birds", "Juno"),
        ("place", 5),
        ("count", ("a", "b")),
        ("text", "other words"),
        ("certainty", 1.0),
        (None, 1),
    ],
)
def test_a_correction_that_does_not_fit_is_refused_whole(say, store, at, draft, field, new):
    (record,) = say(at(4), draft(count=27))
    fits = correct(record.id, at(4, 9), "count", 12)
    with pytest.raises(RequestError, match="stands as it was"):
        store.keep_changes([fits, correct(record.id, at(4, 9), field, new)])
    assert store.record(record.id) == record
    assert store.history(record.id) == ()


def test_unknown_records_and_memos_are_refused(store, say, at, draft):
    (record,) = say(at(4), draft(count=27))
    for ask in (store.record, store.history, store.original):
        with pytest.raises(RequestError, match="no record 99"):
            ask(99)
    for ask in (store.memo, store.parse_of):
        with pytest.raises(RequestError, match="no memo 99"):
            ask(99)
    with pytest.raises(RequestError, match="no memo 99"):
        store.keep_parse(99, Parse(memo="", now=at(4)), parser="first")
    with pytest.raises(RequestError, match="no record 99"):
        store.keep_changes([change(99, ChangeKind.CONFIRM, at(4))])
    with pytest.raises(RequestError, match="no memo 99"):
        store.keep_changes([correct(record.id, at(4), "count", 1, memo_id=99)])


def test_withdrawing_and_confirming_undo_each_other(say, store, at, draft):
    (record,) = say(at(4), draft())
    store.keep_changes([change(record.id, ChangeKind.CONFIRM, at(4, 9))])
    store.keep_changes([change(record.id, ChangeKind.WITHDRAW, at(4, 10))])
    assert (store.record(record.id).withdrawn, store.record(record.id).confirmed) == (True, False)
    assert store.find(Wanted()) == ()
    assert len(store.find(Wanted(include_withdrawn=True))) == 1
    store.keep_changes([change(record.id, ChangeKind.CONFIRM, at(4, 11))])
    assert (store.record(record.id).withdrawn, store.record(record.id).confirmed) == (False, True)


def test_a_parse_and_the_changes_it_asks_for_are_kept_together(say, store, at, draft):
    (first,) = say(at(4), draft(count=27))
    memo = store.keep_memo(said_at=at(4, 9), text="make that twelve", source="typed")
    asked = correct(first.id, at(4, 9), "count", 12, memo_id=memo.id)
    parse = Parse(memo=memo.text, now=at(4, 9))
    with pytest.raises(RequestError):
        store.keep_parse(
            memo.id, parse, parser="first", changes=[asked, change(99, ChangeKind.CONFIRM, at(4))]
        )
    assert store.unparsed() == (memo,)
    assert store.record(first.id) == first
    assert store.keep_parse(memo.id, parse, parser="first", changes=[asked]) == ()
    assert store.unparsed() == ()
    assert store.record(first.id).draft.slots["count"] == 12
    assert store.history(first.id)[0].memo_id == memo.id


def test_the_last_memo(store, say, at, draft):
    assert store.last_memo() is None
    say(at(4), draft())
    say(at(6))
    say(at(5), draft())
    say(at(5), draft())
    assert store.last_memo().id == 2
    assert store.last_memo(with_records=True).id == 4
    assert store.last_memo(at(5)).id == 4
    assert store.last_memo(before=4).id == 3
    assert store.last_memo(before=3).id == 1
    assert store.last_memo(before=1) is None
    assert store.last_memo(at(3)) is None


def test_memos_of_a_time(store, say, at):
    for day in (6, 4, 5):
        say(at(day))
    assert [memo.id for memo in store.memos()] == [2, 3, 1]
    assert [memo.id for memo in store.memos(at(5), at(6))] == [3]
    assert [memo.id for memo in store.memos(as_of=at(5))] == [2, 3]


def test_moments_of_different_offsets_sort_by_instant(store, at):
    later = store.keep_memo(said_at=at(4, 8), text="a", source="typed")
    utc = datetime(2027, 5, 4, 10, 0, tzinfo=UTC)
    earlier = store.keep_memo(said_at=utc, text="b", source="typed")
    assert [memo.id for memo in store.memos()] == [earlier.id, later.id]


def test_statuses_are_kept_apart(say, store, at, draft):
    say(at(4), *(draft(status=status, text=status.value) for status in Status))
    for status in Status:
        (record,) = store.find(Wanted(statuses=(status,)))
        assert record.draft.text == status.value
