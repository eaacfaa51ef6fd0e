"""Compares what the parser understood with what a person wrote beside a memo.

A memo is right only if every record it means is there with every slot that was said, the right
status, place, flock, birds and time, and nothing else; and its questions and instructions too.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from voicelog.clock import at
from voicelog.farm import load_farm
from voicelog.types import Draft, Quantity
from voicelog.understanding import Parser

CORPORA = Path(__file__).resolve().parents[2] / "corpora"
REMARK = "remark"
COMMON = ("place", "flock", "birds")
WIDE = {"part_of_day": 3600.0}
"""Seconds by which a dawn or dusk may differ: the contract names the sun, not which twilight."""


@dataclass
class Score:
    """How many of a corpus were right."""

    memos: int = 0
    right: int = 0
    kinds_right: int = 0
    false_records: int = 0
    records: int = 0
    by_phenomenon: Counter[str] = field(default_factory=Counter)
    right_by_phenomenon: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    @property
    def share(self) -> float:
        """Memos right, of all."""
        return self.right / self.memos

    def line(self, name: str) -> str:
        """The score as one line."""
        return (
            f"{name}: {self.right} of {self.memos} memos right ({self.share:.1%}), kinds right in "
            f"{self.kinds_right}, {self.false_records} records of {self.records} not meant"
        )


def rows(path: Path) -> Iterator[dict[str, Any]]:
    """The objects of a JSON Lines file."""
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.strip():
            yield json.loads(line)


def score_corpus(path: Path, farm: str) -> Score:
    """Parse a corpus as the keeper of a farm and count."""
    read = load_farm(CORPORA / "farms" / f"{farm}.toml")
    parser = Parser(read)
    score = Score()
    for row in rows(path):
        parse = parser.parse(row["text"], at(row["now"], read.timezone))
        got = [got_form(draft) for draft in parse.records]
        wanted = [wanted_form(record) for record in row["records"]]
        rest = list(got)
        for want in wanted:
            match = next((form for form in rest if same(form, want)), None)
            if match is not None:
                rest.remove(match)
        found = len(got) - len(rest)
        right = found == len(wanted) and not rest
        right = right and len(parse.questions) == len(row.get("questions", ()))
        if "instructions" in row:
            right = right and len(parse.instructions) == len(row["instructions"])
        score.memos += 1
        score.right += right
        score.records += len(got)
        score.false_records += max(0, len(got) - len(wanted))
        score.kinds_right += sorted(form["kind"] for form in got) == sorted(
            form["kind"] for form in wanted
        )
        for phenomenon in row.get("phenomena", ()):
            score.by_phenomenon[phenomenon] += 1
            score.right_by_phenomenon[phenomenon] += right
        if not right:
            score.wrong.append(row.get("id", row["text"]))
    return score


def got_form(draft: Draft) -> dict[str, Any]:
    """A draft as the corpora write records."""
    form: dict[str, Any] = {
        "kind": draft.kind,
        "status": draft.status.value,
        "place": draft.place,
        "flock": draft.flock,
        "birds": sorted(draft.birds),
    }
    for name, value in draft.slots.items():
        written = (
            {"value": value.value, "unit": value.unit} if isinstance(value, Quantity) else value
        )
        form[name] = written
    form["when"] = {
        "from": draft.when.from_.isoformat() if draft.when.from_ else None,
        "to": draft.when.to.isoformat() if draft.when.to else None,
        "precision": draft.when.precision.value,
    }
    return form


def wanted_form(record: dict[str, Any]) -> dict[str, Any]:
    """A written record without what was not said."""
    left_out = ("when_said", "text", "certainty", "doubts")
    form = {
        name: value
        for name, value in record.items()
        if name not in left_out and value not in (None, [])
    }
    for name in COMMON:
        form.setdefault(name, [] if name == "birds" else None)
    form["birds"] = sorted(form["birds"])
    return form


def same(got: dict[str, Any], want: dict[str, Any]) -> bool:
    """Whether two records are one; of a remark only that it is one, with its time."""
    times = (got["when"], want["when"])
    one = {name: value for name, value in got.items() if name != "when"}
    other = {name: value for name, value in want.items() if name != "when"}
    if one["kind"] == REMARK == other["kind"]:
        return True
    return one == other and _same_time(*times)


def _same_time(got: dict[str, Any], want: dict[str, Any]) -> bool:
    if got["precision"] != want["precision"]:
        return False
    slack = WIDE.get(want["precision"], 0.0)
    for side in ("from", "to"):
        if (got[side] is None) != (want[side] is None):
            return False
        if got[side] is not None:
            apart = datetime.fromisoformat(got[side]) - datetime.fromisoformat(want[side])
            if abs(apart.total_seconds()) > slack:
                return False
    return True
