"""An int8 graph run in floats, against onnxruntime running it in integers."""

import numpy as np
import pytest

torch = pytest.importorskip("torch")
onnx = pytest.importorskip("onnx")
onnxruntime = pytest.importorskip("onnxruntime")

from layer_operations import doubled, torch_lstm  # noqa: E402
from onnx import TensorProto, helper, numpy_helper  # noqa: E402
from onnx_in_torch import Plan  # noqa: E402

CHANNELS, WIDTH = 6, 5
FLOAT, INT32, INT64 = TensorProto.FLOAT, TensorProto.INT32, TensorProto.INT64


def constant(name, value, kind=np.float32):
    return numpy_helper.from_array(np.asarray(value, dtype=kind), name)


def model(nodes, constants, inputs, output):
    graph = helper.make_graph(
        nodes,
        "test",
        [helper.make_tensor_value_info(name, kind, shape) for name, kind, shape in inputs],
        [helper.make_tensor_value_info(output, FLOAT, None)],
        constants,
    )
    made = helper.make_model(graph, opset_imports=[helper.make_opsetid("", 20)], ir_version=9)
    return made.SerializeToString()


def both(content, **inputs):
    session = onnxruntime.InferenceSession(content, providers=["CPUExecutionProvider"])
    return session.run(None, inputs)[0], Plan(content, "cpu").run(**inputs).numpy()


def quantised_conv():
    """x -> int8 convolution with a bias -> instance norm with weights from a style."""
    chance = np.random.default_rng(3)
    node = helper.make_node
    nodes = [
        node("DynamicQuantizeLinear", ["x"], ["q", "s", "z"]),
        node("ConvInteger", ["q", "w", "z", "wz"], ["whole"], kernel_shape=[3], pads=[1, 1]),
        node("Mul", ["s", "ws"], ["scale"]),
        node("Div", ["b", "scale"], ["b1"]),
        node("Floor", ["b1"], ["b2"]),
        node("Cast", ["b2"], ["b3"], to=INT32),
        node("Reshape", ["b3", "column"], ["b4"]),
        node("Add", ["whole", "b4"], ["sum"]),
        node("Cast", ["sum"], ["float"], to=FLOAT),
        node("Mul", ["float", "scale"], ["conv"]),
        node("ReduceMean", ["conv", "axis"], ["mean"], keepdims=1),
        node("Sub", ["conv", "mean"], ["centred"]),
        node("Mul", ["centred", "centred"], ["square"]),
        node("ReduceMean", ["square", "axis"], ["variance"], keepdims=1),
        node("Add", ["variance", "epsilon"], ["safe"]),
        node("Sqrt", ["safe"], ["root"]),
        node("Div", ["centred", "root"], ["norm"]),
        node("DynamicQuantizeLinear", ["style"], ["qs", "ss", "zs"]),
        node("MatMulInteger", ["qs", "v", "zs", "vz"], ["wholes"]),
        node("Cast", ["wholes"], ["floats"], to=FLOAT),
        node("Mul", ["ss", "vs"], ["scales"]),
        node("Mul", ["floats", "scales"], ["product"]),
        node("Add", ["product", "vb"], ["weights"]),
        node("Unsqueeze", ["weights", "axis"], ["column_weights"]),
        node("Split", ["column_weights", "halves"], ["gamma", "beta"], axis=1),
        node("Mul", ["gamma", "norm"], ["scaled"]),
        node("Add", ["scaled", "beta"], ["y"]),
    ]
    constants = [
        constant("w", chance.integers(0, 255, (CHANNELS, CHANNELS, 3)), np.uint8),
        constant("wz", 120, np.uint8),
        constant("ws", 0.01),
        constant("b", chance.normal(size=CHANNELS)),
        constant("column", [1, -1, 1], np.int64),
        constant("axis", [2], np.int64),
        constant("epsilon", 1e-5),
        constant("v", chance.integers(-127, 127, (WIDTH, 2 * CHANNELS)), np.int8),
        constant("vz", np.zeros(2 * CHANNELS), np.int8),
        constant("vs", chance.uniform(0.005, 0.02, 2 * CHANNELS)),
        constant("vb", chance.normal(size=2 * CHANNELS)),
        constant("halves", [CHANNELS, CHANNELS], np.int64),
    ]
    shapes = [
        ("tokens", INT64, [1]),
        ("x", FLOAT, [1, CHANNELS, None]),
        ("style", FLOAT, [1, WIDTH]),
    ]
    return model(nodes, constants, shapes, "y")


@pytest.mark.parametrize("length", [7, 40])
def test_int8_arithmetic_in_floats_is_close_to_the_integers(length):
    chance = np.random.default_rng(length)
    inputs = {
        "tokens": np.array([1]),
        "x": chance.normal(size=(1, CHANNELS, length)).astype(np.float32),
        "style": chance.normal(size=(1, WIDTH)).astype(np.float32),
    }
    integers, floats = both(quantised_conv(), **inputs)
    assert floats.shape == integers.shape
    # Eight bits for a signal of about ±3 leave steps of 0.025, several of which add up.
    assert np.abs(floats - integers).mean() < 0.03
    assert np.corrcoef(floats.ravel(), integers.ravel())[0, 1] > 0.999


def test_counts_of_the_graph_can_be_amended():
    """Lengths that the graph works out for itself come to the host, where they may be changed."""
    node = helper.make_node
    content = model(
        [
            node("Sin", ["x"], ["sin"]),
            node("ReduceSum", ["sin", "axis"], ["sum"], keepdims=0),
            node("Round", ["sum"], ["round"]),
            node("Cast", ["round"], ["count"], to=INT64),
            node("Gather", ["count", "first"], ["number"]),
            node("Range", ["zero", "number", "one"], ["row"]),
            node("Cast", ["row"], ["y"], to=FLOAT),
            node("Mul", ["y", "sum"], ["product"]),
        ],
        [
            constant("axis", [1], np.int64),
            constant("first", 0, np.int64),
            constant("zero", 0, np.int64),
            constant("one", 1, np.int64),
        ],
        [("tokens", INT64, [1]), ("x", FLOAT, [1, None])],
        "product",
    )
    inputs = {"tokens": np.array([1]), "x": np.full((1, 5), np.pi / 2, np.float32)}
    assert Plan(content, "cpu").run(**inputs).tolist() == [0, 5, 10, 15, 20]
    plan = Plan(content, "cpu", lambda counts: counts + 2)
    assert plan.run(**inputs).shape == (7,)


def test_an_unknown_operation_is_named():
    content = model(
        [helper.make_node("Erf", ["x"], ["y"])],
        [],
        [("tokens", INT64, [1]), ("x", FLOAT, [2])],
        "y",
    )
    with pytest.raises(ValueError, match="Erf"):
        Plan(content, "cpu")


def test_an_lstm_keeps_its_gates_in_their_order():
    chance = np.random.default_rng(1)
    hidden, width = 4, 3
    weights = chance.normal(size=(2, 4 * hidden, width)).astype(np.float32)
    recurrent = chance.normal(size=(2, 4 * hidden, hidden)).astype(np.float32)
    bias = chance.normal(size=(2, 8 * hidden)).astype(np.float32)
    node = helper.make_node(
        "LSTM", ["x", "w", "r", "b"], ["y"], hidden_size=hidden, direction="bidirectional"
    )
    constants = [constant("w", weights), constant("r", recurrent), constant("b", bias)]
    content = model([node], constants, [("x", FLOAT, [None, 1, width])], "y")
    value = chance.normal(size=(9, 1, width)).astype(np.float32)
    session = onnxruntime.InferenceSession(content, providers=["CPUExecutionProvider"])
    expected = session.run(None, {"x": value})[0]
    got, _ = torch_lstm(weights, recurrent, bias, hidden)(torch.from_numpy(value))
    got = got.view(9, 1, 2, hidden).transpose(1, 2).numpy()
    assert np.allclose(got, expected, atol=1e-5)


def test_doubling_is_the_transposed_convolution():
    chance = torch.Generator().manual_seed(1)
    value = torch.randn(1, 5, 11, generator=chance)
    weight = torch.randn(5, 1, 3, generator=chance)
    bias = torch.randn(5, generator=chance)
    expected = torch.conv_transpose1d(value, weight, bias, 2, 1, 1, 5)
    assert torch.allclose(doubled(value, weight, bias), expected, atol=1e-6)
