"""Time of what is left, and of what is due besides, over ten years of daily records of 40 flocks.

Run: python tests/bench/bench_left.py [YEARS [FLOCKS]]

Each flock has a record of what was laid, given, drunk and looked at on every day, and now and then
one of everything that can come due. Prints the median time of the lists of the chores, of what is
due besides, of both, and of the command in a process of its own, against that of reading every
record once in the same run.
"""

from __future__ import annotations

import json
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from voicelog.app import Notebook
from voicelog.app.setting import find_setting
from voicelog.app.watch import due_today
from voicelog.records import Store

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2027, 5, 20, 6, tzinfo=ZONE)


def farm(flocks: int) -> str:
    """A farm file: a coop, a flock and a bird each, with chores every day."""
    coops = [f"coop {number}" for number in range(1, flocks + 1)]
    parts = ['name = "Bench"\ntimezone = "America/Chicago"\n']
    parts += [f'[[place]]\nname = "{coop}"\nkind = "coop"\n' for coop in coops]
    parts += [
        f'[[place]]\nname = "{name} paddock"\nkind = "paddock"\n' for name in ("north", "south")
    ]
    parts += [
        f'[[flock]]\nname = "flock {at}"\nclass = "layer"\ncount = 30\nplace = "{coop}"\n'
        for at, coop in enumerate(coops, start=1)
    ]
    parts.append('[[measure]]\nunit = "scoop"\nof = "layer"\nholds = "3 lb"\n')
    parts.append('[[measure]]\nunit = "bag"\nof = "layer"\nholds = "50 lb"\n')
    listed = json.dumps(coops)
    parts += [
        f'[[chore]]\nrecord = "{kind}"\nplaces = {listed}\nevery = "day"\n'
        for kind in ("eggs", "feed", "water")
    ]
    return "\n".join(parts)


def memos(years: int, flocks: int) -> Iterator[tuple[datetime, list[dict[str, Any]]]]:
    """A memo a flock and day, with its records."""
    days = years * 365
    for day in range(days):
        for flock in range(flocks):
            at = NOW - timedelta(days=days - day, minutes=flock)
            yield at, list(records(day + flock, flock, at))


def records(turn: int, flock: int, at: datetime) -> Iterator[dict[str, Any]]:
    """The records of one flock on one day."""
    place = f"coop {flock + 1}"

    def made(kind: str, **slots: Any) -> dict[str, Any]:
        when = {"from": at.isoformat(), "to": at.isoformat(), "precision": "minute"}
        return {
            "kind": kind, "status": "done", "when": when, "when_said": None, "place": place,
            "flock": f"flock {flock + 1}", "birds": [], "slots": dict(sorted(slots.items())),
            "text": f"{kind} at {place}", "certainty": 0.9, "doubts": [], "by": None,
        }  # fmt: skip

    def some(value: float, unit: str) -> dict[str, Any]:
        return {"value": value, "unit": unit}

    yield made("eggs", count=20 + turn % 7)
    yield made("feed", feed_type="layer", amount=some(2, "scoop"))
    yield made("water", action="filled", amount=some(2, "gallon"))
    if turn % 2 == 0:
        yield made("fence", action="tested", voltage=some(5.5, "kV"))
    if turn % 9 == 0:
        yield made("move", subject="coop", to=("north paddock", "south paddock")[turn % 2])
    if turn % 8 == 0:
        yield made("supply", action="bought", item="layer feed", amount=some(1, "bag"))
    for every, kind, slots in (
        (40, "broody", {"action": "set", "eggs_under": 9}),
        (60, "treatment", {"what": "dewormer", "withdrawal_days": 14}),
        (90, "arrival", {"how": "hatched", "count": 12}),
        (365, "supply", {"action": "used_up", "item": "layer feed"}),
    ):
        if turn % every == 1:
            yield made(kind, **slots)


def lines(years: int, flocks: int) -> Iterator[str]:
    """An export of that farm."""
    said = list(memos(years, flocks))
    yield json.dumps({"row": "voicelog", "form": 1})
    for memo, (at, _) in enumerate(said, start=1):
        row = {"row": "memo", "id": memo, "said_at": at.isoformat(), "text": f"memo {memo}"}
        yield json.dumps(row | {"source": "typed", "transcript": None, "audio": None})
    for memo, (at, of) in enumerate(said, start=1):
        body = {
            "now": at.isoformat(),
            "records": of,
            "questions": [],
            "instructions": [],
            "unused": [],
        }
        row = {"row": "parse", "id": memo, "memo_id": memo, "parser": "bench", "body": body}
        yield json.dumps(row)
    record = 0
    for memo, (_, of) in enumerate(said, start=1):
        for position in range(len(of)):
            record += 1
            row = {"row": "record", "id": record, "memo_id": memo, "parse_id": memo}
            yield json.dumps(row | {"position": position})


def median_ms(do: Callable[[], object], times: int = 7) -> float:
    """The median of several runs in milliseconds, the first left out."""
    do()
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        do()
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken)


def scan(path: Path) -> int:
    """Every record read and looked at once, as a log without a store would."""
    connection = sqlite3.connect(path)
    found = sum(
        json.loads(body)["kind"] == "eggs"
        for (body,) in connection.execute("SELECT body FROM standing WHERE NOT withdrawn")
    )
    connection.close()
    return found


def command(path: Path, farm_file: Path) -> Callable[[], object]:
    """The command in a process of its own."""
    options = ["--store", str(path), "--farm", str(farm_file), "--now", "2027-05-20T06:00"]
    call = [sys.executable, "-m", "voicelog", "left", *options, "--json"]
    return lambda: subprocess.run(call, check=True, capture_output=True, env=os.environ)


def main(years: int, flocks: int) -> None:
    """Build the store, time the lists, print a table."""
    with tempfile.TemporaryDirectory() as folder:
        path, farm_file = Path(folder) / "store.db", Path(folder) / "farm.toml"
        farm_file.write_text(farm(flocks), encoding="utf-8")
        with Store.open(str(path)) as store:
            store.import_lines(lines(years, flocks))
            count = scan(path)
        baseline = median_ms(lambda: scan(path), 1)
        setting = find_setting(str(path), farm_file, "2027-05-20T06:00")
        with Notebook(setting) as book:
            dues = due_today(book, NOW)
            timed: dict[str, Callable[[], object]] = {
                "the lists of the chores": lambda: book.left(NOW),
                "what is due besides": lambda: due_today(book, NOW),
                "both": lambda: (book.left(NOW), due_today(book, NOW)),
                "the command, in its own process": command(path, farm_file),
            }
            taken = {name: median_ms(do) for name, do in timed.items()}
        print(f"{years} years, {flocks} flocks, {count} records of what was laid")
        print(f"{len(dues)} due besides: {', '.join(sorted({due.what for due in dues}))}")
        print(f"reading every record once: {baseline:.0f} ms")
        for name, ms in taken.items():
            print(f"{name:34} {ms:8.1f} ms {baseline / ms:8.1f} times as fast")


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:3]]
    main(*given, *(10, 40)[len(given) :])
