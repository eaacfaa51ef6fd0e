from datetime import date, datetime, time, timedelta
from itertools import chain
from zoneinfo import ZoneInfo

import pytest

from voicelog.farm import Chore, Every, Flock
from voicelog.records import NewChange, Store
from voicelog.routine import day_plan
from voicelog.types import (
    ChangeKind,
    Draft,
    Interval,
    Parse,
    Precision,
    Quantity,
    Status,
    frozen_slots,
)

ZONE = ZoneInfo("America/St_Johns")
DAY = Every(count=1, unit="day")


def at(day, hour=8, minute=0, month=5):
    return datetime(2027, month, day, hour, minute, tzinfo=ZONE)


def chore(record="eggs", *places, every=DAY, by=None, match=None, words="the eggs"):
    return Chore(
        record=record,
        places=places,
        every=every,
        by=by,
        match=frozen_slots(match),
        words=words,
    )


@pytest.fixture
def store(tmp_path):
    with Store.open(str(tmp_path / "farm.db")) as opened:
        yield opened


@pytest.fixture
def note(store):
    """Say at one time what was done at the same or another."""

    def noted(said_at, *, when=None, kind="eggs", status=Status.DONE, **fields):
        if not isinstance(when, Interval):
            when = Interval(from_=when or said_at, to=when or said_at, precision=Precision.MINUTE)
        plain = {"when_said": None, "place": None, "flock": None, "birds": (), "text": kind}
        drafted = Draft(
            kind=kind,
            status=status,
            when=when,
            certainty=1.0,
            slots=frozen_slots(fields.pop("slots", None)),
            **(plain | fields),
        )
        memo = store.keep_memo(said_at=said_at, text=kind, source="typed")
        parse = Parse(memo=kind, now=said_at, records=(drafted,))
        return store.keep_parse(memo.id, parse, parser="first")[0]

    return noted


@pytest.fixture
def lists(store):
    """Names of the lists that the tasks stand in, in the order of the chores and places."""

    def planned(now, *chores, flocks=()):
        plan = day_plan(chores, store, now, flocks=flocks)
        stands = {
            (task.record, task.place, tuple(task.match.items())): name
            for name in ("left", "done", "skipped", "not_due")
            for task in getattr(plan, name)
        }
        tasks = list(chain(plan.left, plan.done, plan.skipped, plan.not_due))
        wanted = [
            (c.record, place, tuple(c.match.items()))
            for c in chores
            for place in c.places or [None]
        ]
        assert len(tasks) == len(wanted)
        return " ".join(stands[key] for key in wanted)

    return planned


def test_never_done_is_left(lists):
    assert lists(at(4), chore(), chore("move", every=Every(count=1, unit="month"))) == "left left"


def test_done_today_is_done_and_shows_by_what(store, note):
    record = note(at(4, 7))
    plan = day_plan([chore(by=time(12))], store, at(4))
    (task,) = plan.done
    assert plan.date == date(2027, 5, 4)
    assert (task.by_record, task.by_memo) == (record.id, record.memo_id)
    assert task.last_done == record.draft.when
    assert task.due == at(5, 12)
    assert task.chore == "the eggs"


def test_done_yesterday_is_left_again(lists, note):
    note(at(3, 23, 59))
    assert lists(at(3, 23, 59), chore()) == "done"
    assert lists(at(4, 0, 0), chore()) == "left"


def test_a_late_note_counts_for_the_day_it_names(lists, note):
    note(at(4, 7), when=at(3, 18))
    assert lists(at(4), chore()) == "left"
    assert lists(at(4), chore(every=Every(count=2, unit="day"))) == "not_due"


def test_a_note_said_later_than_now_is_not_seen(lists, note):
    note(at(4, 9), when=at(4, 7))
    assert lists(at(4, 8), chore()) == "left"
    assert lists(at(4, 9), chore()) == "done"


def test_each_place_stands_for_itself(lists, note):
    note(at(4), place="Coop B")
    assert lists(at(4), chore("eggs", "coop A", "coop B")) == "left done"


def test_a_chore_of_the_farm_is_done_wherever_it_was(lists, note):
    note(at(4), place="coop B")
    assert lists(at(4), chore()) == "done"


def test_no_place_said_counts_where_there_is_only_one(lists, note):
    note(at(4))
    assert lists(at(4), chore("eggs", "coop A", "coop B")) == "left left"
    assert lists(at(4), chore("eggs", "coop A")) == "done"


FLOCKS = (
    Flock(name="hens", class_="layer", place="coop A"),
    Flock(name="cocks", class_="cock", place="coop A"),
    Flock(name="chicks", class_="chick", place="pen"),
    Flock(name="wanderers", class_="other"),
)


@pytest.mark.parametrize(
    ("flock", "two", "one"),
    [
        ("Hens", "done left", "done"),
        ("cocks", "done left", "done"),
        ("chicks", "left done", "left"),
        ("wanderers", "left left", "done"),
        ("guests", "left left", "done"),
    ],
)
def test_a_flock_named_means_the_place_where_it_lives(lists, note, flock, two, one):
    note(at(4), kind="feed", flock=flock)
    assert lists(at(4), chore("feed", "coop A", "pen"), flocks=FLOCKS) == two
    assert lists(at(4), chore("feed", "coop A"), flocks=FLOCKS) == one
    assert lists(at(4), chore("feed", "coop A", "pen")) == "left left"


def test_a_place_said_goes_before_the_flock(lists, note):
    note(at(4), kind="feed", flock="hens", place="pen")
    assert lists(at(4), chore("feed", "coop A", "pen"), flocks=FLOCKS) == "left done"


def test_slot_values_must_be_equal(lists, note):
    note(at(4), slots={"target": "Nest_Box", "amount": Quantity(value=2, unit="scoop"), "n": 3})
    for match, stands in (
        ({"target": "nest_box"}, "done"),
        ({"target": "floor"}, "left"),
        ({"amount": Quantity(value=2.0, unit="Scoop")}, "done"),
        ({"amount": Quantity(value=2, unit="bucket")}, "left"),
        ({"amount": 2}, "left"),
        ({"n": 3, "target": "nest_box"}, "done"),
        ({"n": 3, "target": "floor"}, "left"),
        ({"depth": 1}, "left"),
    ):
        assert lists(at(4), chore(match=match)) == stands, match


def test_skipped_holds_for_its_day_only(lists, note):
    note(at(4, 7), status=Status.NOT_DONE)
    assert lists(at(4), chore()) == "skipped"
    assert lists(at(5), chore()) == "left"


def test_done_after_it_was_skipped_is_done(lists, note):
    note(at(4, 7), status=Status.NOT_DONE)
    note(at(4, 9))
    assert lists(at(4, 8), chore()) == "skipped"
    assert lists(at(4, 9), chore()) == "done"


def test_done_once_today_stays_done(lists, note):
    note(at(4, 7))
    note(at(4, 9), status=Status.NOT_DONE)
    assert lists(at(4, 10), chore()) == "done"


def test_skipping_beforehand(lists, note):
    note(at(4, 7), when=at(4, 19), status=Status.NOT_DONE)
    note(at(4, 7), when=at(5, 7), status=Status.NOT_DONE, kind="feed")
    assert lists(at(4), chore(), chore("feed")) == "skipped left"


def test_a_plan_is_not_done(lists, note):
    note(at(4, 7), when=at(4, 7), status=Status.PLANNED)
    assert lists(at(4), chore()) == "left"


def test_withdrawn_and_corrected_records(lists, note, store):
    record = note(at(4, 7))
    change = NewChange(record_id=record.id, kind=ChangeKind.WITHDRAW, at=at(4, 8))
    store.keep_changes([change])
    assert lists(at(4, 7, 59), chore()) == "done"
    assert lists(at(4, 8), chore()) == "left"


@pytest.mark.parametrize(
    ("every", "last", "due"),
    [
        (Every(count=1, unit="day"), at(4), at(5)),
        (Every(count=3, unit="day"), at(4), at(7)),
        (Every(count=1, unit="week"), at(4), at(11)),
        (Every(count=2, unit="week"), at(4), at(18)),
        (Every(count=1, unit="month"), at(4), at(4, month=6)),
        (Every(count=1, unit="month"), at(31), at(30, month=6)),
        (Every(count=1, unit="month"), at(31, month=1), at(28, month=2)),
        (Every(count=3, unit="month"), at(31, month=8), at(30, month=11)),
        (Every(count=1, unit="month"), at(31, month=12), at(31, month=12) + timedelta(days=31)),
    ],
    ids=str,
)
def test_due_again_on_the_calendar_day(store, lists, note, every, last, due):
    note(last.replace(hour=23))
    the_day_before = due - timedelta(days=1)
    if the_day_before.date() > last.date():
        assert lists(the_day_before.replace(hour=23), chore(every=every)) == "not_due"
    assert lists(due.replace(hour=0), chore(every=every)) == "left"
    plan = day_plan([chore(every=every, by=time(9, 30))], store, due.replace(hour=7))
    assert plan.left[0].due == due.replace(hour=9, minute=30)


def test_what_is_not_due_can_still_be_skipped(lists, note):
    note(at(3))
    note(at(4, 7), status=Status.NOT_DONE)
    assert lists(at(4), chore(every=Every(count=1, unit="week"))) == "skipped"


def test_overdue_keeps_the_day_it_fell_due(store, note):
    note(at(1))
    (task,) = day_plan([chore(every=Every(count=2, unit="day"))], store, at(9)).left
    assert task.due == at(3, 0)
    assert task.last_done.from_ == at(1)


def test_an_open_or_wide_time_counts_for_the_day_it_begins(lists, note):
    week = Interval(from_=at(3, 0), to=at(4, 8), precision=Precision.WEEK)
    note(at(4, 8), when=week)
    until = Interval(from_=None, to=at(4, 7), precision=Precision.HOUR)
    note(at(4, 8), when=until, kind="feed")
    assert lists(at(4), chore(), chore("feed")) == "left done"


@pytest.mark.parametrize("name", ["Pacific/Auckland", "America/St_Johns", "America/Sao_Paulo"])
def test_days_are_the_farms_own_over_a_change_of_clocks(lists, note, name):
    zone = ZoneInfo(name)
    for first in (datetime(2018, 3, 10, tzinfo=zone), datetime(2018, 10, 30, tzinfo=zone)):
        for days in range(12):
            midnight = first + timedelta(days=days)
            note(midnight.replace(hour=23, minute=45))
            assert lists(midnight.replace(hour=23, minute=50), chore()) == "done"
            tomorrow = (midnight + timedelta(days=1)).replace(hour=1, minute=30)
            assert lists(tomorrow, chore()) == "left"


def test_a_day_needs_a_zone(store):
    with pytest.raises(ValueError, match="time zone"):
        day_plan([chore()], store, datetime(2027, 5, 4))  # noqa: DTZ001
