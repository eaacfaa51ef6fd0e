"""From what was heard to records: kept transcripts of the recorded memos through the parser.

No speech model takes part, so that a change here is one of understanding. The transcripts are made
by `models.evaluation.transcripts`; `tests/audio` hears the recordings themselves.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from scoring import CORPORA, got_form, rows, same, wanted_form

from voicelog.clock import at
from voicelog.farm import load_farm
from voicelog.types import Alternative, Transcript, Word
from voicelog.understanding import Parser

SPEECH = CORPORA / "speech"
FARM = CORPORA.parent / "voicelog" / "demo" / "farm.toml"
LEAST_RIGHT = 145
"""Of 156, just below what was measured."""


def transcripts() -> dict[str, Transcript]:
    """The kept transcripts by the file they were heard in."""
    lines = map(json.loads, (SPEECH / "transcripts.jsonl").read_text("utf-8").splitlines())
    return {line.pop("file"): _transcript(line) for line in lines}


def _transcript(line: dict[str, Any]) -> Transcript:
    return Transcript(
        **{
            **line,
            "words": tuple(Word(**word) for word in line["words"]),
            "alternatives": tuple(Alternative(**one) for one in line["alternatives"]),
        }
    )


def test_every_recording_has_its_transcript() -> None:
    kept = transcripts()
    assert list(kept) == [row["file"] for row in rows(SPEECH / "manifest.jsonl")]
    heard = [one for one in kept.values() if one.words]
    assert len(heard) >= len(kept) - 1  # one in the rain is taken for noise
    assert all(one.alternatives[0].text == one.text for one in heard)


def test_what_was_heard_gives_the_records(capsys: pytest.CaptureFixture[str]) -> None:
    farm = load_farm(FARM)
    parser, kept, right = Parser(farm), transcripts(), 0
    manifest = list(rows(SPEECH / "manifest.jsonl"))
    for row in manifest:
        parse = parser.parse(kept[row["file"]], at(row["now"], farm.timezone))
        rest = [got_form(draft) for draft in parse.records]
        for want in map(wanted_form, row["records"]):
            match = next((form for form in rest if same(form, want)), None)
            if match is not None:
                rest.remove(match)
        right += not rest and len(parse.records) == len(row["records"])
    with capsys.disabled():
        print(f"\n{right} of {len(manifest)} transcripts gave just their records")
    assert right >= LEAST_RIGHT
