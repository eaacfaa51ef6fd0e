from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from voicelog.records import DayTotal, NewChange, UnitSum, Wanted
from voicelog.types import ChangeKind, Interval, Precision, Quantity, Status, frozen_slots


@pytest.fixture
def farm(say, at, draft):
    """A few days of records, each with a text of its own."""
    say(at(3, 8), draft("eggs", at(3, 8), place="Coop B", count=9, text="a"))
    say(at(3, 9), draft("feed", at(3, 9), place="coop B", text="b", amount=scoops(2)))
    say(
        at(4, 8),
        draft("eggs", at(4, 8), place="coop b", count=11, cracked=2, text="c"),
        draft("eggs", at(4, 8), place="pen", count=4, text="d", birds=("Juno", "Old Wren")),
    )
    say(at(5, 8), draft("eggs", at(5, 8), count=2, flock="Pullets", text="e"))
    say(at(5, 9), draft("feed", at(5, 9), text="f", amount=Quantity(value=1.5, unit="bucket")))
    say(at(5, 9), draft("feed", at(5, 9), text="g", status=Status.NOT_DONE, feed_type="Layer"))


def scoops(value):
    return Quantity(value=value, unit="scoop")


def texts(store, **wanted):
    return "".join(record.draft.text for record in store.find(Wanted(**wanted)))


@pytest.mark.usefixtures("farm")
@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        ({}, "gfedcba"),
        ({"kinds": ("feed",)}, "gfb"),
        ({"kinds": ("feed", "move")}, "gfb"),
        ({"kinds": ("move",)}, ""),
        ({"statuses": (Status.NOT_DONE,)}, "g"),
        ({"places": ("COOP  B",)}, "cba"),
        ({"places": (None,)}, "gfe"),
        ({"places": (None, "pen")}, "gfed"),
        ({"flocks": ("pullets",)}, "e"),
        ({"flocks": (None,), "kinds": ("eggs",)}, "dca"),
        ({"other_than_flocks": ("PULLETS",), "kinds": ("eggs",)}, "dca"),
        ({"bird": "old wren"}, "d"),
        ({"bird": "wren"}, ""),
        ({"slots": frozen_slots({"count": 9})}, "a"),
        ({"slots": frozen_slots({"count": 9.0})}, "a"),
        ({"slots": frozen_slots({"count": 11, "cracked": 2})}, "c"),
        ({"slots": frozen_slots({"amount": 2})}, ""),
        ({"slots": frozen_slots({"amount": scoops(2)})}, "b"),
        ({"slots": frozen_slots({"amount": Quantity(value=2, unit="bucket")})}, ""),
        ({"slots": frozen_slots({"feed_type": "layer"})}, "g"),
        ({"text": "A"}, "a"),
        ({"text": "%"}, ""),
    ],
)
def test_each_wish_narrows(store, wanted, expected):
    assert texts(store, **wanted) == expected
    assert store.count(Wanted(**wanted)) == len(expected)


@pytest.mark.usefixtures("farm")
def test_times_are_half_open(store, at):
    assert texts(store, when_from=at(4, 8), when_to=at(5, 9)) == "edc"
    assert texts(store, when_from=at(5, 9)) == "gf"
    assert texts(store, when_to=at(3, 9)) == "a"


@pytest.mark.usefixtures("farm")
def test_order_and_limit(store):
    found = store.find(Wanted(), newest_first=False, limit=3)
    assert "".join(record.draft.text for record in found) == "abc"
    assert len(store.find(Wanted(), limit=1)) == 1


def test_open_sides_begin_where_they_can(say, store, at, draft):
    def drafted(start, end, text):
        when = Interval(from_=start, to=end, precision=Precision.DAY)
        plain = draft(text=text)
        return type(plain)(**{**fields(plain), "when": when})

    say(
        at(9),
        drafted(None, at(3), "until"),
        drafted(at(5), None, "since"),
        drafted(None, None, "some time"),
    )
    assert texts(store, when_from=at(3), when_to=at(4)) == "until"
    assert texts(store, when_from=at(5), when_to=at(6)) == "since"
    assert texts(store, when_from=at(9)) == "some time"
    assert store.find(Wanted(text="until"))[0].draft.when.from_ is None


def fields(draft):
    return {name: getattr(draft, name) for name in draft.__dataclass_fields__}


@pytest.mark.usefixtures("farm")
def test_sums_are_by_unit_and_nothing_is_not_zero(store):
    assert store.sums(Wanted(kinds=("eggs",)), "count") == (
        UnitSum(unit=None, total=26, records=4),
    )
    assert store.sums(Wanted(), "amount") == (
        UnitSum(unit="bucket", total=1.5, records=1),
        UnitSum(unit="scoop", total=2, records=1),
    )
    assert store.sums(Wanted(kinds=("move",)), "count") == ()
    assert store.sums(Wanted(), "feed_type") == ()


def test_sums_of_decimals_show_no_binary_dust(say, store, at, draft):
    for _ in range(10):
        say(at(4), draft("feed", amount=Quantity(value=0.1, unit="lb")))
    assert store.sums(Wanted(), "amount") == (UnitSum(unit="lb", total=1, records=10),)


@pytest.mark.usefixtures("farm")
def test_sums_can_be_asked_with_other_slots_given(store):
    given = Wanted(slots={"cracked": 2})
    assert store.sums(given, "count") == (UnitSum(unit=None, total=11, records=1),)
    (extreme,) = store.extremes(given, "count")
    assert extreme.lowest == extreme.highest


@pytest.mark.usefixtures("farm")
def test_extremes(store):
    (eggs,) = store.extremes(Wanted(kinds=("eggs",)), "count")
    assert (eggs.unit, eggs.lowest.draft.text, eggs.highest.draft.text) == (None, "e", "c")
    assert [extreme.unit for extreme in store.extremes(Wanted(), "amount")] == ["bucket", "scoop"]
    assert store.extremes(Wanted(kinds=("move",)), "count") == ()


@pytest.mark.usefixtures("farm")
def test_the_newest_at_each_place(store):
    found = store.latest_by_place(Wanted())
    assert [(p.place, p.record.draft.text) for p in found] == [
        (None, "g"),
        ("coop b", "c"),
        ("pen", "d"),
    ]
    assert store.latest_by_place(Wanted(kinds=("move",))) == ()


@pytest.mark.usefixtures("farm")
def test_day_totals(store):
    days = store.day_totals(Wanted(kinds=("eggs",)), "count", ZoneInfo("America/St_Johns"))
    assert days == (
        DayTotal(day=date(2027, 5, 3), unit=None, total=9, records=1),
        DayTotal(day=date(2027, 5, 4), unit=None, total=15, records=2),
        DayTotal(day=date(2027, 5, 5), unit=None, total=2, records=1),
    )
    assert store.day_totals(Wanted(kinds=("move",)), "count", ZoneInfo("UTC")) == ()


@pytest.mark.parametrize("name", ["Pacific/Auckland", "America/St_Johns", "America/Sao_Paulo"])
def test_day_totals_over_a_change_of_clocks(say, store, draft, name):
    zone = ZoneInfo(name)
    moments = [
        datetime(2018, 1, 1, 0, 0, tzinfo=zone) + timedelta(hours=8 * n) for n in range(1200)
    ]
    say(moments[-1], *(draft(when=moment, count=1) for moment in moments))
    expected = {}
    for moment in moments:
        expected[moment.date()] = expected.get(moment.date(), 0) + 1
    totals = store.day_totals(Wanted(), "count", zone)
    assert {total.day: total.total for total in totals} == expected


def test_a_record_shows_as_it_was(say, store, at, draft):
    (record,) = say(at(4, 8), draft(count=27))
    store.keep_changes(
        [
            NewChange(
                record_id=record.id,
                kind=ChangeKind.CORRECT,
                at=at(4, 10),
                field="count",
                new=12,
            ),
            NewChange(record_id=record.id, kind=ChangeKind.WITHDRAW, at=at(4, 12)),
        ]
    )

    def count(hour, minute=0):
        return [r.draft.slots["count"] for r in store.find(Wanted(as_of=at(4, hour, minute)))]

    assert count(7, 59) == []
    assert count(8) == [27]
    assert count(9, 59) == [27]
    assert count(10) == [12]
    assert count(11, 59) == [12]
    assert count(12) == []
    assert store.record(record.id, as_of=at(4, 11)).draft.slots["count"] == 12
    assert store.sums(Wanted(as_of=at(4, 9)), "count")[0].total == 27
    assert store.records_of(record.memo_id, as_of=at(4, 12))[0].withdrawn
    assert store.records_of(record.memo_id, as_of=at(3)) == ()


def test_changes_count_from_the_moment_they_name_not_from_their_order(say, store, at, draft):
    (record,) = say(at(4, 8), draft(count=27))

    def correct(hour, new):
        change = NewChange(
            record_id=record.id,
            kind=ChangeKind.CORRECT,
            at=at(4, hour),
            field="count",
            new=new,
        )
        store.keep_changes([change])

    correct(12, 1)
    correct(10, 2)
    correct(6, 3)
    as_of = [store.find(Wanted(as_of=at(4, hour)))[0].draft.slots["count"] for hour in (8, 10, 12)]
    assert as_of == [3, 3, 3]
    assert store.check() == ()


def test_correcting_the_time_moves_the_record(say, store, at, draft):
    (record,) = say(at(4), draft())
    when = Interval(from_=at(1), to=at(1), precision=Precision.DAY)
    store.keep_changes(
        [NewChange(record_id=record.id, kind=ChangeKind.CORRECT, at=at(4), field="when", new=when)]
    )
    assert store.count(Wanted(when_from=at(4))) == 0
    assert store.count(Wanted(when_to=at(2))) == 1
