"""The page of a report: what each part says of records whose sums are known by hand."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from voicelog import husbandry
from voicelog.app.notebook import Notebook
from voicelog.app.period import first_day
from voicelog.app.reporting.page import Page, Section, Table
from voicelog.app.reporting.pages import page_of
from voicelog.app.setting import Setting
from voicelog.catalogue.reporting import load_reporting
from voicelog.husbandry import listed_publications
from voicelog.types import Draft, Interval, Parse, Precision, Quantity, Status, frozen_slots

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2027, 5, 20, 20, tzinfo=ZONE)
FARM = """
name = "Testing"
timezone = "America/Chicago"
latitude = 40.0
longitude = -90.0

[[place]]
name = "east coop"
kind = "coop"

[[place]]
name = "west coop"
kind = "coop"

[[place]]
name = "top field"
kind = "paddock"

[[place]]
name = "low field"
kind = "paddock"

[[flock]]
name = "speckled"
class = "layer"
count = 10
since = 2027-01-01
hatched = 2026-06-01
place = "east coop"

[[flock]]
name = "white ones"
class = "layer"
count = 10
since = 2027-01-01
hatched = 2026-06-01
place = "west coop"

[[flock]]
name = "fluffies"
class = "chick"
count = 6
since = 2027-05-10
hatched = 2027-05-10

[[measure]]
unit = "scoop"
of = "layer"
holds = "2 lb"

[[chore]]
record = "eggs"
every = "day"
"""

Keep = Callable[..., None]


@pytest.fixture
def notebook(tmp_path: Path) -> Iterator[Notebook]:
    farm = tmp_path / "farm.toml"
    farm.write_text(FARM, encoding="utf-8")
    where = str(tmp_path / "store.db")
    setting = Setting(store=where, store_named=True, farm_path=farm, farm_named=True)
    with Notebook(setting) as opened:
        yield opened


@pytest.fixture
def keep(notebook: Notebook) -> Keep:
    """Keep a record of noon of a day in May 2027."""

    def kept(kind: str, day: int, place: str | None = None, **slots: object) -> None:
        when = datetime(2027, 5, day, 12, tzinfo=ZONE)
        memo = notebook.writing.keep_memo(said_at=when, text=kind, source="typed")
        birds = slots.pop("birds", ())
        draft = Draft(
            kind=kind,
            status=Status.DONE,
            when=Interval(from_=when, to=when, precision=Precision.MINUTE),
            when_said=None,
            place=place,
            flock=slots.pop("flock", None),  # type: ignore[arg-type]
            birds=birds,  # type: ignore[arg-type]
            slots=frozen_slots(slots),  # type: ignore[arg-type]
            text=kind,
            certainty=0.9,
        )
        parse = Parse(memo=kind, now=when, records=(draft,))
        notebook.writing.keep_parse(memo.id, parse, parser="by hand")

    return kept


def amount(value: float, unit: str) -> Quantity:
    return Quantity(value=value, unit=unit)


def part(notebook: Notebook, name: str, period: str = "month", now: datetime = NOW) -> Section:
    (found,) = [s for s in page_of(notebook, period, now).sections if s.name == name]
    return found


def values(section: Section) -> dict[str, int | float | None]:
    return {fact.name: fact.value for fact in section.facts}


def table(section: Section, name: str) -> Table:
    (found,) = [table for table in section.tables if table.name == name]
    return found


def names(page: Page) -> list[str]:
    return [section.name for section in page.sections]


@pytest.mark.parametrize(
    ("period", "today", "first"),
    [
        ("day", date(2027, 5, 20), date(2027, 5, 20)),
        ("week", date(2027, 5, 20), date(2027, 5, 17)),
        ("month", date(2027, 5, 20), date(2027, 5, 1)),
        ("season", date(2027, 5, 20), date(2027, 3, 1)),
        ("season", date(2027, 3, 1), date(2027, 3, 1)),
        ("season", date(2027, 2, 28), date(2026, 12, 1)),
        ("season", date(2027, 12, 31), date(2027, 12, 1)),
        ("season", date(2027, 11, 30), date(2027, 9, 1)),
    ],
)
def test_periods_begin_on_the_calendar(period: str, today: date, first: date) -> None:
    assert first_day(period, today) == first


def test_only_parts_with_records_are_shown(notebook: Notebook, keep: Keep) -> None:
    keep("fence", 4, voltage=amount(6, "kilovolt"))
    assert names(page_of(notebook, "month", NOW)) == ["young", "lines", "due"]


def test_the_rate_counts_birds_alive_and_losses(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 17, "east coop", count=16)
    keep("loss", 17, "east coop", count=2, cause="found_dead")
    keep("eggs", 18, "east coop", count=9)
    keep("eggs", 19, "east coop", count=9)
    found = values(part(notebook, "laid", "week"))
    # 20 birds on the day of the loss, 18 on the two after it; the 20th is not gathered.
    assert found["laid"] == 34
    assert found["rate"] == pytest.approx(34 / (20 + 18 + 18) * 100, abs=0.01)


def test_a_day_nobody_gathered_belongs_to_the_next(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 17, "east coop", count=15)
    keep("eggs", 19, "east coop", count=30)
    section = part(notebook, "laid", "week")
    assert values(section)["rate"] == pytest.approx(45 / 60 * 100)
    rate = next(plot for plot in section.plots if plot.name == "rate")
    assert rate.lines[0].values == (75.0, None, 75.0, None)
    assert any("18 May" in note for note in section.notes)


def test_eggs_of_days_before_the_period_bring_their_days(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 14, "east coop", count=10)
    keep("eggs", 17, "east coop", count=45)
    section = part(notebook, "laid", "week")
    assert values(section)["rate"] == pytest.approx(45 / 60 * 100)
    assert any("2 days before it" in note for note in section.notes)


def test_today_counts_only_when_it_is_all_gathered(notebook: Notebook, keep: Keep) -> None:
    for day in (17, 18, 19):
        keep("eggs", day, "east coop", count=8)
        keep("eggs", day, "west coop", count=8)
    keep("eggs", 20, "east coop", count=8)
    early = values(part(notebook, "laid", "week"))
    assert (early["laid"], early["rate"]) == (56, pytest.approx(80))
    keep("eggs", 20, "west coop", count=4)
    assert values(part(notebook, "laid", "week"))["rate"] == pytest.approx(60 / 80 * 100)


def test_the_band_is_the_one_of_their_age(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 20, "east coop", count=15)
    (fact,) = [f for f in part(notebook, "laid", "day").facts if f.name == "expected"]
    day = date(2027, 5, 20)
    weeks = (day - date(2026, 6, 1)).days / 7
    band = husbandry.expected_rate(weeks, husbandry.day_length(day, 40.0))
    assert (fact.low, fact.high) == (pytest.approx(band.low, abs=0.01), round(band.high, 2))


def test_what_is_laid_during_a_hold_is_marked_everywhere(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 9, "east coop", count=5)
    keep("treatment", 10, "east coop", what="drops", days=2, withdrawal_days=5)
    for day in (10, 11, 16, 17):
        keep("eggs", day, "east coop", count=10)
        keep("eggs", day, "west coop", count=7)
    section = part(notebook, "laid")
    # Two days given, five more: held through the 16th.
    assert values(section)["held"] == 30
    assert table(section, "held").rows[0][2] == "16 May"
    assert {row[0]: row[3] for row in table(section, "by_place").rows} == {
        "east coop": "30",
        "west coop": "0",
    }
    held = [series for series in section.plots[0].bars if series.held]
    assert [sum(v or 0 for v in series.values) for series in held] == [30]
    assert "NOT" in held[0].label
    assert "withdrawal" in {caution.name for caution in section.cautions}


def test_a_hold_without_days_lasts_until_somebody_is_asked(notebook: Notebook, keep: Keep) -> None:
    keep("treatment", 2, "east coop", what="drops")
    keep("eggs", 19, "east coop", count=10)
    section = part(notebook, "laid")
    assert values(section)["held_unsaid"] == 10
    assert "vet" in table(section, "held").rows[0][2]


def test_a_treatment_of_no_named_birds_is_told_and_holds_by_its_days(
    notebook: Notebook, keep: Keep
) -> None:
    keep("eggs", 12, "east coop", count=3)
    keep("treatment", 10, what="drops")
    section = part(notebook, "laid")
    assert "held_unsaid" not in values(section)
    assert any("drops" in note and "vet" in note for note in section.notes)
    keep("treatment", 11, what="drops", withdrawal_days=5)
    assert values(part(notebook, "laid"))["held"] == 3


def test_eggs_of_no_place_may_be_of_the_held_flock(notebook: Notebook, keep: Keep) -> None:
    keep("treatment", 10, "east coop", what="drops", withdrawal_days=9)
    keep("eggs", 12, None, count=3)
    assert values(part(notebook, "laid"))["held"] == 3


def test_feed_is_weighed_by_the_farms_own_scoop(notebook: Notebook, keep: Keep) -> None:
    keep("feed", 19, "east coop", feed_type="layer", amount=amount(3, "scoop"))
    keep("feed", 20, "east coop", feed_type="layer", amount=amount(2, "scoop"))
    keep("feed", 20, "east coop", feed_type="grit")
    keep("eggs", 20, "east coop", count=24)
    section = part(notebook, "intake", "week")
    assert values(section)["per_dozen_eaten"] == pytest.approx(5)
    assert table(section, "fed").rows[0] == ("layer", "2", "10 pounds", "5 scoops")
    assert any("1 feeding" in note for note in section.notes)
    (fact,) = [f for f in section.facts if f.name == "per_dozen_eaten"]
    assert (fact.low, fact.high) == (0, pytest.approx(3.5))


def test_water_stands_beside_what_is_needed(notebook: Notebook, keep: Keep) -> None:
    keep("water", 20, "east coop", amount=amount(2, "gallon"), source="creek")
    keep("water", 20, "west coop", amount=amount(1, "gallon"))
    section = part(notebook, "intake", "day")
    assert values(section)["watered"] == 3
    assert "surface_water" in {caution.name for caution in section.cautions}


def test_losses_take_birds_off_and_raise_the_alarm(notebook: Notebook, keep: Keep) -> None:
    keep("loss", 19, "west coop", count=2, cause="found_dead")
    section = part(notebook, "losses")
    assert values(section)["lost"] == 2
    assert ("white ones", "10", "8") in table(section, "alive").rows
    assert any(fact.name == "found_dead_in_7_days" for fact in section.facts)
    assert "dead_bird" in {caution.name for caution in section.cautions}


def test_a_loss_of_no_known_flock_is_taken_off_none(notebook: Notebook, keep: Keep) -> None:
    keep("loss", 19, count=1, cause="predator")
    section = part(notebook, "losses")
    assert [row[1:] for row in table(section, "alive").rows[:2]] == [("10", "10"), ("10", "10")]
    assert any("taken off" in note for note in section.notes)


def test_the_ground_has_stays_and_days_of_rest(notebook: Notebook, keep: Keep) -> None:
    keep("move", 3, "east coop", subject="coop", to="top field")
    keep("move", 8, "east coop", subject="coop", to="low field")
    section = part(notebook, "ground")
    rows = [row[:5] for row in table(section, "stays").rows]
    assert rows[0] == ("top field", "east coop", "3 May", "8 May", "5")
    rests = {row[0]: row[2] for row in table(section, "rests").rows}
    assert rests == {"top field": "12", "low field": "0"}
    assert section.plots[0].rows == ("top field", "low field")
    assert "electric_fence" in {caution.name for caution in section.cautions}


def test_a_setting_has_its_days_and_what_came_of_it(notebook: Notebook, keep: Keep) -> None:
    keep("broody", 1, birds=("Juniper",), action="set", eggs_under=8)
    open_ = table(part(notebook, "young"), "settings").rows[0]
    calendar = husbandry.incubation_calendar(date(2027, 5, 1))
    assert open_[0] == "Juniper"
    assert open_[3] == f"{calendar.lockdown.day} May"
    assert open_[5] == "day 19"
    keep("broody", 20, birds=("Juniper",), action="hatched", chicks=6)
    section = part(notebook, "young")
    assert "6 hatched" in table(section, "settings").rows[0][5]
    assert values(section)["hatch_rate"] == 75


def test_chicks_have_dated_steps_with_sources(notebook: Notebook) -> None:
    section = part(notebook, "young")
    steps = [t for t in section.tables if t.name == "steps"]
    assert steps
    assert all(all(row) for row in steps[0].rows)
    assert "heat_lamp" in {caution.name for caution in section.cautions}


def test_fence_readings_are_held_against_the_least(notebook: Notebook, keep: Keep) -> None:
    keep("fence", 18, "north net", voltage=amount(6.1, "kilovolt"))
    keep("fence", 19, "north net", voltage=amount(2500, "volt"))
    section = part(notebook, "lines")
    row = table(section, "readings").rows[0]
    assert row == ("north net", "2", "2.5 kV", "2.5 kV, 19 May", "LOW", "1")
    assert values(section)["low_readings"] == 1
    assert section.plots[0].levels[0].value == 3
    assert "electric_fence" in {caution.name for caution in section.cautions}


def test_money_is_summed_and_told_for_each_dozen(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 19, "east coop", count=24)
    keep("supply", 18, item="layer", action="bought", cost=amount(30, "dollar"))
    keep("sale", 19, item="eggs", amount=amount(2, "dozen"), price=amount(10, "dollar"))
    found = values(part(notebook, "money"))
    assert (found["bought"], found["sold"], found["profit"]) == (30, 10, -20)
    assert found["profit_per_dozen"] == -10
    assert found["price_to_cover"] == 15


def test_what_is_left_and_what_was_left_is_told(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 18, "east coop", count=3)
    assert table(part(notebook, "due", "week"), "missed").rows[0][2:] == ("1", "19 May")
    keep("eggs", 3, "east coop", count=3)
    section = part(notebook, "due", "week")
    assert values(section)["left_today"] == 1
    assert table(section, "missed").rows[0][2] == "2"


def test_kinds_without_a_part_are_told_in_a_line(notebook: Notebook, keep: Keep) -> None:
    keep("predator", 18, animal="owl", sign="sighting")
    section = part(notebook, "others")
    assert "owl 1×" in section.facts[0].text
    assert {caution.name for caution in section.cautions} == {"protected_predator"}


def test_kinds_asked_for_leave_the_other_parts_out(notebook: Notebook, keep: Keep) -> None:
    keep("eggs", 18, "east coop", count=3)
    keep("fence", 18, voltage=amount(6, "kilovolt"))
    assert names(page_of(notebook, "month", NOW, ("fence",))) == ["lines"]


def test_an_empty_farm_has_an_empty_page(tmp_path: Path) -> None:
    farm = tmp_path / "farm.toml"
    farm.write_text('timezone = "UTC"\n', encoding="utf-8")
    where = str(tmp_path / "store.db")
    setting = Setting(store=where, store_named=True, farm_path=farm, farm_named=True)
    with Notebook(setting) as opened:
        for period in ("day", "week", "month", "season"):
            assert page_of(opened, period, NOW).sections == ()


def test_sources_name_functions_and_the_publications_these_name() -> None:
    listed = listed_publications()
    for name, source in load_reporting().sources.items():
        said = inspect.getdoc(getattr(husbandry, source.function)) or ""
        module = inspect.getmodule(getattr(husbandry, source.function))
        said += inspect.getdoc(module) or ""
        assert set(source.ids) <= set(listed), name
        assert all(id_ in said for id_ in source.ids), f"{source.function} does not name {name}"
