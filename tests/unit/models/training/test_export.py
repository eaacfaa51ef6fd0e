"""An exported model computes what the network computes, and the recogniser hears with it."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

torch = pytest.importorskip("torch")

from models.training.acoustic_model_file import AcousticModelFile, write_model  # noqa: E402
from models.training.acoustic_model_reading import read_model  # noqa: E402
from models.training.export import model_of  # noqa: E402
from models.training.network import (  # noqa: E402
    CONTEXT_FRAMES,
    AcousticNetwork,
    network_from_file,
)

ROOT = Path(__file__).parents[4]
CARRIED = ROOT / "models" / "english-small"


def _evaluated(model: AcousticModelFile, cepstra: np.ndarray) -> np.ndarray:
    """The output of a model file, node by node as its lines of text say, each third frame.

    Values at frames that some node cannot see are not numbers.
    """
    values = {"input": cepstra.astype(np.float64)}
    for line in model.graph_lines:
        sort, _, rest = line.partition(" ")
        if sort == "input-node":
            continue
        name, *_ = rest.removeprefix("name=").split()
        source = rest.partition("input=")[2]
        if sort == "output-node":
            return values[source.split()[0]][CONTEXT_FRAMES:-CONTEXT_FRAMES:3]
        component = rest.partition("component=")[2].split()[0]
        values[name] = _through(model, component, _input(source, values))
    raise AssertionError("the model has no output")


def _input(source: str, values: dict[str, np.ndarray]) -> np.ndarray:
    if source.startswith("Append("):
        assert source == "Append(Offset(input, -1), input, Offset(input, 1))"
        return np.hstack([_at(values["input"], offset) for offset in (-1, 0, 1)])
    if source.startswith("Sum("):
        scaled, plain = source.removeprefix("Sum(Scale(0.66, ").removesuffix(")").split("), ")
        return 0.66 * values[scaled] + values[plain]
    return values[source]


def _at(frames: np.ndarray, offset: int) -> np.ndarray:
    moved = np.full_like(frames, np.nan)
    for time in range(len(frames)):
        if 0 <= time + offset < len(frames):
            moved[time] = frames[time + offset]
    return moved


def _through(model: AcousticModelFile, name: str, frames: np.ndarray) -> np.ndarray:
    component = model.component(name)
    match component.type_token:
        case "<FixedAffineComponent>" | "<NaturalGradientAffineComponent>":
            return frames @ component.array("<LinearParams>").T + component.array("<BiasParams>")
        case "<LinearComponent>":
            return frames @ component.array("<Params>").T
        case "<TdnnComponent>":
            spliced = [_at(frames, offset) for offset in component.array("<TimeOffsets>")]
            product = np.hstack(spliced) @ component.array("<LinearParams>").T
            bias = component.array("<BiasParams>")
            return product + bias if len(bias) else product
        case "<RectifiedLinearComponent>":
            return np.maximum(frames, 0)
        case "<BatchNormComponent>":
            deviation = np.sqrt(component.array("<StatsVar>") + 1e-3)
            return (frames - component.array("<StatsMean>")) / deviation
        case "<GeneralDropoutComponent>" | "<NoOpComponent>":
            return frames
        case other:
            raise AssertionError(f"{name} is an unexpected {other}")


def _random_network() -> AcousticNetwork:
    torch.manual_seed(9)
    network = AcousticNetwork().eval()
    for layer in network.modules():
        if isinstance(layer, torch.nn.BatchNorm1d):
            layer.running_mean.uniform_(-0.2, 0.2)
            layer.running_var.uniform_(0.5, 2.0)
    return network


def test_an_exported_model_computes_what_the_network_does(tmp_path: Path) -> None:
    network = _random_network()
    write_model(model_of(network, read_model(CARRIED / "am/final.mdl")), tmp_path / "final.mdl")
    cepstra = np.random.default_rng(2).standard_normal((13 + 2 * CONTEXT_FRAMES, 40)) * 5
    written = _evaluated(read_model(tmp_path / "final.mdl"), cepstra)
    with torch.no_grad():
        heard = network(torch.from_numpy(cepstra[None]).float())[0].numpy()
    assert written.shape == heard.shape == (5, 3200)
    assert np.abs(heard).mean() > 0.01
    assert np.abs(written - heard).max() < 1e-4


def test_the_carried_model_comes_out_of_its_network_byte_for_byte(tmp_path: Path) -> None:
    model = read_model(CARRIED / "am/final.mdl")
    write_model(model_of(network_from_file(model), model), tmp_path / "final.mdl")
    assert (tmp_path / "final.mdl").read_bytes() == (CARRIED / "am/final.mdl").read_bytes()


HEAR = """
import json, sys, wave
import vosk
vosk.SetLogLevel(-1)
recogniser = vosk.KaldiRecognizer(vosk.Model(model_path=sys.argv[1]), 16000)
with wave.open(sys.argv[2]) as sound:
    recogniser.AcceptWaveform(sound.readframes(sound.getnframes()))
print(recogniser.FinalResult())
"""


def test_the_recogniser_hears_with_an_exported_model(tmp_path: Path) -> None:
    pytest.importorskip("vosk")
    av = pytest.importorskip("av")
    shutil.copytree(CARRIED, tmp_path / "model")
    carried = read_model(CARRIED / "am/final.mdl")
    network = network_from_file(carried)
    with torch.no_grad():
        network.first.bias.mul_(1.0001)  # not the same file, but the same ear
    write_model(model_of(network, carried), tmp_path / "model/am/final.mdl")
    _write_wave(av, ROOT / "corpora/speech/bought_feed.ogg", tmp_path / "sound.wav")
    heard = [
        subprocess.run(
            [sys.executable, "-c", HEAR, str(folder), str(tmp_path / "sound.wav")],
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for folder in (CARRIED, tmp_path / "model")
    ]
    texts = [json.loads(result)["text"] for result in heard]
    assert len(texts[0].split()) > 3
    assert texts[0] == texts[1]


def _write_wave(av: object, source: Path, target: Path) -> None:
    import wave

    resampler = av.AudioResampler("s16", "mono", 16_000)  # type: ignore[attr-defined]
    with av.open(str(source)) as container, wave.open(str(target), "wb") as sound:  # type: ignore[attr-defined]
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(16_000)
        for frame in container.decode(audio=0):
            for piece in resampler.resample(frame):
                sound.writeframes(piece.to_ndarray().tobytes())
