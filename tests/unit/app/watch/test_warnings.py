"""What a memo warns of: the gravest of it, in one line, with its caution."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from voicelog.app.watch import told_warning, warnings_about, warnings_of
from voicelog.records import NewChange
from voicelog.types import ChangeKind, Quantity, Status

ZONE = ZoneInfo("America/New_York")


def at(day, hour=8, minute=0, month=5):
    return datetime(2027, month, day, hour, minute, tzinfo=ZONE)


def some(value, unit):
    return Quantity(value=value, unit=unit)


class TestEggsDuringAHold:
    """Fourteen days from the third of May, of birds that live in coop A."""

    @pytest.fixture(autouse=True)
    def treated(self, keep):
        return keep(at(3), "treatment", what="dewormer", withdrawal_days=14, birds=("Tansy",))

    @pytest.mark.parametrize(("day", "warned"), [(2, False), (3, True), (17, True), (18, False)])
    def test_until_the_day_that_was_said(self, warns, day, warned):
        found = warns(at(18), "eggs", count=9, place="coop A", when=at(day, 9))
        assert (found is not None) is warned

    def test_it_says_until_when_and_who_decides(self, warns, treated):
        found = warns(at(4), "eggs", count=9, place="coop A")
        assert found is not None
        assert "not for eating or selling until Tue 18 May" in found.text
        assert found.evidence[1:] == (treated.records[0].id,)
        assert found.caution
        assert "licensed vet" in found.caution

    @pytest.mark.parametrize(
        ("place", "warned"), [("coop A", True), (None, True), ("basket", True), ("coop B", False)]
    )
    def test_where_it_is_open_whose_they_are_it_warns(self, warns, place, warned):
        assert (warns(at(4), "eggs", count=9, place=place) is not None) is warned

    def test_selling_them_warns_too(self, warns):
        assert warns(at(4), "sale", item="eggs", amount=some(1, "dozen")) is not None
        assert warns(at(4), "sale", item="manure") is None

    def test_without_days_said_none_are_guessed(self, warns, keep):
        keep(at(20), "treatment", what="iodine", flock="hens")
        assert warns(at(21), "eggs", count=9) is None


def test_birds_that_lay_nothing_hold_no_eggs(warns, keep):
    keep(at(3), "treatment", what="dewormer", withdrawal_days=14, flock="cocks")
    assert warns(at(4), "eggs", count=9) is None


@pytest.mark.parametrize(
    ("reading", "what"),
    [
        (some(1.9, "kV"), "down"), (some(1900, "volt"), "down"), (some(2.5, "kilovolt"), "low"),
        (some(3, "kV"), None), (some(6, "kV"), None),
    ],
)  # fmt: skip
def test_a_reading_under_the_least(warns, reading, what):
    found = warns(at(4), "fence", action="tested", voltage=reading)
    assert (found and found.what) == what
    if found is not None:
        assert "3 kV is the least" in found.text
        assert found.caution
        assert "energizer off" in found.caution


class TestDeaths:
    """One found dead on the evening of the fourth."""

    @pytest.fixture(autouse=True)
    def first(self, keep, book):
        noted = keep(at(4, 19), "loss", cause="found_dead", count=1)
        assert warnings_of(book, noted) == ()
        return noted.records[0]

    def test_the_second_within_a_day_calls(self, warns, first):
        found = warns(at(5, 18), "loss", cause="found_dead")
        assert found is not None
        assert found.what == "deaths"
        assert "2 dead within 24 hours" in found.text
        assert "vet" in found.text
        assert first.id in found.evidence

    def test_a_day_later_it_does_not(self, warns):
        assert warns(at(5, 20), "loss", cause="found_dead", count=1) is None

    def test_the_third_in_a_week_calls(self, warns):
        assert warns(at(7), "loss", cause="unknown", count=1) is None
        assert warns(at(10), "loss", count=1) is not None

    @pytest.mark.parametrize("cause", ["predator", "sold", "culled", "escaped"])
    def test_taken_sold_or_culled_is_no_such_death(self, warns, cause):
        assert warns(at(5), "loss", cause=cause, count=5) is None

    def test_one_that_was_withdrawn_does_not_count(self, warns, book, first):
        withdraw = NewChange(record_id=first.id, kind=ChangeKind.WITHDRAW, at=at(4, 20))
        book.writing.keep_changes([withdraw])
        assert warns(at(5), "loss", cause="found_dead", count=1) is None


class TestHeat:
    """A temperature of the air by the steps of heat."""

    @pytest.mark.parametrize(
        ("degrees", "what"),
        [
            (some(89, "degree"), None),
            (some(90, "degree"), "acted_for"),
            (some(95, "fahrenheit"), "emergency"),
            (some(31, "celsius"), None),
            (some(33, "celsius"), "acted_for"),
            (some(36, "celsius"), "emergency"),
            (some(36, "degree"), None),
        ],
    )
    def test_the_step_it_reaches(self, warns, degrees, what):
        found = warns(at(4, 15), "weather", temperature=degrees)
        assert (found and found.what) == what

    def test_a_jump_over_yesterday(self, warns, keep):
        before = keep(at(3, 15), "weather", temperature=some(70, "degree")).records[0]
        found = warns(at(4, 15), "weather", temperature=some(86, "degree"))
        assert found is not None
        assert found.what == "emergency"
        assert before.id in found.evidence

    def test_birds_that_pant(self, warns, keep):
        keep(at(4, 13), "health", sign="panting", flock="hens")
        found = warns(at(4, 15), "weather", temperature=some(82, "degree"))
        assert found is not None
        assert found.what == "acted_for"

    def test_no_number_at_all_costs_no_memo(self, warns):
        assert warns(at(4), "weather", temperature=some(1e9, "fahrenheit")) is None


class TestWater:
    """Five gallons a day at coop A, in two rounds."""

    @pytest.fixture(autouse=True)
    def rounds(self, keep):
        for day in range(1, 6):
            keep(at(day, 7), "water", amount=some(3, "gallon"), place="coop A")
            keep(at(day, 19), "water", amount=some(2, "gallon"), place="coop A")

    def test_no_morning_looks_dry(self, warns):
        assert warns(at(6, 7), "water", amount=some(2, "gallon"), place="coop A") is None

    @pytest.mark.parametrize(("evening", "warned"), [(1, True), (1.5, False), (2, False)])
    def test_a_fifth_less_in_the_whole_day(self, warns, evening, warned):
        assert warns(at(6, 7), "water", amount=some(2.99, "gallon"), place="coop A") is None
        found = warns(at(6, 19), "water", amount=some(evening, "gallon"), place="coop A")
        assert (found is not None) is warned

    def test_a_round_that_never_came_is_told_the_next_morning(self, warns):
        assert warns(at(6, 7), "water", amount=some(3, "gallon"), place="coop A") is None
        found = warns(at(7, 7), "water", amount=some(3, "gallon"), place="coop A")
        assert found is not None
        assert "yesterday" in found.text
        assert "40 percent" in found.text

    def test_another_place_has_days_of_its_own(self, warns):
        assert warns(at(6, 19), "water", amount=some(1, "gallon"), place="coop B") is None


def test_of_several_only_the_gravest_is_told(book, keep):
    keep(at(4, 7), "loss", cause="found_dead", count=1)
    low = keep(at(4, 18), "fence", action="tested", voltage=some(1, "kV"))
    dead = keep(at(4, 18), "loss", cause="found_dead", count=1)
    (found,) = warnings_about(book, (*low.records, *dead.records))
    assert found.what == "deaths"


def test_not_done_and_planned_warn_of_nothing(warns):
    for status in (Status.NOT_DONE, Status.PLANNED):
        assert warns(at(4), "fence", voltage=some(1, "kV"), status=status) is None


def test_a_caution_is_told_once(book, keep):
    noted = keep(at(4), "fence", action="tested", voltage=some(1, "kV"))
    (found,) = warnings_of(book, noted)
    assert told_warning(found, noted.records) == found.text
    assert told_warning(found, ()) == f"{found.text} {found.caution}"
