"""Write a trained network as the acoustic model that Vosk loads.

    python -m models.training.export network.pt am/final.mdl [--frame OTHER/am/final.mdl]

The settings of the components are those of the frame, a model of the same shape; its parameters,
its outputs and its phones are replaced, and its speaker vector and training branch left out.
"""

from __future__ import annotations

import argparse
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import torch

from models.training.acoustic_model_file import (
    AcousticModelFile,
    Component,
    HmmState,
    Topology,
    write_model,
)
from models.training.acoustic_model_reading import read_model
from models.training.network import (
    CONTEXT_FRAMES,
    AcousticNetwork,
    arrays_of,
    layers_by_component,
)
from voicelog.hearing.building.phones import PHONE_COUNT, transition_states

CARRIED_MODEL = Path(__file__).parents[1] / "english-small" / "am" / "final.mdl"
TRAINING_BRANCH = "xent"
SPEAKER_INPUT = "name=ivector"
SPEAKER_PART = ", ReplaceIndex(ivector, t, 0)"


def model_of(network: AcousticNetwork, frame: AcousticModelFile) -> AcousticModelFile:
    """The model file of a network, its components set as in `frame`."""
    layers = layers_by_component(network)
    components: list[Component] = []
    for component in frame.components:
        if TRAINING_BRANCH in component.name:
            continue
        if component.name == "lda":
            component = component.with_arrays(
                {
                    "<LinearParams>": network.splice_weight.cpu().numpy(),
                    "<BiasParams>": network.splice_bias.cpu().numpy(),
                }
            )
        elif component.name in layers:
            component = component.with_arrays(arrays_of(layers[component.name], component))
        components.append(component)
    lines = [line.replace(SPEAKER_PART, "") for line in frame.graph_lines]
    states = [
        (state.phone, 0, state.forward_output, state.loop_output) for state in transition_states()
    ]
    return replace(
        frame,
        topology=_topology(),
        tuple_token="<Tuples>",
        tuples=np.array(states, dtype=np.int32),
        log_probabilities=np.array([0.0, *[math.log(0.5)] * (2 * len(states))], dtype=np.float32),
        graph_lines=tuple(
            line for line in lines if TRAINING_BRANCH not in line and SPEAKER_INPUT not in line
        ),
        components=tuple(components),
        left_context=CONTEXT_FRAMES,
        right_context=CONTEXT_FRAMES,
    )


def _topology() -> Topology:
    """One state a phone, left or kept with the same probability."""
    state = HmmState(forward_class=0, self_loop_class=1, transitions=((0, 0.5), (1, 0.5)))
    end = HmmState(forward_class=-1, self_loop_class=-1, transitions=())
    return Topology(
        phones=np.arange(1, PHONE_COUNT + 1, dtype=np.int32),
        phone_to_entry=np.array([-1, *[0] * PHONE_COUNT], dtype=np.int32),
        self_loops_apart=True,
        entries=((state, end),),
    )


def load_network(path: Path) -> AcousticNetwork:
    """A network saved by training."""
    network = AcousticNetwork()
    parameters = torch.load(path, map_location="cpu", weights_only=True)
    network.load_state_dict(parameters)
    return network.eval()


def main() -> None:
    """Read the command line and write the file that it names."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("network", type=Path, help="parameters saved by models.training.train")
    parser.add_argument("model", type=Path, help="the file to write, such as am/final.mdl")
    parser.add_argument("--frame", type=Path, default=CARRIED_MODEL)
    options = parser.parse_args()
    options.model.parent.mkdir(parents=True, exist_ok=True)
    write_model(model_of(load_network(options.network), read_model(options.frame)), options.model)


if __name__ == "__main__":
    main()
