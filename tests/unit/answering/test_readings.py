"""Readings are compared by the newest of each side: their sum would mean nothing."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from voicelog.answering import answer
from voicelog.farm import Farm
from voicelog.records import Store

NOW = datetime(2027, 6, 10, 12, tzinfo=ZoneInfo("America/Halifax"))


@pytest.mark.parametrize(
    "question",
    [
        "compare the fence voltage this week and last week",
        "how does the fence voltage this week compare to last week",
    ],
)
def test_readings_are_compared_by_the_newest(kept: Store, saltgrass: Farm, question: str) -> None:
    given = answer(question, kept, saltgrass, NOW)
    assert given.value == pytest.approx(-0.3)
    assert given.unit == "kV"
    assert "3.9" in given.text
    assert "4.2" in given.text
