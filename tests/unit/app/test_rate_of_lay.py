"""The rate of lay in a report: from what was gathered, and the birds of the farm file."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from voicelog.app.notebook import Notebook
from voicelog.app.rate_of_lay import RateOfLay, rate_form, rate_of_lay
from voicelog.app.setting import Setting
from voicelog.records import Store
from voicelog.types import Draft, Interval, Parse, Precision, Status, frozen_slots

MONDAY = date(2027, 5, 3)
NOW = datetime(2027, 5, 6, 18, tzinfo=UTC)
HENS = '[[flock]]\nname = "hens"\nclass = "layer"\ncount = 30\n'
PULLETS = '[[flock]]\nname = "late hens"\nclass = "layer"\ncount = 10\nsince = 2027-05-05\n'
COCKS = '[[flock]]\nname = "cocks"\nclass = "cock"\ncount = 3\n'
UNCOUNTED = '[[flock]]\nname = "grey hens"\nclass = "layer"\n'

Rate = Callable[..., RateOfLay | None]


@pytest.fixture
def rate(tmp_path: Path) -> Rate:
    """The rate of a week, from what was gathered: days after Monday, and how many."""

    def told(farm: str, *gathered: tuple[int, int]) -> RateOfLay | None:
        where, farm_file = tmp_path / "store.db", tmp_path / "farm.toml"
        farm_file.write_text(f'timezone = "UTC"\n{farm}', encoding="utf-8")
        with Store.open(str(where)) as store:
            for ahead, count in gathered:
                _gather(store, MONDAY + timedelta(days=ahead), count)
        setting = Setting(store=str(where), store_named=True, farm_path=farm_file, farm_named=True)
        with Notebook(setting) as notebook:
            return rate_of_lay(notebook, MONDAY, NOW)

    return told


def _gather(store: Store, day: date, count: int) -> None:
    at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    memo = store.keep_memo(said_at=at, text="words", source="typed")
    draft = Draft(
        kind="eggs",
        status=Status.DONE,
        when=Interval(from_=at, to=at, precision=Precision.MINUTE),
        when_said=None,
        place=None,
        flock=None,
        birds=(),
        slots=frozen_slots({"count": count}),
        text="words",
        certainty=0.9,
    )
    store.keep_parse(memo.id, Parse(memo="words", now=at, records=(draft,)), parser="by hand")


def test_only_laying_birds_count(rate: Rate) -> None:
    found = rate(HENS + COCKS, (0, 24), (1, 24), (2, 20), (2, 4), (3, 24))
    assert found is not None
    assert found.period.percent == pytest.approx(80)
    assert found.period.hen_days == 120


def test_a_flock_counts_from_its_first_day(rate: Rate) -> None:
    found = rate(HENS + PULLETS, (0, 24), (1, 24), (2, 32), (3, 32))
    assert found is not None
    assert found.period.hen_days == 30 + 30 + 40 + 40


def test_a_day_nobody_gathered_counts_once_it_is_gathered(rate: Rate) -> None:
    found = rate(HENS, (0, 24), (2, 48))
    assert found is not None
    assert (found.period.hen_days, found.period.uncovered) == (90, 1)
    assert found.period.percent == pytest.approx(80)


@pytest.mark.parametrize(("earlier", "hen_days"), [([], 60), ([(-9, 20)], 120)])
def test_days_before_the_first_gathering_ever_do_not_count(
    rate: Rate, earlier: list[tuple[int, int]], hen_days: int
) -> None:
    found = rate(HENS, *earlier, (2, 24), (3, 24))
    assert found is not None
    assert (found.period.laid, found.period.hen_days) == (48, hen_days)


@pytest.mark.parametrize("farm", ["", COCKS, UNCOUNTED, HENS + UNCOUNTED])
def test_without_the_number_of_birds_nothing_is_told(rate: Rate, farm: str) -> None:
    assert rate(farm, (0, 24)) is None


def test_without_a_gathering_nothing_is_told(rate: Rate) -> None:
    assert rate(HENS) is None
    assert rate_form(None) is None


def test_as_json_it_says_what_it_stands_on(rate: Rate) -> None:
    form = rate_form(rate(HENS, (0, 25), (1, 25)))
    assert form is not None
    assert form["percent"] == 83.33
    assert (form["laid"], form["bird_days"], form["days_not_covered"]) == (50, 60, 2)
    assert "farm file" in form["basis"]
