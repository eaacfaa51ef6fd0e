"""Times of questions over a large store, beside a plain scan of the same rows.

Run: python tests/bench/bench_store.py [RECORDS]

Prints the median time of each question in a running process, that of reading every record and
filtering it in Python in the same run, and their ratio; then the times of keeping memos.
"""

from __future__ import annotations

import json
import random
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from voicelog.records import Store, Wanted
from voicelog.types import Draft, Interval, Parse, Precision, Quantity, Status, frozen_slots

ZONE = ZoneInfo("America/St_Johns")
BEGIN = datetime(2020, 1, 1, 6, tzinfo=ZONE)
PLACES = ("north coop", "south coop", "hill pen", None)
KINDS = ("eggs", "feed", "water", "doors", "move", "litter", "weather", "health")
WEIGHTS = (25, 20, 20, 20, 6, 4, 4, 1)


def lines(records: int) -> Iterator[str]:
    """An export of that many records, two a memo, over about seven years."""
    chance = random.Random(7)
    step = timedelta(days=7 * 365) / (records // 2)
    yield json.dumps({"row": "voicelog", "form": 1})
    for memo in range(1, records // 2 + 1):
        at = (BEGIN + memo * step).isoformat()
        yield json.dumps(
            {
                "row": "memo",
                "id": memo,
                "said_at": at,
                "text": f"memo {memo}",
                "source": "typed",
                "transcript": None,
                "audio": None,
            }
        )
    for memo in range(1, records // 2 + 1):
        body = {
            "now": (BEGIN + memo * step).isoformat(),
            "records": [draft(chance, BEGIN + memo * step) for _ in range(2)],
            "questions": [],
            "instructions": [],
            "unused": [],
        }
        yield json.dumps(
            {"row": "parse", "id": memo, "memo_id": memo, "parser": "bench", "body": body}
        )
    for record in range(records):
        memo = record // 2 + 1
        row = {"row": "record", "id": record + 1, "memo_id": memo, "parse_id": memo}
        yield json.dumps(row | {"position": record % 2})


def draft(chance: random.Random, at: datetime) -> dict[str, Any]:
    """One record of an invented kind of day."""
    kind = chance.choices(KINDS, WEIGHTS)[0]
    amount = {"value": chance.randint(1, 6), "unit": chance.choice(("scoop", "bucket"))}
    slots = {"count": chance.randint(0, 30)} if kind == "eggs" else {"amount": amount}
    return {
        "kind": kind,
        "status": chance.choices(("done", "not_done"), (98, 2))[0],
        "when": {"from": at.isoformat(), "to": at.isoformat(), "precision": "minute"},
        "when_said": None,
        "place": chance.choice(PLACES),
        "flock": None,
        "birds": [],
        "slots": slots,
        "text": f"{kind} said at {at:%H:%M}",
        "certainty": 0.9,
        "doubts": [],
        "by": None,
    }


def median_ms(ask: Callable[[], object], times: int = 15) -> float:
    """The median of several runs in milliseconds, the first left out."""
    ask()
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        ask()
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken)


def scan(path: Path, fits: Callable[[dict[str, Any]], bool]) -> list[dict[str, Any]]:
    """Every record read and filtered, as a store without indexes would."""
    connection = sqlite3.connect(path)
    found = [
        plain
        for (body,) in connection.execute("SELECT body FROM standing WHERE NOT withdrawn")
        if fits(plain := json.loads(body))
    ]
    connection.close()
    return found


def questions(store: Store, now: datetime) -> dict[str, Callable[[], object]]:
    """Questions of every shape, as the answering room asks them."""
    done = (Status.DONE,)
    month = {"when_from": now - timedelta(days=30), "when_to": now}
    year = {"when_from": now - timedelta(days=365), "when_to": now}
    eggs = Wanted(kinds=("eggs",), statuses=done, as_of=now)
    scoops = {"amount": Quantity(value=3, unit="scoop")}
    return {
        "find latest": lambda: store.find(eggs, limit=1),
        "find latest of a rare kind": lambda: store.find(Wanted(kinds=("health",)), limit=1),
        "find latest of a kind never said": lambda: store.find(Wanted(kinds=("loss",)), limit=1),
        "find latest of any kind": lambda: store.find(Wanted(as_of=now), limit=1),
        "find latest at a place": lambda: store.find(
            Wanted(kinds=("feed", "water"), places=("hill pen",), as_of=now), limit=1
        ),
        "find latest with a slot": lambda: store.find(
            Wanted(kinds=("feed",), slots=scoops, as_of=now), limit=1
        ),
        "find latest with a slot never said": lambda: store.find(
            Wanted(kinds=("feed",), slots={"amount": Quantity(value=99, unit="scoop")}), limit=1
        ),
        "find a day": lambda: store.find(
            Wanted(when_from=now - timedelta(days=1), when_to=now, as_of=now)
        ),
        "find words": lambda: store.find(Wanted(text="eggs 06:1", as_of=now), limit=20),
        "count a kind": lambda: store.count(eggs),
        "count everything": lambda: store.count(Wanted(as_of=now)),
        "sum of a month": lambda: store.sums(Wanted(kinds=("eggs",), as_of=now, **month), "count"),
        "sum of a year": lambda: store.sums(Wanted(kinds=("eggs",), as_of=now, **year), "count"),
        "sum of all time": lambda: store.sums(eggs, "count"),
        "extremes of a year": lambda: store.extremes(
            Wanted(kinds=("eggs",), as_of=now, **year), "count"
        ),
        "latest by place": lambda: store.latest_by_place(eggs),
        "day totals of a year": lambda: store.day_totals(
            Wanted(kinds=("eggs",), as_of=now, **year), "count", ZONE
        ),
    }


def keeping_ms(store: Store, now: datetime) -> tuple[float, float]:
    """Medians of keeping a memo and a parse of it, in milliseconds."""
    when = Interval(from_=now, to=now, precision=Precision.MINUTE)
    record = Draft(
        kind="eggs",
        status=Status.DONE,
        when=when,
        when_said=None,
        place="hill pen",
        flock=None,
        birds=(),
        slots=frozen_slots({"count": 12}),
        text="twelve eggs",
        certainty=1.0,
    )
    memos = []
    memo_ms = median_ms(
        lambda: memos.append(store.keep_memo(said_at=now, text="twelve eggs", source="typed"))
    )
    parse = Parse(memo="twelve eggs", now=now, records=(record,))
    waiting = iter(memos)
    parse_ms = median_ms(lambda: store.keep_parse(next(waiting).id, parse, parser="bench"))
    return memo_ms, parse_ms


def main(records: int) -> None:
    """Build the store, time everything, print a table."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "store.db"
        with Store.open(str(path)) as store:
            begun = time.perf_counter()
            store.import_lines(lines(records))
            print(f"import of {records} records: {time.perf_counter() - begun:.1f} s")
            now = BEGIN + timedelta(days=7 * 365 + 1)
            baseline = median_ms(lambda: scan(path, lambda r: r["kind"] == "eggs"), 3)
            print(f"plain scan: {baseline:.0f} ms")
            for name, ask in questions(store, now).items():
                taken = median_ms(ask)
                print(f"{name:36} {taken:8.2f} ms   {baseline / taken:8.1f} times the scan's speed")
            memo_ms, parse_ms = keeping_ms(store, now)
            print(f"keep a memo: {memo_ms:.2f} ms; its parse: {parse_ms:.2f} ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
