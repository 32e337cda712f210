"""Sections by start and end: what is written out tile by tile, against one table of all."""

import numpy as np
import pytest
from numpy.typing import NDArray

from nester.solve.kernels import section_tiles as k
from tests.nester.solve.kernels.outside import outside

written_out, worth_of = outside(k.written_out), outside(k.worth_of)
from_left, from_right, trace = outside(k.from_left), outside(k.from_right), outside(k.trace)


def made(seed: int) -> tuple[k.Tiles, NDArray[np.float64]]:
    """Return sections of which some tiles are worth less than by length, and the same as a table.

    The table has a row for each start and a column for each end.
    """
    rng = np.random.default_rng(seed)
    n = int(rng.integers(2, 90))
    plain = np.maximum.accumulate(rng.integers(0, 50, n)).astype(np.float64)
    plain[0] = 0.0
    own = k.tiles(plain)
    whole = np.zeros((n, n))
    for start in range(n):
        whole[start, start:] = plain[: n - start]
    across = (n + k.SIDE - 1) // k.SIDE
    for row in range(across):
        for column in range(row, across):
            if rng.random() < 0.5:
                number = written_out(own, row, column)
                for start in range(row * k.SIDE, min(n, (row + 1) * k.SIDE)):
                    for end in range(column * k.SIDE, min(n, (column + 1) * k.SIDE)):
                        if end > start:
                            less = float(rng.integers(0, 1 + int(whole[start, end])))
                            own.worth[number, start % k.SIDE, end % k.SIDE] = less
                            whole[start, end] = less
    return own, whole


@pytest.mark.parametrize("seed", range(30))
def test_the_best_row_is_that_of_one_table(seed: int) -> None:
    """From the left and from the right, and the row that is traced is worth as much."""
    own, whole = made(seed)
    n = len(whole)
    left, right = np.zeros(n), np.zeros(n)
    for end in range(1, n):
        left[end] = max(left[end - 1], max(left[s] + whole[s, end] for s in range(end)))
    for start in range(n - 2, -1, -1):
        after = max(whole[start, e] + right[e] for e in range(start + 1, n))
        right[start] = max(right[start + 1], after)
    best, rest, came = np.zeros(n), np.zeros(n), np.zeros(n, np.int64)
    assert from_left(own, best) == left[-1]
    assert (best == left).all()
    from_right(own, rest)
    assert (rest == right).all()
    trace(own, best, came)
    total, end = 0.0, n - 1
    while end > 0:
        start = int(came[end])
        if start >= 0:
            total += worth_of(own, start, end)
        end = start if start >= 0 else end - 1
    assert total == left[-1]


@pytest.mark.parametrize("seed", range(10))
def test_a_section_is_worth_what_is_written_or_what_its_length_is(seed: int) -> None:
    """A tile that is written out twice keeps what was put into it."""
    own, whole = made(seed)
    for start in range(len(whole)):
        for end in range(start, len(whole)):
            assert worth_of(own, start, end) == whole[start, end]
    before = int(own.number[0])
    for row, column in np.argwhere(own.at >= 0).tolist():
        assert written_out(own, row, column) == own.at[row, column]
    assert int(own.number[0]) == before
