"""What comes out of real (synthetic) speech, silence and noise."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

import voicelog
from voicelog import hearing
from voicelog.hearing.audio import RATE, Recording, read_recording
from voicelog.hearing.readings import CARRIED
from voicelog.hearing.vosk_engine import Recogniser

Samples = NDArray[np.int16]

PACKAGE = Path(voicelog.__file__).parent


def recording(samples: Samples) -> Recording:
    return Recording(samples=samples, seconds=len(samples) / RATE)


def silence(seconds: float) -> Samples:
    return np.zeros(int(seconds * RATE), np.int16)


def test_a_clear_recording_gives_its_words_in_order_and_in_time(speech: Path) -> None:
    heard = hearing.transcribe(speech / "eggs_two_coops.ogg")
    assert heard.text == "collected nine eggs from the red coop and fourteen from the green coop"
    assert heard.text == " ".join(word.text for word in heard.words)
    assert heard.to_s == pytest.approx(4.36, abs=0.02)
    for word, following in zip(heard.words, heard.words[1:], strict=False):
        assert word.from_s < word.to_s <= following.from_s + 0.05
    assert heard.words[-1].to_s <= heard.to_s
    assert heard.engine.startswith("vosk ")
    assert heard.engine.endswith("english-small")


@pytest.mark.parametrize(
    ("name", "least"),
    [("medicine.ogg", 2), ("weather.wav", 5), ("limping.ogg", 10)],
)
def test_alternatives_are_carried_the_text_first(speech: Path, name: str, least: int) -> None:
    """Few where the sound is clear: what lies far behind is no alternative."""
    heard = hearing.transcribe(speech / name)
    texts = [one.text for one in heard.alternatives]
    assert texts[0] == heard.text
    assert len(set(texts)) == len(texts)
    assert least <= len(texts) <= CARRIED
    scores = [one.score for one in heard.alternatives]
    assert scores == sorted(scores, reverse=True)


def test_words_heard_rightly_are_surer_than_words_misheard(
    speech: Path, recogniser: Recogniser
) -> None:
    right: list[float] = []
    wrong: list[float] = []
    for line in (speech / "manifest.jsonl").read_text("utf-8").splitlines():
        said = json.loads(line)
        heard = recogniser.hear(read_recording(speech / said["file"]))
        for word in heard.words:
            (right if word.text in said["text"].split() else wrong).append(word.confidence)
    assert len(wrong) >= 10
    assert np.mean(right) > 0.85
    assert np.mean(wrong) < 0.7
    assert min([*right, *wrong]) > 0
    assert max(right) <= 1


@pytest.mark.parametrize("seconds", [0.001, 0.05, 0.5, 3.0, 25.0])
def test_silence_has_no_words(recogniser: Recogniser, seconds: float) -> None:
    heard = recogniser.hear(recording(silence(seconds)))
    assert (heard.text, heard.words, heard.alternatives) == ("", (), ())
    assert heard.to_s == pytest.approx(seconds, abs=0.001)


@pytest.mark.parametrize("level", [1, 30, 3000])
def test_noise_and_tones_have_no_words(recogniser: Recogniser, level: int) -> None:
    noise = np.random.default_rng(4).normal(0, level, 4 * RATE)
    tone = level * 3 * np.sin(2 * np.pi * 700 * np.arange(4 * RATE) / RATE)
    for sound in (noise, tone):
        samples = np.clip(np.rint(sound), -32768, 32767).astype(np.int16)
        assert recogniser.hear(recording(samples)).text == ""


@pytest.mark.parametrize("gain", [0.003, 0.03, 0.3, 3.0])
def test_quiet_and_clipped_speech_is_heard(
    recogniser: Recogniser, speech: Path, tmp_path: Path, gain: float
) -> None:
    from voicelog.hearing.audio import write_wav

    samples = read_recording(speech / "eggs_two_coops.ogg").samples
    changed = np.clip(np.rint(samples * gain), -32768, 32767).astype(np.int16)
    write_wav(tmp_path / "a.wav", changed.tobytes())
    heard = recogniser.hear(read_recording(tmp_path / "a.wav")).text.split()
    said = {"collected", "nine", "eggs", "from", "the", "red", "coop", "fourteen", "green"}
    assert len(said & set(heard)) >= len(said) - 1


def test_a_recogniser_used_again_hears_the_same_as_a_fresh_one(speech: Path) -> None:
    from voicelog.hearing.model_folder import find_model

    files = [speech / name for name in ("limping.ogg", "medicine.ogg", "weather.wav")]
    reused = Recogniser(find_model())
    again = [reused.hear(read_recording(file)) for file in (*files, *files)]
    fresh = [Recogniser(find_model()).hear(read_recording(file)) for file in files]
    assert again == [*fresh, *fresh]


def test_the_model_is_loaded_once() -> None:
    assert hearing.load_recogniser() is hearing.load_recogniser()


def test_a_long_recording_with_pauses_is_one_transcript(
    recogniser: Recogniser, speech: Path
) -> None:
    first = read_recording(speech / "eggs_two_coops.ogg").samples
    last = read_recording(speech / "weather.wav").samples
    gap = silence(14.0)
    heard = recogniser.hear(recording(np.concatenate([gap, first, gap, last])))
    assert heard.text.startswith("collected nine eggs")
    assert "sixty two degrees" in heard.text
    assert heard.words[0].from_s == pytest.approx(14.2, abs=0.5)
    degrees = next(word for word in heard.words if word.text == "sixty")
    assert degrees.from_s == pytest.approx(28 + len(first) / RATE + 0.2, abs=0.6)
    assert heard.alternatives[0].text == heard.text
    assert len(heard.alternatives) > 1


def test_talking_without_a_halt_is_cut_and_still_heard(
    recogniser: Recogniser, speech: Path
) -> None:
    once = read_recording(speech / "eggs_two_coops.ogg").samples
    once = once[int(0.25 * RATE) : -int(0.25 * RATE)]
    heard = recogniser.hear(recording(np.tile(once, 12)))
    assert heard.text.split().count("eggs") >= 10
    times = [word.from_s for word in heard.words]
    assert times == sorted(times)
    assert heard.words[-1].to_s > len(once) * 12 / RATE - 1.5


def test_nothing_of_the_engine_reaches_the_screen(speech: Path) -> None:
    script = (
        "import sys; from voicelog import hearing; sys.stderr.write('before\\n');"
        f"[hearing.transcribe(f) for f in {[str(speech / 'limping.ogg')]!r}];"
        "hearing.load_recogniser(); sys.stderr.write('after\\n')"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert (done.stdout, done.stderr) == ("", "before\nafter\n")


def test_importing_the_room_loads_nothing_heavy() -> None:
    script = (
        "import sys, voicelog.hearing, voicelog.hearing.listening, voicelog.hearing.microphone;"
        "import voicelog.hearing.vosk_engine, voicelog.hearing.audio;"
        "print([m for m in ('vosk', 'av', 'numpy', 'sounddevice') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout == "[]\n"


def importers(module: str) -> set[str]:
    found = set()
    for file in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.level == 0:
                names = [node.module or ""]
            if any(name.split(".")[0] == module for name in names):
                found.add(file.relative_to(PACKAGE).as_posix())
    return found


def test_one_file_knows_the_recogniser_and_one_the_decoder() -> None:
    assert importers("vosk") == {"hearing/vosk_engine.py"}
    assert importers("av") == {"hearing/audio.py"}
