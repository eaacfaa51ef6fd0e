"""Time of a month's report over ten years of daily records of many flocks, beside a shorter store.

Run: python tests/bench/bench_report.py [FLOCKS] [YEARS]

Prints the median time of the page of a month and of a season in a running process, and the same
over a store that holds the last year only: what lies before the period should cost next to nothing.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any
from zoneinfo import ZoneInfo

from voicelog.app.notebook import Notebook
from voicelog.app.reporting.pages import page_of
from voicelog.app.setting import Setting
from voicelog.records.written import parse_from, parse_text

ZONE = ZoneInfo("America/Chicago")
END = datetime(2027, 5, 31, 20, tzinfo=ZONE)
_EGGS, _FEED, _WATER, _MOVE, _LOSS = "eggs", "feed", "water", "move", "loss"


def farm(flocks: int) -> str:
    """A farm file of so many flocks, each with a coop and three paddocks between every five."""
    parts = [
        'name = "Bench"',
        'timezone = "America/Chicago"',
        "latitude = 38.6",
        "longitude = -92.4",
    ]
    for at in range(flocks):
        parts.append(f'\n[[place]]\nname = "coop {at}"\nkind = "coop"')
        if at % 5 == 0:
            parts += [
                f'\n[[place]]\nname = "field {at} {n}"\nkind = "paddock"' for n in ("a", "b", "c")
            ]
        parts.append(
            f'\n[[flock]]\nname = "flock {at}"\nclass = "layer"\ncount = 400\nsince = 2017-01-01\n'
            f'hatched = 2026-01-15\nplace = "coop {at}"'
        )
    parts.append('\n[[measure]]\nunit = "scoop"\nof = "layer"\nholds = "2.5 lb"')
    return "\n".join(parts)


def lines(flocks: int, days: int) -> Iterator[str]:
    """An export: four memos of one record each a flock and day, some moves and losses."""
    chance = random.Random(11)
    yield json.dumps({"row": "voicelog", "form": 1})
    drafts = [draft for day in range(days) for draft in _day(chance, flocks, day, days)]
    for at, (when, _) in enumerate(drafts, start=1):
        memo = {"row": "memo", "id": at, "said_at": when, "text": f"memo {at}", "source": "typed"}
        yield json.dumps(memo | {"transcript": None, "audio": None})
    for at, (when, draft) in enumerate(drafts, start=1):
        body = {"now": when, "records": [draft], "questions": [], "instructions": [], "unused": []}
        plain = json.loads(parse_text(parse_from(json.dumps(body), "")))
        row = {"row": "parse", "id": at, "memo_id": at, "parser": "bench", "body": plain}
        yield json.dumps(row)
    for at in range(1, len(drafts) + 1):
        row = {"row": "record", "id": at, "memo_id": at, "parse_id": at, "position": 0}
        yield json.dumps(row)


def _day(
    chance: random.Random, flocks: int, day: int, days: int
) -> Iterator[tuple[str, dict[str, Any]]]:
    morning = END.replace(hour=7) - timedelta(days=days - 1 - day)
    for flock in range(flocks):
        at = (morning + timedelta(minutes=flock)).isoformat()
        place = f"coop {flock}"
        yield at, _draft(_EGGS, at, place, {"count": chance.randint(230, 330)})
        yield at, _draft(_FEED, at, place, {"amount": _amount(40, "scoop"), "feed_type": "layer"})
        yield at, _draft(_WATER, at, place, {"amount": _amount(30, "gallon")})
        if (day + flock) % 7 == 0:
            field = f"field {flock // 5 * 5} {chance.choice('abc')}"
            yield at, _draft(_MOVE, at, place, {"subject": "coop", "to": field})
        if chance.random() < 0.01:
            yield at, _draft(_LOSS, at, place, {"count": 1, "cause": "found_dead"})


def _amount(value: float, unit: str) -> dict[str, Any]:
    return {"value": value, "unit": unit}


def _draft(kind: str, at: str, place: str, slots: dict[str, Any]) -> dict[str, Any]:
    return {
        "kind": kind,
        "status": "done",
        "when": {"from": at, "to": at, "precision": "minute"},
        "when_said": None,
        "place": place,
        "flock": None,
        "birds": [],
        "slots": slots,
        "text": f"{kind} said",
        "certainty": 0.9,
        "doubts": [],
        "by": None,
    }


def timed(folder: Path, flocks: int, years: int) -> dict[str, float]:
    """Seconds of a month's and a season's page over a store of so many years."""
    (folder / "farm.toml").write_text(farm(flocks), encoding="utf-8")
    setting = Setting(
        store=str(folder / "store.db"),
        store_named=True,
        farm_path=folder / "farm.toml",
        farm_named=True,
    )
    with Notebook(setting) as notebook:
        begun = perf_counter()
        imported = notebook.writing.import_lines(lines(flocks, years * 365), audio=None)
        print(f"{years} years: {imported.records} records in {perf_counter() - begun:.0f} s")
        return {period: _median_s(notebook, period) for period in ("month", "season")}


def _median_s(notebook: Notebook, period: str) -> float:
    taken = []
    for _ in range(5):
        begun = perf_counter()
        assert page_of(notebook, period, END).sections
        taken.append(perf_counter() - begun)
    return median(taken)


def main(flocks: int, years: int) -> None:
    """Build both stores, time them, print a table."""
    with tempfile.TemporaryDirectory() as short, tempfile.TemporaryDirectory() as long:
        one = timed(Path(short), flocks, 1)
        all_ = timed(Path(long), flocks, years)
    for period in one:
        ratio = all_[period] / one[period]
        print(f"{period:7} {all_[period]:6.2f} s over {years} years, {ratio:4.1f} times one year's")


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]]
    main(*(given + [40, 10][len(given) :]))
