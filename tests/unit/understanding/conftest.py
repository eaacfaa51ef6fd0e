"""One invented farm, and a short way to write what a memo must be understood as.

`means(text, *records)` checks a memo whole: its records in order, every field of each, its
questions, instructions and left-over words. A record is written as its kind and what was said:

    "eggs, place=coop B, count=12, cracked=2"
    "move, planned, when=2027-05-05..2027-05-06 day, place=coop C, subject=coop"

No status is `done`, no `when` is the memo's own minute, several birds are joined by `+`.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from voicelog.clock import at
from voicelog.farm import Farm, load_farm
from voicelog.types import Draft, Interval, Parse, Quantity, SlotValue, Status
from voicelog.understanding import Parser

FARM = Path(__file__).resolve().parents[3] / "corpora" / "farms" / "plover.toml"


@pytest.fixture(scope="session")
def farm() -> Farm:
    return load_farm(FARM)


@pytest.fixture(scope="session")
def parser(farm: Farm) -> Parser:
    return Parser(farm)


@pytest.fixture(scope="session")
def now(farm: Farm) -> datetime:
    """A Tuesday morning."""
    return at("2027-05-04T08:10", farm.timezone)


@pytest.fixture(scope="session")
def parse(parser: Parser, now: datetime) -> Callable[[str], Parse]:
    return lambda text: parser.parse(text, now)


def _value(value: SlotValue) -> str:
    if isinstance(value, Quantity):
        return f"{value.value:g} {value.unit}"
    return str(value)


def _moment(moment: datetime | None) -> str:
    if moment is None:
        return ""
    return moment.strftime("%Y-%m-%d" if moment.time() == moment.min.time() else "%Y-%m-%dT%H:%M")


def _when(when: Interval) -> str:
    return f"{_moment(when.from_)}..{_moment(when.to)} {when.precision}"


def _written(draft: Draft, now: datetime) -> str:
    fields = {
        "when": None if (when := draft.when).from_ == now == when.to else _when(when),
        "place": draft.place,
        "flock": draft.flock,
        "birds": "+".join(draft.birds) or None,
        "by": draft.by,
    } | {name: _value(value) for name, value in draft.slots.items()}
    said = sorted(f"{name}={value}" for name, value in fields.items() if value is not None)
    status = [] if draft.status is Status.DONE else [draft.status.value]
    return ", ".join([draft.kind, *status, *said])


def _in_order(written: str) -> str:
    kind, *rest = written.split(", ")
    return ", ".join(
        [kind, *(x for x in rest if "=" not in x), *sorted(x for x in rest if "=" in x)]
    )


@pytest.fixture(scope="session")
def written(parse: Callable[[str], Parse], now: datetime) -> Callable[[str], list[str]]:
    """The records of a memo, each in one line."""
    return lambda text: [_written(draft, now) for draft in parse(text).records]


@pytest.fixture(scope="session")
def means(parse: Callable[[str], Parse], now: datetime) -> Callable[..., None]:
    """Checks a memo whole."""

    def check(
        text: str,
        *records: str,
        questions: tuple[str, ...] = (),
        instructions: tuple[str, ...] = (),
        unused: tuple[str, ...] = (),
    ) -> None:
        got = parse(text)
        assert [_written(draft, now) for draft in got.records] == [_in_order(r) for r in records]
        assert got.questions == questions
        assert tuple(told.text for told in got.instructions) == instructions
        assert got.unused == unused

    return check
