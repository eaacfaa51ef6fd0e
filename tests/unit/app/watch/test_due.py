"""What is due beside the chores: when it comes, when it goes, and what it rests on."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from voicelog.app.watch import due_line
from voicelog.records import NewChange
from voicelog.types import ChangeKind, Quantity

ZONE = ZoneInfo("America/New_York")


def at(day, hour=8, minute=0, month=5):
    return datetime(2027, month, day, hour, minute, tzinfo=ZONE)


def some(value, unit):
    return Quantity(value=value, unit=unit)


def test_nothing_recorded_asks_for_nothing(due):
    assert due(at(4)) == []
    assert due_line([]) == ""


class TestEggsThatWereSet:
    """Eggs set on the first of May: candled on day 7 and 14, turned last on 18, hatched on 21."""

    @pytest.fixture(autouse=True)
    def record(self, keep):
        noted = keep(at(1), "broody", action="set", eggs_under=8, birds=("Tansy",), place="coop A")
        return noted.records[0]

    @pytest.mark.parametrize(
        ("day", "what", "on", "overdue"),
        [
            (7, None, None, 0),
            (8, "candle", 8, 0),
            (10, "candle", 8, 2),
            (15, "candle", 15, 0),
            (19, "lockdown", 19, 0),
            (21, "lockdown", 19, 0),
            (22, "hatch", 22, 0),
            (23, "hatch", 22, 0),
            (25, "hatch", 22, 2),
            (30, "hatch", 22, 7),
            (31, None, None, 0),
        ],
    )
    def test_what_is_due_on_each_day(self, due, record, day, what, on, overdue):
        found = due(at(day))
        if what is None:
            assert found == []
            return
        (one,) = found
        assert (one.what, one.on, one.overdue_days) == (what, date(2027, 5, on), overdue)
        assert (one.place, one.birds, one.evidence) == ("coop A", ("Tansy",), (record.id,))
        assert f"day {day - 1} today" in one.because
        assert "8 eggs" in one.because

    def test_candled_it_goes_and_comes_again_for_the_next_time(self, due, keep):
        keep(at(9), "broody", action="candled", birds=("Tansy",))
        assert due(at(9, 12)) == []
        (again,) = due(at(15))
        assert again.on == date(2027, 5, 15)
        keep(at(13), "broody", action="candled")
        assert due(at(15)) == [], "one that names no bird is of the only sitting there is"

    def test_a_record_of_another_bird_shows_nothing(self, due, keep):
        keep(at(9), "broody", action="candled", birds=("Sage",))
        assert due(at(9, 12))

    def test_where_two_sit_a_record_that_names_none_shows_neither(self, due, keep):
        keep(at(1), "broody", action="set", birds=("Sage",))
        keep(at(9), "broody", action="candled")
        assert len(due(at(9, 12), "candle")) == 2

    @pytest.mark.parametrize("action", ["hatched", "broken_up"])
    def test_what_has_ended_asks_for_nothing(self, due, keep, action):
        keep(at(20), "broody", action=action, birds=("Tansy",))
        assert [one.what for one in due(at(22)) if one.what != "step"] == []

    def test_said_again_it_is_the_same_sitting(self, due, keep):
        keep(at(5), "broody", action="set", birds=("Tansy",), eggs_under=8)
        (one,) = due(at(8))
        assert one.on == date(2027, 5, 8)

    def test_one_that_was_withdrawn_is_no_sitting(self, due, book, record):
        withdraw = NewChange(record_id=record.id, kind=ChangeKind.WITHDRAW, at=at(2))
        book.writing.keep_changes([withdraw])
        assert due(at(8)) == []


def test_eggs_of_another_bird_take_their_own_days(due, keep):
    keep(at(1), "broody", action="set", birds=("Tansy",), text="set ten duck eggs under Tansy")
    assert [one.what for one in due(at(22))] == ["candle"]
    (one,) = due(at(29))
    assert (one.what, one.on) == ("hatch", date(2027, 5, 29))


class TestYoungBirds:
    """A hatch on the first of April; the change of feed comes after six weeks."""

    @pytest.fixture(autouse=True)
    def record(self, keep):
        return keep(at(1, month=4), "arrival", how="hatched", count=20, flock="chicks").records[0]

    def steps(self, due, day, month=5):
        return [one.chore for one in due(at(day, month=month), "step")]

    def test_the_change_of_feed_stays_until_it_is_recorded(self, due, keep, record):
        assert not any("grower" in chore for chore in self.steps(due, 12))
        (one,) = [one for one in due(at(13), "step") if "grower" in one.chore]
        assert one.on == date(2027, 5, 13)
        assert one.evidence == (record.id,)
        assert any("grower" in chore for chore in self.steps(due, 20))
        keep(at(20), "feed", feed_type="layer", flock="chicks")
        assert any("grower" in chore for chore in self.steps(due, 20))
        keep(at(21), "feed", feed_type="grower", flock="chicks")
        assert not any("grower" in chore for chore in self.steps(due, 21))

    def test_what_no_record_can_show_is_told_on_its_first_days(self, due):
        rooms = [day for day in range(1, 31) if self.steps(due, day, month=4)]
        assert {8, 9, 10, 22, 23, 24} <= set(rooms)
        assert not {12, 13, 18, 28} & set(rooms)

    def test_medicine_and_lamps_carry_their_caution(self, due):
        told = {one.caution for one in due(at(22, month=4), "step")}
        assert any(caution and "licensed vet" in caution for caution in told)

    def test_once_grown_nothing_is_due(self, due):
        assert self.steps(due, 1, month=11) == []


def test_an_age_that_was_said_dates_the_hatch(due, keep):
    keep(at(8), "arrival", how="bought", count=20, flock="chicks", age=some(3, "week"))
    keep(at(8), "arrival", how="bought", count=5, flock="hens", age=some(20, "week"))
    found = due(at(8, 12), "step")
    assert found
    assert {one.birds for one in found} == {("chicks",)}
    assert all("hatched Sat 17 Apr" in one.because for one in found)


def test_of_unknown_age_nothing_is_guessed(due, keep):
    keep(at(8), "arrival", how="bought", count=20, flock="chicks")
    assert due(at(8, 12), "step") == []


class TestTreatments:
    """Five days of medicine from the third of May, fourteen days by the label: free on the 22nd."""

    @pytest.fixture(autouse=True)
    def record(self, keep):
        noted = keep(at(3), "treatment", what="dewormer", days=5, withdrawal_days=14, flock="hens")
        return noted.records[0]

    def test_the_end_of_a_hold_is_told_on_its_day_alone(self, due, record):
        days = [day for day in range(3, 31) if due(at(day), "hold_ends")]
        assert days == [22]
        (one,) = due(at(22))
        assert one.evidence == (record.id,)
        assert one.caution
        assert "label" in one.chore
        assert "licensed vet" in one.caution

    def test_another_hold_of_the_same_birds_keeps_it_silent(self, due, keep):
        keep(at(10), "treatment", what="sulfur", withdrawal_days=20, birds=("Tansy",))
        assert due(at(22), "hold_ends") == []
        assert due(at(31), "hold_ends")

    def test_given_again_it_lasts_from_then(self, due, keep):
        keep(at(12), "treatment", what="dewormer", flock="hens")
        assert due(at(22), "hold_ends") == []
        assert due(at(27), "hold_ends")

    def test_days_for_meat_are_none_for_eggs(self, due, keep):
        keep(
            at(3), "treatment", what="wormer", withdrawal_days=2, flock="old girls",
            text="wormed the old girls, meat withdrawal two days",
        )  # fmt: skip
        assert due(at(6), "hold_ends") == []


class TestFence:
    """A line tested on the first of May."""

    @pytest.fixture(autouse=True)
    def record(self, keep):
        noted = keep(at(1), "fence", action="tested", voltage=some(5, "kV"), place="coop A")
        return noted.records[0]

    def test_it_is_due_once_it_is_longer_than_usual(self, due, record):
        assert due(at(3)) == []
        (one,) = due(at(6))
        assert (one.what, one.on, one.overdue_days) == ("test", date(2027, 5, 3), 3)
        assert one.evidence == (record.id,)
        assert one.caution
        assert "energizer" in one.caution

    def test_tested_it_goes(self, due, keep):
        keep(at(5), "fence", action="tested", place="coop A")
        assert due(at(6)) == []

    def test_one_that_is_off_waits_for_nothing_until_it_is_on(self, due, keep):
        keep(at(2), "fence", action="off")
        assert due(at(6)) == []
        keep(at(5), "fence", action="on")
        assert due(at(6))

    def test_one_not_tested_for_a_month_stands_unused(self, due):
        assert due(at(29))
        assert due(at(5, month=6)) == []


CHORES = """
[[chore]]
record = "fence"
every = "day"
match = { action = "tested" }

[[chore]]
record = "move"
places = ["coop A"]
every = "week"
"""


class TestChoresGoFirst:
    """What is a chore of the farm already is not due a second time."""

    @pytest.fixture
    def farm_text(self, farm_text):
        return farm_text + CHORES

    def test_a_chore_is_not_told_twice(self, due, keep):
        keep(at(1), "fence", action="tested")
        keep(at(1), "move", subject="coop", place="coop A", to="east paddock")
        keep(at(1), "move", subject="coop", place="coop B", to="east paddock")
        assert [(one.what, one.place) for one in due(at(12))] == [("next_ground", "coop B")]


def test_ground_is_left_after_a_usual_stay(due, keep):
    keep(at(1, month=4), "move", subject="coop", place="coop A", to="west paddock")
    moved = keep(at(1), "move", subject="coop", place="coop A", to="east paddock").records[0]
    assert due(at(8)) == []
    (one,) = due(at(10))
    assert (one.what, one.place, one.on, one.overdue_days) == (
        "next_ground", "coop A", date(2027, 5, 8), 2,
    )  # fmt: skip
    assert one.evidence == (moved.id,)
    assert "9 days on the same ground, east paddock" in one.because
    assert "west paddock next" in one.because
    keep(at(10), "move", subject="coop", place="coop A", distance=some(20, "foot"))
    assert due(at(10, 12)) == []


class TestStock:
    """Two bags of fifty pounds on the first of May, four scoops of three pounds a day."""

    @pytest.fixture(autouse=True)
    def bought(self, keep):
        noted = keep(at(1, 7), "supply", action="bought", item="layer feed", amount=some(2, "bag"))
        for day in range(1, 8):
            keep(at(day, 8), "feed", feed_type="layer", amount=some(4, "scoop"))
        return noted.records[0]

    def test_it_is_due_when_it_lasts_no_longer_than_the_way_to_it(self, due, bought):
        assert due(at(5, 6), "buy") == []
        (one,) = due(at(7, 6))
        assert (one.what, one.on, one.evidence) == ("buy", date(2027, 5, 6), (bought.id,))
        assert one.chore == "buy layer feed"
        assert "28 lb by your notes, 12 lb a day" in one.because

    def test_bought_it_goes(self, due, keep):
        keep(at(7, 5), "supply", action="bought", item="layer feed", amount=some(100, "pound"))
        assert due(at(7, 6)) == []

    def test_an_amount_of_unknown_size_makes_it_unknown(self, due, keep):
        keep(at(6, 9), "feed", feed_type="layer", amount=some(1, "bucket"))
        assert due(at(7, 6)) == []

    def test_more_given_than_bought_tells_nothing(self, due, keep):
        keep(at(6, 9), "feed", feed_type="layer", amount=some(40, "scoop"))
        assert due(at(7, 6)) == []


def test_what_was_said_to_be_low_is_to_be_bought(due, keep):
    said = keep(at(3), "supply", action="low", item="grit").records[0]
    (one,) = due(at(4))
    assert (one.what, one.chore, one.evidence) == ("run_short", "buy grit", (said.id,))
    keep(at(5), "supply", action="bought", item="grit")
    assert due(at(5, 9)) == []


def test_what_is_said_later_than_now_is_not_seen(due, keep):
    keep(at(20), "broody", action="set", when=at(1), birds=("Tansy",))
    assert due(at(8)) == []
    assert due(at(20, 9))


def test_the_line_that_is_spoken_names_three_and_counts_the_rest(due, keep):
    for day, item in enumerate(("grit", "straw", "cartons", "bleach"), start=1):
        keep(at(day), "supply", action="low", item=item)
    told = due_line(due(at(5)))
    assert told.startswith("Also due: buy grit")
    assert told.endswith("; and 1 more.")


def test_the_longest_overdue_comes_first(due, keep):
    keep(at(1), "broody", action="set", birds=("Tansy",))
    keep(at(2), "fence", action="tested")
    found = due(at(12))
    assert [one.overdue_days for one in found] == sorted(
        (one.overdue_days for one in found), reverse=True
    )
    assert len(found) == 2
    assert timedelta(days=found[0].overdue_days) > timedelta(0)
