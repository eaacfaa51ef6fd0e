"""Groups of small operations made into one: fewer launches on a graphics card."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from float_graph import Graph, Node


def fuse(graph: Graph) -> None:
    """Fuse norms, periodic activations and products with constants, in place."""
    _fuse_norms(graph)
    _fuse_affine(graph)
    _fuse_snakes(graph)
    _fuse_biases(graph)
    _join_linears(graph)
    graph.drop_unused()


def _replace(graph: Graph, replaced: dict[int, Node]) -> None:
    """Put new nodes in the place of those whose identity is given."""
    graph.nodes = [replaced.get(id(node), node) for node in graph.nodes]
    graph.drop_unused()


def _constant_number(graph: Graph, name: str) -> float | None:
    value = graph.constants.get(name)
    return float(value.item()) if value is not None and value.size == 1 else None


def _fuse_norms(graph: Graph) -> None:
    """(x - mean) / sqrt(mean((x - mean)²) + eps) over time becomes InstanceNorm."""
    makers = graph.makers()
    replaced = {}
    for node in graph.nodes:
        if node.kind != "Div":
            continue
        steps = [makers.get(name) for name in node.inputs]
        kinds = [step.kind if step else "" for step in steps]
        if kinds != ["Sub", "Sqrt"]:
            continue
        centred, root = steps
        assert centred is not None
        assert root is not None
        mean = makers.get(centred.inputs[1])
        shifted = makers.get(root.inputs[0])
        if mean is None or mean.kind != "ReduceMean" or mean.inputs[0] != centred.inputs[0]:
            continue
        if shifted is None or shifted.kind != "Add":
            continue
        axes = graph.constants.get(mean.inputs[1])
        epsilon = _constant_number(graph, shifted.inputs[1])
        if axes is None or axes.tolist() != [2] or epsilon is None:
            continue
        replaced[id(node)] = Node(
            kind="InstanceNorm",
            inputs=(centred.inputs[0],),
            outputs=node.outputs,
            attributes={"epsilon": epsilon},
        )
    _replace(graph, replaced)


def _fuse_affine(graph: Graph) -> None:
    """scale * InstanceNorm(x) + shift becomes one InstanceNorm with weights."""
    makers = graph.makers()
    replaced = {}
    for node in graph.nodes:
        if node.kind != "Add":
            continue
        scaled = makers.get(node.inputs[0])
        if scaled is None or scaled.kind != "Mul":
            continue
        norm = makers.get(scaled.inputs[1])
        if norm is None or norm.kind != "InstanceNorm" or len(norm.inputs) != 1:
            continue
        replaced[id(node)] = Node(
            kind="InstanceNorm",
            inputs=(norm.inputs[0], scaled.inputs[0], node.inputs[1]),
            outputs=node.outputs,
            attributes=norm.attributes,
        )
    _replace(graph, replaced)


def _fuse_snakes(graph: Graph) -> None:
    """x + b * sin(a * x)² becomes Snake(x, a, b)."""
    makers = graph.makers()
    replaced = {}
    for node in graph.nodes:
        if node.kind != "Add":
            continue
        wave = makers.get(node.inputs[1])
        if wave is None or wave.kind != "Mul":
            continue
        chain = [wave]
        for kind, at in (("Pow", 1), ("Sin", 0), ("Mul", 0)):
            step = makers.get(chain[-1].inputs[at])
            if step is None or step.kind != kind:
                break
            chain.append(step)
        if len(chain) != 4 or _constant_number(graph, chain[1].inputs[1]) != 2:
            continue
        if chain[3].inputs[1] != node.inputs[0]:
            continue
        replaced[id(node)] = Node(
            kind="Snake",
            inputs=(node.inputs[0], chain[3].inputs[0], wave.inputs[0]),
            outputs=node.outputs,
        )
    _replace(graph, replaced)


def _fuse_biases(graph: Graph) -> None:
    """x @ W, and + b where the product goes nowhere else, becomes Linear(x, W, b)."""
    users = graph.users()
    replaced = {}
    for node in graph.nodes:
        weight = graph.constants.get(node.inputs[1]) if node.kind == "MatMul" else None
        if weight is None or weight.ndim != 2:
            continue
        linear = Node(kind="Linear", inputs=node.inputs, outputs=node.outputs)
        after = users[node.outputs[0]]
        if len(after) == 1 and after[0].kind == "Add":
            others = [name for name in after[0].inputs if name != node.outputs[0]]
            bias = graph.constants.get(others[0]) if others else None
            if bias is not None and bias.shape == weight.shape[1:]:
                linear = Node(
                    kind="Linear",
                    inputs=(*node.inputs, others[0]),
                    outputs=after[0].outputs,
                )
                replaced[id(after[0])] = linear
                continue
        replaced[id(node)] = linear
    _replace(graph, replaced)


def _join_linears(graph: Graph) -> None:
    """Linears that take the same value become one, whose result is split."""
    groups: dict[str, list[Node]] = defaultdict(list)
    for node in graph.nodes:
        if node.kind == "Linear" and len(node.inputs) == 3:
            groups[node.inputs[0]].append(node)
    pairs: dict[int, list[Node]] = {}
    joined: set[int] = set()
    for source, group in groups.items():
        if len(group) == 1:
            continue
        weights = [graph.constants[node.inputs[1]] for node in group]
        # Layers that share their weights share the joined ones too.
        name = " and ".join(node.inputs[1] for node in group)
        bias = " and ".join(node.inputs[2] for node in group)
        graph.constants.setdefault(name, np.concatenate(weights, axis=1))
        graph.constants.setdefault(
            bias, np.concatenate([graph.constants[node.inputs[2]] for node in group])
        )
        sizes = f"widths of {name}"
        graph.constants[sizes] = np.array([weight.shape[1] for weight in weights])
        whole = f"{source} through {name}"
        pairs[id(group[0])] = [
            Node(kind="Linear", inputs=(source, name, bias), outputs=(whole,)),
            Node(
                kind="Split",
                inputs=(whole, sizes),
                outputs=tuple(node.outputs[0] for node in group),
                attributes={"axis": -1},
            ),
        ]
        joined.update(id(node) for node in group)
    nodes = []
    for node in graph.nodes:
        nodes.extend(pairs.get(id(node), [] if id(node) in joined else [node]))
    graph.nodes = nodes
