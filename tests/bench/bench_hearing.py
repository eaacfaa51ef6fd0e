"""What hearing costs: python tests/bench/bench_hearing.py (on one core: taskset -c 0 python ...).

Times are processor seconds. The baseline, run in the same process on the same sound, is the
recogniser alone with its single best reading. Every part prints its sizes.
"""

from __future__ import annotations

import json
import resource
import time
from pathlib import Path

import jiwer
import numpy as np
import vosk

from voicelog import hearing
from voicelog.hearing import readings
from voicelog.hearing.audio import RATE, Recording, read_recording
from voicelog.hearing.model_folder import find_model
from voicelog.hearing.vosk_engine import Recogniser

SPEECH = Path(__file__).parents[2] / "corpora" / "speech"
CHUNK = 8000


def peak_megabytes() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def alone(model: vosk.Model, recording: Recording, alternatives: int) -> str:
    """The words of the engine by itself."""
    recognizer = vosk.KaldiRecognizer(model, float(RATE))
    recognizer.SetWords(True)
    recognizer.SetMaxAlternatives(alternatives)
    sound = recording.samples.tobytes()
    for start in range(0, len(sound), CHUNK):
        recognizer.AcceptWaveform(sound[start : start + CHUNK])
    result = json.loads(recognizer.FinalResult())
    return result["text"] if alternatives == 0 else result["alternatives"][0]["text"]


def main() -> None:
    lines = [json.loads(line) for line in (SPEECH / "manifest.jsonl").read_text().splitlines()]
    said = [line["text"] for line in lines]

    began = time.process_time()
    recordings = [read_recording(SPEECH / line["file"]) for line in lines]
    reading = time.process_time() - began
    seconds = sum(recording.seconds for recording in recordings)
    before = peak_megabytes()

    began = time.process_time()
    recogniser: Recogniser = hearing.load_recogniser()
    loading = time.process_time() - began
    model = vosk.Model(model_path=str(find_model()))
    print(f"{len(lines)} recordings, {seconds:.1f} s; {sum(len(t.split()) for t in said)} words")
    print(f"load the model              {loading:6.2f} s")
    print(f"decode and resample         {reading / seconds:6.4f} of real time")

    baseline = 0.0
    for alternatives in (0, readings.CARRIED, readings.LISTED):
        began = time.process_time()
        heard = [alone(model, recording, alternatives) for recording in recordings]
        took = time.process_time() - began
        baseline = baseline or took
        name = f"engine, {alternatives} alternatives"
        errors = 100 * jiwer.wer(said, [" ".join(text.split()) for text in heard])
        print(
            f"{name:27} {took / seconds:6.4f} of real time, x{took / baseline:.2f}, {errors:.1f} %"
        )
    began = time.process_time()
    heard = [recogniser.hear(recording).text for recording in recordings]
    took = time.process_time() - began
    errors = 100 * jiwer.wer(said, heard)
    costs = f"{took / seconds:6.4f} of real time, x{took / baseline:.2f}"
    print(f"{'voicelog':27} {costs}, {errors:.1f} %")

    print(f"peak memory                 {peak_megabytes():6.0f} MB ({before:.0f} before the model)")
    samples = np.resize(np.concatenate([one.samples for one in recordings]), 600 * RATE)
    began = time.process_time()
    long = recogniser.hear(Recording(samples=samples, seconds=600.0))
    took = time.process_time() - began
    print(f"ten minutes in one file     {took / 600:6.4f} of real time, {len(long.words)} words")
    print(f"peak memory after that      {peak_megabytes():6.0f} MB (two models loaded)")


if __name__ == "__main__":
    main()
