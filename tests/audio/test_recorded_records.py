"""From sound to records: the demo recordings through the recogniser and the parser.

A recording counts as right only if every record that its manifest names comes out, with every slot,
place and time, and nothing else.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from voicelog.clock import at
from voicelog.farm import load_farm
from voicelog.hearing import load_recogniser
from voicelog.hearing.audio import read_recording
from voicelog.understanding import Parser

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "golden"))

from scoring import CORPORA, got_form, rows, same, wanted_form

FARM = CORPORA.parent / "voicelog" / "demo" / "farm.toml"
LEAST_RIGHT = 145
"""Of 156; 147 were measured."""


def test_recordings_give_their_records(capsys: pytest.CaptureFixture[str]) -> None:
    farm = load_farm(FARM)
    parser = Parser(farm)
    recogniser = load_recogniser()
    right = 0
    manifest = list(rows(CORPORA / "speech" / "manifest.jsonl"))
    for row in manifest:
        transcript = recogniser.hear(read_recording(CORPORA / "speech" / row["file"]))
        parse = parser.parse(transcript, at(row["now"], farm.timezone))
        rest = [got_form(draft) for draft in parse.records]
        wanted = [wanted_form(record) for record in row["records"]]
        for want in wanted:
            match = next((form for form in rest if same(form, want)), None)
            if match is not None:
                rest.remove(match)
        right += not rest and len(parse.records) == len(wanted)
    with capsys.disabled():
        print(f"\n{right} of {len(manifest)} recordings gave just their records")
    assert right >= LEAST_RIGHT
