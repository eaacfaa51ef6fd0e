"""Model files are written as they were read, and anything else is refused with a reason."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from models.training.acoustic_model_file import write_model
from models.training.acoustic_model_reading import UnreadableModelError, read_model

CARRIED = Path(__file__).parents[4] / "models" / "english-small" / "am" / "final.mdl"


def test_the_carried_model_is_written_byte_for_byte_as_it_was_read(tmp_path: Path) -> None:
    write_model(read_model(CARRIED), tmp_path / "final.mdl")
    assert (tmp_path / "final.mdl").read_bytes() == CARRIED.read_bytes()


def test_what_the_carried_model_holds() -> None:
    model = read_model(CARRIED)
    assert len(model.topology.phones) == 157
    assert model.tuples.shape == (157 * 40, 4)
    assert (model.left_context, model.right_context) == (34, 34)
    assert model.component("output.affine").array("<LinearParams>").shape == (3200, 64)
    assert model.component("tdnnf6.linear").array("<TimeOffsets>").tolist() == [-3, 0]


def test_parameters_are_replaced_and_nothing_else() -> None:
    model = read_model(CARRIED)
    component = model.component("output.affine")
    bias = np.arange(3200, dtype=np.float32)
    changed = component.with_arrays({"<BiasParams>": bias})
    assert np.array_equal(changed.array("<BiasParams>"), bias)
    weights = component.array("<LinearParams>")
    assert np.array_equal(changed.array("<LinearParams>"), weights)
    with pytest.raises(KeyError, match="StatsMean"):
        component.with_arrays({"<StatsMean>": bias})
    with pytest.raises(KeyError, match="tdnnf99"):
        model.component("tdnnf99")


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "mark of a binary Kaldi file"),
        (b"\0B<HmmTopology> ", "<TransitionModel> instead of <HmmTopology>"),
        (b"\0B<TransitionModel> <Topology> \x08\0\0\0\0", "a number of four bytes at byte 31"),
    ],
)
def test_another_file_is_refused_with_its_place(
    tmp_path: Path, content: bytes, reason: str
) -> None:
    path = tmp_path / "final.mdl"
    path.write_bytes(content)
    with pytest.raises(UnreadableModelError, match=reason):
        read_model(path)
