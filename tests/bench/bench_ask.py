"""Times of whole questions, words to answer, over a large store of one farm.

Run: python tests/bench/bench_ask.py [RECORDS]

Prints the median time of each question in a running process, that of reading every record and
going through it in Python in the same run, and their ratio.
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

from voicelog.answering import answer
from voicelog.farm import Farm, load_farm
from voicelog.records import Store

FARM = Path(__file__).parents[2] / "corpora" / "farms" / "larkrise.toml"
ZONE = ZoneInfo("America/Chicago")
BEGIN = datetime(2020, 1, 1, 6, tzinfo=ZONE)
COOPS = ("coop A", "coop B", "coop C")
QUESTIONS = (
    "how many eggs did we get yesterday",
    "how many eggs did coop a lay last month",
    "how many eggs did we get in all",
    "when did we last move coop b",
    "when did we last see a bear",
    "how long since the waterer in coop a was scrubbed",
    "how many times did we move coop b this year",
    "how many pounds of layer feed did coop a get last year",
    "on average how many eggs a day did we get last month",
    "which day last month had the most eggs",
    "which coop laid the most last year",
    "which coops have not been fed today",
    "where is coop a now",
    "is the fence on",
    "did anybody water coop b today",
    "what did we buy last month",
    "how much did we spend on feed last year",
    "which predators came around last year",
    "which hens went broody last year",
    "what was the highest fence reading this year",
    "compare the eggs of this week with last week",
    "what is planned",
    "what is planned for coop b",
    "can we eat plum's eggs",
    "what's left to do today",
)


def lines(records: int) -> Iterator[str]:
    """An export of that many records, two a memo, over seven years."""
    chance = random.Random(11)
    memos = records // 2
    step = timedelta(days=7 * 365) / memos
    yield json.dumps({"row": "voicelog", "form": 1})
    for memo in range(1, memos + 1):
        row = {"row": "memo", "id": memo, "said_at": (BEGIN + memo * step).isoformat()}
        yield json.dumps(
            row | {"text": f"memo {memo}", "source": "typed", "transcript": None, "audio": None}
        )
    for memo in range(1, memos + 1):
        at = BEGIN + memo * step
        body = {
            "now": at.isoformat(),
            "records": [record(chance, at) for _ in range(2)],
            "questions": [],
            "instructions": [],
            "unused": [],
        }
        yield json.dumps(
            {"row": "parse", "id": memo, "memo_id": memo, "parser": "bench", "body": body}
        )
    for one in range(records):
        memo = one // 2 + 1
        row = {"row": "record", "id": one + 1, "memo_id": memo, "parse_id": memo}
        yield json.dumps(row | {"position": one % 2})


def record(chance: random.Random, at: datetime) -> dict[str, Any]:
    """One record, of the kinds as often as a farm has them."""
    kinds, weights = zip(*_KINDS.items(), strict=True)
    kind = chance.choices(kinds, weights)[0]
    return {
        "kind": kind,
        "status": chance.choices(("done", "not_done", "planned"), (97.8, 2, 0.2))[0],
        "when": {"from": at.isoformat(), "to": at.isoformat(), "precision": "minute"},
        "when_said": None,
        "place": chance.choice((*COOPS, None)),
        "flock": None,
        "birds": [chance.choice(("Plum", "Hazel"))] if kind in _OF_BIRDS else [],
        "slots": slots(chance, kind),
        "text": f"{kind} said at {at:%H:%M}",
        "certainty": 0.9,
        "doubts": [],
        "by": None,
    }


_KINDS = {
    "eggs": 250, "feed": 220, "water": 180, "doors": 150, "fence": 60, "move": 50, "litter": 30,
    "weather": 20, "supply": 10, "sale": 8, "predator": 6, "health": 5, "treatment": 4,
    "broody": 4, "loss": 3,
}  # fmt: skip
_OF_BIRDS = ("broody", "health", "treatment")


def slots(chance: random.Random, kind: str) -> dict[str, Any]:
    """What a record of a kind says."""

    def some(value: float, unit: str) -> dict[str, Any]:
        return {"value": value, "unit": unit}

    made: dict[str, Callable[[], dict[str, Any]]] = {
        "eggs": lambda: {"count": chance.randint(0, 30)},
        "feed": lambda: {
            "feed_type": chance.choice(("layer", "grower")),
            "amount": some(chance.randint(1, 4), "scoop"),
        },
        "water": lambda: {"action": chance.choices(("filled", "scrubbed"), (9, 1))[0]},
        "doors": lambda: {"action": chance.choice(("let_out", "shut_in"))},
        "fence": lambda: {
            "action": chance.choice(("tested", "on", "off")),
            "voltage": some(chance.randint(20, 70) / 10, "kV"),
        },
        "move": lambda: {
            "subject": "coop",
            "to": chance.choice(("creek paddock", "knoll paddock")),
        },
        "litter": lambda: {"target": "nest_box", "action": "refreshed"},
        "weather": lambda: {"condition": chance.choice(("rain", "hot"))},
        "supply": lambda: {
            "item": chance.choice(("layer feed", "grit", "straw")),
            "action": "bought",
            "cost": some(chance.randint(5, 90), "dollar"),
        },
        "sale": lambda: {"item": "eggs", "amount": some(chance.randint(1, 9), "dozen")},
        "predator": lambda: {"animal": chance.choice(("fox", "hawk")), "sign": "sighting"},
        "health": lambda: {"sign": "limping"},
        "treatment": lambda: {"what": "antibiotic", "withdrawal_days": 14},
        "broody": lambda: {"action": "seen"},
        "loss": lambda: {"count": 1, "cause": "predator"},
    }
    return dict(sorted(made[kind]().items()))


def median_ms(ask: Callable[[], object], times: int = 9) -> float:
    """The median of several runs in milliseconds, the first left out."""
    ask()
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        ask()
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


def asked(question: str, store: Store, farm: Farm, now: datetime) -> Callable[[], object]:
    """The question, ready to be timed."""
    return lambda: answer(question, store, farm, now)


def main(records: int) -> None:
    """Build the store, time every question, print a table."""
    farm = load_farm(FARM)
    now = BEGIN + timedelta(days=7 * 365 + 0.25)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "store.db"
        with Store.open(str(path)) as store:
            store.import_lines(lines(records))
            baseline = median_ms(lambda: scan(path), 3)
            print(f"{records} records; reading all of them in Python: {baseline:.0f} ms")
            taken = {q: median_ms(asked(q, store, farm, now)) for q in QUESTIONS}
        for question, ms in taken.items():
            print(f"{question:58} {ms:8.1f} ms {baseline / ms:8.1f} times as fast")
        slowest = max(taken.values())
        middle = statistics.median(taken.values())
        print(f"median {middle:.1f} ms, slowest {slowest:.1f} ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
