"""Read an acoustic model in Kaldi's binary form.

Only what chain models use is read; anything else raises `UnreadableModelError` with its place.
"""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np

from models.training.acoustic_model_file import (
    BINARY_MARK,
    FORWARD_ONLY_HMM,
    AcousticModelFile,
    Component,
    Field,
    FieldKind,
    HmmState,
    Topology,
    Value,
)

TWO_VALUES = ("<AlphaInOut>", "<RankInOut>")
"""Tokens followed by two numbers instead of one."""


class UnreadableModelError(ValueError):
    """The file is no model of the kind that is read here; the message says where it differs."""


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
