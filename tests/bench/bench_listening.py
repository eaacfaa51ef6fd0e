"""How soon a spoken memo is a record: python tests/bench/bench_listening.py

Demonstration recordings are played in at the pace of speech, then silence, then the same with the
recording's wind behind it. Measured is the time from the last sound of the speech to the stored and
understood memo. The baseline is the same sound given as a finished file: what decoding, hearing,
understanding and storing cost when nothing has to be waited for. Last, sounds without speech: how
many memos they start.
"""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from numpy.typing import NDArray

from voicelog import hearing
from voicelog.app.hands_free import HandsFree
from voicelog.app.notebook import Notebook
from voicelog.app.recordings import hear_file
from voicelog.app.setting import find_setting
from voicelog.hearing.audio import RATE, read_recording, write_wav
from voicelog.hearing.listening import PAUSE_S, Heard, Unsure, Utterance, listen
from voicelog.hearing.sources import CHUNK, PlayedIn
from voicelog.hearing.vosk_engine import Recogniser

Samples = NDArray[np.int16]

ROOT = Path(__file__).parents[2]
SPEECH = ROOT / "corpora" / "speech"
FARM = ROOT / "voicelog" / "demo" / "farm.toml"
COUNT = 10
BEFORE_S, AFTER_S = 0.5, 4.0
WIND_DB = -15.0
"""The wind's power beside that of the speech."""


def trimmed(samples: Samples) -> Samples:
    """Without the quiet after the last sound above a fiftieth of the loudest."""
    loud = np.flatnonzero(np.abs(samples.astype(float)) > np.abs(samples).max() / 50)
    return samples[: loud[-1] + 1]


def surrounded(speech: Samples, noise: Samples | None) -> Samples:
    quiet = [np.zeros(int(seconds * RATE), np.int16) for seconds in (BEFORE_S, AFTER_S)]
    sound = np.concatenate([quiet[0], speech, quiet[1]])
    if noise is None:
        return sound
    power = np.mean(speech.astype(float) ** 2) * 10 ** (WIND_DB / 10)
    behind = np.resize(noise, len(sound)).astype(float)
    mixed = sound + behind * np.sqrt(power / np.mean(behind**2))
    return np.clip(np.rint(mixed), -32768, 32767).astype(np.int16)


def heard_live(
    notebook: Notebook, recogniser: Recogniser, sound: Samples, ended_s: float
) -> tuple[list[float], list[float]]:
    """Seconds from the end of speech to each memo, and how much of them came after the sound."""
    source = PlayedIn(sound)
    arrived = 0.0

    def chunks() -> Iterator[bytes]:
        nonlocal arrived
        for chunk in source:
            arrived = source.passed_s
            yield chunk

    after, computing = [], []
    for said in HandsFree(notebook).take(listen(recogniser, chunks())):
        assert said.turn is not None
        after.append(source.passed_s - ended_s)
        computing.append(source.passed_s - arrived)
    return after, computing


def told(name: str, seconds: list[float]) -> None:
    print(f"{name:44} median {statistics.median(seconds):5.2f} s, longest {max(seconds):5.2f} s")


def main() -> None:
    lines = [json.loads(line) for line in (SPEECH / "manifest.jsonl").read_text().splitlines()]
    clean = [line for line in lines if line["noise"] is None][:COUNT]
    speech = [trimmed(read_recording(SPEECH / line["file"]).samples) for line in clean]
    wind = read_recording(SPEECH / "nothing" / "wind.ogg").samples
    recogniser = hearing.load_recogniser()
    with TemporaryDirectory() as folder:
        setting = find_setting(str(Path(folder) / "bench.db"), FARM, "2027-05-04T08:10")
        with Notebook(setting) as notebook:
            assert notebook.writing
            notebook.parse("", setting.now())
            print(
                f"{len(speech)} memos; {PAUSE_S} s of silence end one; chunks of {CHUNK / RATE} s"
            )
            offline(notebook, speech, Path(folder) / "memo.wav")
            for name, noise in (("quiet", None), ("wind", wind)):
                live(notebook, recogniser, speech, noise, name)
    sounds_without_speech(recogniser)


def offline(notebook: Notebook, speech: list[Samples], file: Path) -> None:
    costs = []
    for one in speech:
        write_wav(file, surrounded(one, None).tobytes())
        began = time.perf_counter()
        hear_file(notebook, file)
        costs.append(time.perf_counter() - began)
    told("baseline: the same as finished files", costs)


def live(
    notebook: Notebook,
    recogniser: Recogniser,
    speech: list[Samples],
    noise: Samples | None,
    name: str,
) -> None:
    after: list[float] = []
    computing: list[float] = []
    counts = []
    for one in speech:
        ended_s = BEFORE_S + len(one) / RATE
        found = heard_live(notebook, recogniser, surrounded(one, noise), ended_s)
        after += found[0][-1:]
        computing += found[1][-1:]
        counts.append(len(found[0]))
    told(f"{name}: end of speech to stored record", after)
    told(f"{name}: of that, beyond the silence", [seconds - PAUSE_S for seconds in after])
    told(f"{name}: of that, computing after the last chunk", computing)
    print(f"{name}: memos of each recording: {counts}")


def sounds_without_speech(recogniser: Recogniser) -> None:
    seconds = memos = unsure = 0.0
    for file in sorted((SPEECH / "nothing").glob("*.*")):
        if file.suffix == ".jsonl":
            continue
        samples = np.tile(read_recording(file).samples, 3)
        seconds += len(samples) / RATE
        chunks = (samples[at : at + CHUNK].tobytes() for at in range(0, len(samples), CHUNK))
        found: list[Heard] = list(listen(recogniser, chunks))
        memos += sum(isinstance(item, Utterance) for item in found)
        unsure += sum(isinstance(item, Unsure) for item in found)
    print(f"{seconds:.0f} s without speech: {memos:.0f} memos, {unsure:.0f} shown as unsure")


if __name__ == "__main__":
    main()
