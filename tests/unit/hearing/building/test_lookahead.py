"""Sets of labels are kept as few intervals."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from voicelog.hearing.building.lookahead import EVERY, LabelSets, label_sets


def members(sets: LabelSets, which: int) -> list[int]:
    found: list[int] = []
    for place in range(sets.offsets[which], sets.offsets[which + 1]):
        found += range(sets.begins[place], sets.ends[place])
    return found


@given(st.lists(st.tuples(st.integers(1, 5), st.integers(1, 20)), max_size=60))
def test_each_set_has_its_labels_in_order_and_as_few_intervals_as_can_be(
    pairs: list[tuple[int, int]],
) -> None:
    owners = np.array([owner for owner, _ in pairs], dtype=np.int64)
    labels = np.array([label for _, label in pairs], dtype=np.int64)
    sets = label_sets(np.arange(6), owners, labels, sets=6, words=20)
    for which in range(1, 6):
        expected = sorted({label for owner, label in pairs if owner == which})
        assert members(sets, which) == expected
        runs = sum(label - 1 not in expected for label in expected)
        assert sets.offsets[which + 1] - sets.offsets[which] == runs


def test_the_set_of_all_includes_the_end_of_the_sentence() -> None:
    nothing = np.zeros(0, dtype=np.int64)
    sets = label_sets(np.zeros(3, dtype=np.int64), nothing, nothing, sets=1, words=4)
    assert members(sets, EVERY) == [1, 2, 3, 4, 5]
    assert sets.final_label == 5
