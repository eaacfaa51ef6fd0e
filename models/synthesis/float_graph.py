"""An ONNX graph whose int8 arithmetic has been turned back into floats.

Dynamic quantisation replaces one float operation by a handful of integer ones; here each handful
becomes the one float operation again, with weights dequantised once.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import onnx
from onnx import numpy_helper


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """One operation of the graph."""

    kind: str
    """The ONNX name of the operation, or one of this module's own: Linear, InstanceNorm, Snake."""
    inputs: tuple[str, ...]
    """Names of values; an empty name is an argument that was left out."""
    outputs: tuple[str, ...]
    attributes: dict[str, Any] = field(default_factory=dict)


@dataclass(slots=True, kw_only=True)
class Graph:
    """Nodes in an order in which they can be run, and what they begin from."""

    nodes: list[Node]
    constants: dict[str, np.ndarray]
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]

    def makers(self) -> dict[str, Node]:
        """The node that makes each value."""
        return {name: node for node in self.nodes for name in node.outputs}

    def users(self) -> dict[str, list[Node]]:
        """The nodes that use each value."""
        users: dict[str, list[Node]] = defaultdict(list)
        for node in self.nodes:
            for name in dict.fromkeys(node.inputs):
                users[name].append(node)
        return users

    def drop_unused(self) -> None:
        """Take out whatever no output rests on."""
        wanted = set(self.outputs)
        kept = []
        for node in reversed(self.nodes):
            if wanted.intersection(node.outputs):
                kept.append(node)
                wanted.update(node.inputs)
        self.nodes = kept[::-1]
        self.constants = {name: v for name, v in self.constants.items() if name in wanted}


def read_graph(model: bytes) -> Graph:
    """The graph of an ONNX file, as it is.

    Raises ValueError for a graph with branches or loops inside.
    """
    proto = onnx.load_from_string(model).graph
    nodes = []
    for node in proto.node:
        attributes = {a.name: onnx.helper.get_attribute_value(a) for a in node.attribute}
        if any(isinstance(value, onnx.GraphProto) for value in attributes.values()):
            raise ValueError(f"{node.op_type} {node.name} holds a graph of its own")
        tensors = {
            name: numpy_helper.to_array(value)
            for name, value in attributes.items()
            if isinstance(value, onnx.TensorProto)
        }
        nodes.append(
            Node(
                kind=node.op_type,
                inputs=tuple(node.input),
                outputs=tuple(node.output),
                attributes=attributes | tensors,
            )
        )
    return Graph(
        nodes=nodes,
        constants={tensor.name: numpy_helper.to_array(tensor) for tensor in proto.initializer},
        inputs=tuple(value.name for value in proto.input),
        outputs=tuple(value.name for value in proto.output),
    )


def make_float(graph: Graph) -> None:
    """Turn every quantised operation of the graph into its float one, in place."""
    rewriter = _Dequantiser(graph)
    graph.nodes = [rewriter.rewritten(node) for node in graph.nodes]
    graph.drop_unused()


class _Dequantiser:
    """Finds what belongs to one quantised operation. A node that is taken into another stays
    where it was, unused, until `drop_unused`."""

    def __init__(self, graph: Graph) -> None:
        self._constants = graph.constants
        self._makers = graph.makers()
        self._users = graph.users()

    def rewritten(self, node: Node) -> Node:
        if node.kind == "Mul" and self._integer_product(node) is not None:
            return self._float_product(node)
        if node.kind == "DequantizeLinear":
            return self._float_lookup(node)
        if node.kind == "DynamicQuantizeLSTM":
            return self._float_lstm(node)
        return node

    def _integer_product(self, scaled: Node) -> Node | None:
        """The integer convolution or product whose result this multiplication scales back."""
        cast = self._makers.get(scaled.inputs[0])
        if cast is None or cast.kind != "Cast":
            return None
        product = self._makers.get(cast.inputs[0])
        if product is not None and product.kind == "Add":  # a bias, in integers
            product = self._makers.get(product.inputs[0])
        if product is None or product.kind not in ("ConvInteger", "MatMulInteger"):
            return None
        return product

    def _float_product(self, scaled: Node) -> Node:
        product = self._integer_product(scaled)
        assert product is not None
        scale = self._makers[scaled.inputs[1]]  # scale of the input times scale of the weights
        source = self._makers[product.inputs[0]].inputs[0]
        weight = self._dequantised(product.inputs[1], product.inputs[3], scale.inputs[1])
        inputs = [source, weight]
        bias = self._bias(self._makers[self._makers[scaled.inputs[0]].inputs[0]])
        if bias is not None:
            inputs.append(bias)
        kind = "Conv" if product.kind == "ConvInteger" else "MatMul"
        return Node(
            kind=kind, inputs=tuple(inputs), outputs=scaled.outputs, attributes=product.attributes
        )

    def _bias(self, sum_with_bias: Node) -> str | None:
        """The bias as it was before it was divided by the scale, rounded and reshaped."""
        if sum_with_bias.kind != "Add":
            return None
        maker = self._makers[sum_with_bias.inputs[1]]
        while maker.kind != "Div":
            maker = self._makers[maker.inputs[0]]
        return maker.inputs[0]

    def _dequantised(self, weight: str, zero: str, scale: str) -> str:
        """The name of the float weights; weights shared by several layers stay shared."""
        name = f"{weight} in floats by {zero} and {scale}"
        if name not in self._constants:
            whole = self._constants[weight].astype(np.float32)
            # One scale and zero for all, or one for every column of a matrix.
            whole -= self._constants[zero].astype(np.float32)
            self._constants[name] = whole * self._constants[scale]
        return name

    def _float_lookup(self, node: Node) -> Node:
        """Rows looked up in a table of integers become rows of the table in floats."""
        lookup = self._makers[node.inputs[0]]
        table = self._dequantised(lookup.inputs[0], node.inputs[2], node.inputs[1])
        return Node(
            kind="Gather",
            inputs=(table, lookup.inputs[1]),
            outputs=node.outputs,
            attributes=lookup.attributes,
        )

    def _float_lstm(self, node: Node) -> Node:
        weights = [
            self._lstm_weights(node.inputs[at], node.inputs[scale], node.inputs[scale + 1])
            for at, scale in ((1, 8), (2, 10))
        ]
        return Node(
            kind="LSTM",
            inputs=(node.inputs[0], *weights, node.inputs[3]),
            outputs=node.outputs[:1],
            attributes=node.attributes,
        )

    def _lstm_weights(self, weight: str, scale: str, zero: str) -> str:
        """Weights as (directions, gates, inputs): the quantised ones lie the other way round."""
        name = f"{weight} in floats, turned"
        whole = self._constants[weight].astype(np.float32)
        shape = (-1, 1, 1)  # one scale and zero for each direction
        whole = whole - self._constants[zero].astype(np.float32).reshape(shape)
        whole = whole * self._constants[scale].reshape(shape)
        self._constants[name] = np.ascontiguousarray(whole.transpose(0, 2, 1))
        return name
