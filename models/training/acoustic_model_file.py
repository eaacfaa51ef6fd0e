"""What an acoustic model in Kaldi's binary form (`final.mdl`) holds, and how it is written.

First a transition model (topology, tuples, log-probabilities), then an nnet3 network: its graph as
lines of text, its components with their parameters, its context and its priors. What
`models.training.acoustic_model_reading` has read is written again byte for byte.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path

import numpy as np

BINARY_MARK = b"\0B"
FORWARD_ONLY_HMM = -1
"""Written before the entries where the self-loop has a pdf class of its own."""


class FieldKind(Enum):
    """How the value after a token is laid out."""

    FLAG = "nothing after the token"
    BOOLEAN = "T or F"
    MATRIX = "float matrix"
    VECTOR = "float vector"
    INTEGERS = "integer vector"
    FOUR_BYTES = "one integer or float"
    EIGHT_BYTES = "one double"
    TWO_NUMBERS = "two integers or floats"


Value = bool | np.ndarray | bytes | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A token of a component with what follows it."""

    token: str
    kind: FieldKind
    value: Value
    """An array, a truth value, the raw bytes of a number, or None for a flag."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One component of the network."""

    name: str
    type_token: str
    """With its brackets, such as `<BatchNormComponent>`."""
    fields: tuple[Field, ...]

    def array(self, token: str) -> np.ndarray:
        """The matrix or vector after `token`; raises KeyError when there is none."""
        for field in self.fields:
            if field.token == token and isinstance(field.value, np.ndarray):
                return field.value
        raise KeyError(f"{self.name} has no {token}")

    def with_arrays(self, arrays: dict[str, np.ndarray]) -> Component:
        """The same component with other values after the tokens named."""
        known = {field.token for field in self.fields}
        if missing := arrays.keys() - known:
            raise KeyError(f"{self.name} has no {', '.join(sorted(missing))}")
        fields = tuple(
            replace(field, value=arrays[field.token]) if field.token in arrays else field
            for field in self.fields
        )
        return replace(self, fields=fields)


@dataclass(frozen=True, slots=True, kw_only=True)
class HmmState:
    """A state of a phone's topology."""

    forward_class: int
    self_loop_class: int
    transitions: tuple[tuple[int, float], ...]
    """Next state and probability."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Topology:
    """The states of each phone."""

    phones: np.ndarray
    phone_to_entry: np.ndarray
    """By phone id; -1 for ids that are no phone."""
    self_loops_apart: bool
    """The self-loop of a state has its own pdf class."""
    entries: tuple[tuple[HmmState, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AcousticModelFile:
    """All that a `final.mdl` holds."""

    topology: Topology
    tuple_token: str
    """`<Tuples>` (phone, state, forward pdf, self-loop pdf) or `<Triples>` (one pdf)."""
    tuples: np.ndarray
    log_probabilities: np.ndarray
    """By transition id; the one at 0 is unused."""
    graph_lines: tuple[str, ...]
    components: tuple[Component, ...]
    left_context: int
    """Frames of 10 ms before the one that an output stands for."""
    right_context: int
    priors: np.ndarray
    rest: bytes
    """What follows the priors, as found."""

    def component(self, name: str) -> Component:
        """The component of that name; raises KeyError when there is none."""
        for component in self.components:
            if component.name == name:
                return component
        raise KeyError(f"the model has no component {name}")


def write_model(model: AcousticModelFile, path: Path) -> None:
    """Write the model, overwriting the file at `path`."""
    parts = [BINARY_MARK, *_topology_parts(model.topology)]
    parts += [_token(model.tuple_token), _integer(len(model.tuples))]
    parts += [_integer(number) for row in model.tuples.tolist() for number in row]
    parts += [_token("</" + model.tuple_token[1:]), _token("<LogProbs>")]
    parts += [_array(model.log_probabilities), _token("</LogProbs>"), _token("</TransitionModel>")]
    parts += [_token("<Nnet3>"), ("\n" + "\n".join(model.graph_lines) + "\n\n").encode()]
    parts += [_token("<NumComponents>"), _integer(len(model.components))]
    for component in model.components:
        parts += [_token("<ComponentName>"), _token(component.name), _token(component.type_token)]
        parts += [part for field in component.fields for part in _field_parts(field)]
        parts.append(_token("</" + component.type_token[1:]))
    parts += [_token("</Nnet3>"), _token("<LeftContext>"), _integer(model.left_context)]
    parts += [_token("<RightContext>"), _integer(model.right_context)]
    parts += [_token("<Priors>"), _array(model.priors), model.rest]
    path.write_bytes(b"".join(parts))


def _topology_parts(topology: Topology) -> list[bytes]:
    parts = [_token("<TransitionModel>"), _token("<Topology>")]
    parts += [_integers(topology.phones), _integers(topology.phone_to_entry)]
    if topology.self_loops_apart:
        parts.append(_integer(FORWARD_ONLY_HMM))
    parts.append(_integer(len(topology.entries)))
    for entry in topology.entries:
        parts.append(_integer(len(entry)))
        for state in entry:
            parts.append(_integer(state.forward_class))
            if topology.self_loops_apart:
                parts.append(_integer(state.self_loop_class))
            parts.append(_integer(len(state.transitions)))
            for target, probability in state.transitions:
                parts += [_integer(target), b"\x04" + struct.pack("<f", probability)]
    return [*parts, _token("</Topology>")]


def _field_parts(field: Field) -> list[bytes]:
    token = _token(field.token)
    match field.value:
        case None:
            return [token]
        case bool():
            return [token, b"T" if field.value else b"F"]
        case bytes():
            return [token, field.value]
        case _ if field.kind is FieldKind.INTEGERS:
            return [token, _integers(field.value)]
        case _:
            return [token, _array(field.value)]


def _token(text: str) -> bytes:
    return text.encode("ascii") + b" "


def _integer(number: int) -> bytes:
    return b"\x04" + struct.pack("<i", number)


def _integers(numbers: np.ndarray) -> bytes:
    return _integer(len(numbers)) + np.ascontiguousarray(numbers, "<i4").tobytes()


def _array(values: np.ndarray) -> bytes:
    values = np.ascontiguousarray(values, "<f4")
    mark = b"FV " if values.ndim == 1 else b"FM "
    return mark + b"".join(_integer(size) for size in values.shape) + values.tobytes()
