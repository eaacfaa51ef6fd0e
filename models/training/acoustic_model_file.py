"""Read and write an acoustic model in Kaldi's binary form (`final.mdl`), byte for byte.

The file holds a transition model (topology, tuples, log-probabilities) and then an nnet3 network:
its graph as lines of text, its components with their parameters, its context and its priors.
Only what chain models use is read; anything else raises `UnreadableModelError` with its place.
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
TWO_VALUES = ("<AlphaInOut>", "<RankInOut>")
"""Tokens followed by two numbers instead of one."""


class UnreadableModelError(ValueError):
    """The file is no model of the kind that is read here; the message says where it differs."""


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


def read_model(path: Path) -> AcousticModelFile:
    """Read a binary `final.mdl`. Raises UnreadableModelError for another kind of file."""
    reader = _Reader(path.read_bytes(), str(path))
    reader.expect_mark()
    reader.expect("<TransitionModel>", "<Topology>")
    topology = _read_topology(reader)
    reader.expect("</Topology>")
    tuple_token = reader.token()
    width = 4 if tuple_token == "<Tuples>" else 3
    count = reader.integer()
    tuples = np.array([[reader.integer() for _ in range(width)] for _ in range(count)], np.int32)
    reader.expect("</" + tuple_token[1:], "<LogProbs>")
    log_probabilities = reader.array()
    reader.expect("</LogProbs>", "</TransitionModel>", "<Nnet3>")
    graph_lines = reader.lines()
    reader.expect("<NumComponents>")
    components = tuple(_read_component(reader) for _ in range(reader.integer()))
    reader.expect("</Nnet3>", "<LeftContext>")
    left_context = reader.integer()
    reader.expect("<RightContext>")
    right_context = reader.integer()
    reader.expect("<Priors>")
    return AcousticModelFile(
        topology=topology,
        tuple_token=tuple_token,
        tuples=tuples,
        log_probabilities=log_probabilities,
        graph_lines=graph_lines,
        components=components,
        left_context=left_context,
        right_context=right_context,
        priors=reader.array(),
        rest=reader.rest(),
    )


def _read_topology(reader: _Reader) -> Topology:
    phones = reader.integers()
    phone_to_entry = reader.integers()
    count = reader.integer()
    apart = count == FORWARD_ONLY_HMM
    if apart:
        count = reader.integer()
    entries = tuple(
        tuple(_read_state(reader, apart) for _ in range(reader.integer())) for _ in range(count)
    )
    return Topology(
        phones=phones, phone_to_entry=phone_to_entry, self_loops_apart=apart, entries=entries
    )


def _read_state(reader: _Reader, apart: bool) -> HmmState:
    forward = reader.integer()
    self_loop = reader.integer() if apart else forward
    transitions = tuple((reader.integer(), reader.real()) for _ in range(reader.integer()))
    return HmmState(forward_class=forward, self_loop_class=self_loop, transitions=transitions)


def _read_component(reader: _Reader) -> Component:
    reader.expect("<ComponentName>")
    name = reader.token()
    type_token = reader.token()
    end = "</" + type_token[1:]
    fields: list[Field] = []
    while (token := reader.token()) != end:
        kind = reader.kind_of_next(token)
        fields.append(Field(token=token, kind=kind, value=reader.value(kind)))
    return Component(name=name, type_token=type_token, fields=tuple(fields))


class _Reader:
    """Walks through the bytes of a model."""

    def __init__(self, content: bytes, source: str) -> None:
        self._content = content
        self._source = source
        self._at = 0

    def expect_mark(self) -> None:
        if not self._content.startswith(BINARY_MARK):
            raise self._fault("the mark of a binary Kaldi file")
        self._at = len(BINARY_MARK)

    def expect(self, *tokens: str) -> None:
        for token in tokens:
            if (found := self.token()) != token:
                raise self._fault(f"{token} instead of {found}")

    def token(self) -> str:
        while self._content[self._at : self._at + 1] in (b" ", b"\n"):
            self._at += 1
        end = self._at
        while end < len(self._content) and self._content[end] not in b" \n":
            end += 1
        token = self._content[self._at : end].decode("ascii", "replace")
        self._at = end + 1
        return token

    def integer(self) -> int:
        return int(struct.unpack("<i", self._number())[0])

    def real(self) -> float:
        return float(struct.unpack("<f", self._number())[0])

    def _number(self) -> bytes:
        if self._content[self._at : self._at + 1] != b"\x04":
            raise self._fault("a number of four bytes")
        self._at += 5
        return self._content[self._at - 4 : self._at]

    def integers(self) -> np.ndarray:
        count = self.integer()  # The leading 4 is the size of one item, the count follows it bare.
        return self._bare(count, "<i4")

    def array(self) -> np.ndarray:
        mark = self._content[self._at : self._at + 3]
        self._at += 3
        if mark == b"FV ":
            return self._bare(self.integer(), "<f4")
        if mark == b"FM ":
            rows, columns = self.integer(), self.integer()
            return self._bare(rows * columns, "<f4").reshape(rows, columns)
        raise self._fault(f"a float matrix or vector, found {mark!r}")

    def _bare(self, count: int, dtype: str) -> np.ndarray:
        values = np.frombuffer(self._content, dtype, count, self._at).copy()
        self._at += 4 * count
        return values

    def lines(self) -> tuple[str, ...]:
        end = self._content.index(b"\n\n", self._at)
        text = self._content[self._at : end].decode("ascii")
        self._at = end + 2
        return tuple(text.strip().split("\n"))

    def rest(self) -> bytes:
        return self._content[self._at :]

    def kind_of_next(self, token: str) -> FieldKind:
        ahead = self._content[self._at : self._at + 6]
        if token in TWO_VALUES:
            return FieldKind.TWO_NUMBERS
        if ahead[:1] == b"<":
            return FieldKind.FLAG
        if ahead[:1] in (b"T", b"F") and ahead[1:2] == b"<":
            return FieldKind.BOOLEAN
        if ahead[:2] in (b"FM", b"FV"):
            return FieldKind.MATRIX if ahead[:2] == b"FM" else FieldKind.VECTOR
        if ahead[:1] == b"\x08":
            return FieldKind.EIGHT_BYTES
        if ahead[:1] == b"\x04":
            # A lone number is followed by the next token, a vector's count by its items.
            return FieldKind.FOUR_BYTES if ahead[5:6] == b"<" else FieldKind.INTEGERS
        raise self._fault(f"a value of a known kind after {token}, found {ahead!r}")

    def value(self, kind: FieldKind) -> Value:
        if kind is FieldKind.FLAG:
            return None
        if kind in (FieldKind.MATRIX, FieldKind.VECTOR):
            return self.array()
        if kind is FieldKind.INTEGERS:
            return self.integers()
        length = {FieldKind.BOOLEAN: 1, FieldKind.EIGHT_BYTES: 9, FieldKind.TWO_NUMBERS: 10}
        start = self._at
        self._at += length.get(kind, 5)
        raw = self._content[start : self._at]
        return raw == b"T" if kind is FieldKind.BOOLEAN else raw

    def _fault(self, expected: str) -> UnreadableModelError:
        return UnreadableModelError(
            f"{self._source} cannot be read as an acoustic model: expected {expected} at byte "
            f"{self._at}. Give a binary nnet3 chain model (am/final.mdl of a Vosk model)."
        )


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
