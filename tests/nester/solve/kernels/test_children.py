"""Scores of the beam search's nodes: pencil cases on a board of 100 by 20 cells, kerf 1."""

import numpy as np
import pytest

from nester.solve.kernels import children
from nester.solve.kernels import columns as k
from tests.nester.solve.kernels.outside import outside

closed, least, score = map(outside, (children.closed, children.least, children.score))


def _classes() -> np.ndarray:
    classes = np.zeros((1, k.C_COLUMNS), np.int32)
    classes[0, [k.C_U2, k.C_V2, k.C_KU, k.C_KV]] = 100, 20, 1, 1
    classes[0, [k.C_OFF_FULL, k.C_OFF_U]] = 1, 24
    return classes


def _node(us: int, ue: int, v1: int, v2: int, uc: int) -> np.ndarray:
    node = np.zeros(k.N_COLUMNS, np.int32)
    node[[k.N_US, k.N_UE, k.N_V1, k.N_V2, k.N_UC]] = us, ue, v1, v2, uc
    return node


MONEY = np.array([[2000.0, 1.0, 0.5]])
"""A price, a price a cell, and half of it back."""


@pytest.mark.parametrize(
    ("ahead", "laid"),
    [
        # 40 x 8 in the first strip, 25 x 8 in the second: from its top at 17, 3 are left across.
        (0, 40 * 9 + 25 * 8),
        (1, 40 * 9 + 25 * 8 + 40 * 3),
        (2, 40 * 9 + 25 * 8 + 15 * 8),
        (3, 40 * 9 + 25 * 8 + 40 * 3 + 15 * 8),
        (7, 40 * 9 + 25 * 8 + 40 * 3 + 15 * 8),  # 59 are left at the end, which is enough
    ],
)
def test_leftovers_too_small_for_any_blank_are_spent(ahead: int, laid: int) -> None:
    """Above the last strip and behind its last blank, where the least blank left is 20 by 4."""
    node = _node(0, 40, 9, 17, 25)
    assert score(_classes(), MONEY, node, 0.0, 10.0, 0.0, 0.0, ahead, 20, 4) == laid / 10


def test_an_end_too_short_for_any_blank_is_spent_or_kept() -> None:
    """30 of 100 are left, a kerf of 1 included: 29 x 20 cells give half of their price back."""
    node = _node(0, 70, 0, 20, 70)
    score_of = [
        score(_classes(), MONEY, node, 0.0, 1.0, 0.0, 0.0, ahead, 40, 4) for ahead in (0, 4)
    ]
    assert score_of == [70 * 20, 100 * 20 - 29 * 20 / 2]
    assert closed(_classes(), MONEY, node) == 100 * 20 - 29 * 20 / 2


def test_the_least_blank_left() -> None:
    """What is no longer wanted does not count; a blank's ways to lie all do."""
    index = np.array([[0, 2], [2, 3]], np.int32)
    options = np.array([[0, 30, 6, 0, -1], [0, 12, 15, 0, -1], [1, 5, 2, 0, -1]], np.int32)
    left = np.array([[1, 0], [1, 1]], np.int16)
    assert [least(index, options, left, i, 0) for i in (0, 1)] == [(12, 6), (5, 2)]
