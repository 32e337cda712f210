"""Scores of the beam search's nodes: pencil cases on a board of 100 by 20 cells, kerf 1."""

import numpy as np
import pytest

from nester.problem import build
from nester.solve.arrays import Arrays, arrays
from nester.solve.kernels import children
from nester.solve.kernels import columns as k
from tests.nester.maker import board, part, read, shop
from tests.nester.solve.kernels.outside import outside

closed, least, score = map(outside, (children.closed, children.least, children.score))
grown = outside(children.children)


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


def _grown(
    found: Arrays, node: np.ndarray, left: np.ndarray, ahead: int, bias: float, dearest: float
) -> tuple[list[tuple[int, ...]], list[float], bool]:
    """Return the children of a node in its board, or in a new one, and whether some were passed."""
    room = 500
    child = np.zeros((room, k.N_COLUMNS), np.int32)
    places = np.zeros((room, k.P_COLUMNS), np.int32)
    scores = np.zeros(room)
    placed = 0.1 * (node[0, k.N_COUNT] + 1)
    opens = bool(node[0, k.N_CLASS] < 0)
    weight = np.arange(1.0, left.shape[1] + 1) / 20
    n, made, passed, _ = grown(
        found.classes,
        found.near,
        found.lists,
        found.blocks,
        found.metal,
        found.option_index,
        found.options,
        found.money,
        weight,
        node,
        left,
        0,
        0,
        opens,
        0.0,
        placed,
        0,
        bias,
        0.0,
        0.0,
        ahead,
        dearest,
        np.zeros((10, 6), np.int32),
        child,
        places,
        np.zeros(room, np.int32),
        np.zeros(room),
        scores,
        0,
    )
    assert made >= n
    return [tuple(row) for row in child[:n].tolist()], scores[:n].tolist(), passed


@pytest.mark.parametrize("seed", range(12))
def test_what_is_passed_over_would_be_too_dear(seed: int) -> None:
    """With a limit come just those children that are within it, on boards with flaws and crook."""
    rng = np.random.default_rng(seed)
    knots = [
        {"kind": "knot", "x": str(x), "y": str(y), "length": "2", "width": "1"}
        for x, y in zip(rng.integers(4, 50, 3), rng.integers(0, 6, 3), strict=True)
    ]
    stock = board(length="60", width=["8", "7"], flaws=knots)
    sizes = ((9, 2), (14, 3), (20, 2), (6, 4))
    parts = "".join(part(f"p{a}", length=str(a), width=str(b), count=3) for a, b in sizes)
    project, items = read(stock, parts, shop(grid="1/4"))
    found = arrays(build(project.parts, items, project.shop))
    left = np.full((1, found.demands), 3, np.int16)
    node = np.zeros((1, k.N_COLUMNS), np.int32)
    node[0, k.N_CLASS] = -1
    some_passed = False
    for _ in range(8):
        ahead, bias = int(rng.integers(0, 8)), float(rng.choice([0.0, 0.3]))
        every, scores, _ = _grown(found, node, left, ahead, bias, np.inf)
        if not every:
            break
        dearest = float(rng.choice(scores))
        some, _, passed = _grown(found, node, left, ahead, bias, dearest)
        assert some == [c for c, s in zip(every, scores, strict=True) if s <= dearest]
        some_passed |= passed
        node[0] = every[int(rng.integers(len(every)))]
        node[0, k.N_COUNT] += 1
    assert some_passed
